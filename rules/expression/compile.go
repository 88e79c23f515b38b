package expression

import (
	"errors"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"

	"loosecell/rules/facts"
)

// Names resolves the names of a condition that are no facts: named conditions.
type Names interface {
	// Named gives a named condition; ok is false when there is none of that name.
	Named(name string) (c Condition, ok bool, err error)
	// Graded gives the condition "grade is word or worse" for the two readings
	// that the rules themselves add up, condition and transport_state.
	Graded(name string, rank int) (c Condition, err error)
	// Grades lists the words of such a reading, least hazardous first.
	Grades(name string) (words []string, ok bool)
}

// Condition is a rule's condition, typed and lowered.
type Condition struct {
	Text string
	Ref  Ref
	tree ast.Node // the patched tree, for the oracle; nil if it was never compiled
}

// Compiler compiles conditions into an arena.
type Compiler struct {
	Arena *Arena
	Names Names
	cat   *facts.Catalogue
}

// NewCompiler compiles into an arena over the catalogue the arena was laid out for.
func NewCompiler(a *Arena, cat *facts.Catalogue, names Names) *Compiler {
	return &Compiler{Arena: a, Names: names, cat: cat}
}

// Compile parses, patches, checks and lowers one condition. An empty text is
// the condition that always holds. The error is a *Problem.
func (c *Compiler) Compile(text string) (Condition, error) {
	if strings.TrimSpace(text) == "" {
		return Condition{Text: text, Ref: Always, tree: &ast.BoolNode{Value: true}}, nil
	}
	if len(text) > MaxText {
		return Condition{}, &Problem{Line: 1, Column: 1, Code: CodeTooLong,
			Message: "the condition is longer than 2000 bytes", Fix: "split it into named conditions"}
	}
	tree, err := parser.Parse(text)
	if err != nil {
		return Condition{}, syntaxProblem(err)
	}
	p := &patcher{compiler: c, text: text}
	patched, err := p.truth(tree.Node, 0)
	if err != nil {
		return Condition{}, err
	}
	out := Condition{Text: text, tree: patched}
	if out.Ref, err = c.lower(patched); err != nil {
		return Condition{}, err
	}
	return out, nil
}

func syntaxProblem(err error) *Problem {
	var at *file.Error
	if errors.As(err, &at) {
		return &Problem{Line: max(1, at.Line), Column: at.Column + 1, Code: CodeSyntax, Message: at.Message}
	}
	return &Problem{Line: 1, Column: 1, Code: CodeSyntax, Message: err.Error()}
}

// place turns a rune offset into line and column.
func place(text string, offset int) (line, column int) {
	line, column = 1, 1
	for i, r := range []rune(text) {
		if i == offset {
			break
		}
		if r == '\n' {
			line, column = line+1, 1
		} else {
			column++
		}
	}
	return line, column
}
