package book

import (
	"errors"
	"maps"
	"slices"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// linkState tells how far a condition that others may rest on has come.
type linkState struct {
	working, done bool
	cond          expression.Condition
	holds         expression.Condition
}

// linker compiles the conditions of a whole book, each named one once.
type linker struct {
	*reader
	arena    *expression.Arena
	compiler *expression.Compiler
	lawDate  int
}

func newLinker(r *reader, a *expression.Arena) *linker {
	l := &linker{reader: r, arena: a, lawDate: a.Layout.MustSlot("law.date")}
	l.compiler = expression.NewCompiler(a, r.cat, l)
	return l
}

// link compiles everything and returns the finished rules.
func (l *linker) link() []rules.Rule {
	for _, name := range slices.Sorted(maps.Keys(l.defines)) {
		l.Named(name)
	}
	var out []rules.Rule
	l.neighbourhoods()
	for _, raw := range l.rules {
		if raw.rule.ID == "" {
			continue
		}
		l.rule(raw)
		rule := raw.rule
		rule.When, rule.Holds = raw.link.cond, raw.link.holds.Ref
		l.rowsOf(raw, &rule)
		if !rule.Planning() {
			l.noAnswers(raw.rule.At.File, raw.when, rule.Holds, rule.ID)
		}
		out = append(out, rule)
	}
	return out
}

// rule compiles a rule's condition once; err tells that it rests on itself.
func (l *linker) rule(raw *rawRule) error {
	if raw.link.done {
		return nil
	}
	if raw.link.working {
		return errors.New("rule " + raw.rule.ID + " rests on itself")
	}
	raw.link.working = true
	raw.link.cond = l.condition(raw.rule.At.File, raw.when)
	raw.link.holds = l.compiler.AllOf(raw.link.cond, l.window(raw.rule.From, raw.rule.Until))
	raw.link.done = true
	return nil
}

// rowsOf lowers the rows of a table so that exactly one of them holds.
func (l *linker) rowsOf(raw *rawRule, rule *rules.Rule) {
	if rule.Choose == nil {
		return
	}
	none := expression.Always
	for i := range rule.Choose.Rows {
		row := &rule.Choose.Rows[i]
		row.When = l.condition(row.At.File, raw.rows[i])
		holds := l.arena.And(row.When.Ref, l.window(row.From, row.Until).Ref)
		row.Holds = l.arena.And(none, holds)
		none = l.arena.And(none, holds.Not())
		if row.ID == "" {
			row.ID = rowName(rule, i)
		}
		if row.Because == "" {
			row.Because = rule.Because
		}
		if row.Sources == nil {
			row.Sources = rule.Sources
		}
	}
}

// noAnswers refuses a permission that depends on an answer.
func (l *linker) noAnswers(file string, n *yaml.Node, ref expression.Ref, id string) {
	for _, s := range l.arena.Reads(ref) {
		if f := l.arena.Layout.Slots[s].Fact; f.Stage != "" {
			l.report(file, n, CodeStage, "only fit, hold, say and choose may read answers", "rule %s reads %s before it stands", id, f.Name)
		}
	}
}

// window is the condition that the law is read within [from, until).
func (l *linker) window(from, until string) expression.Condition {
	in := l.compiler.AllOf()
	if from != "" {
		in = l.compiler.AllOf(in, l.compiler.AtLeast(l.lawDate, day(from)))
	}
	if until != "" {
		in = l.compiler.AllOf(in, l.compiler.Not(l.compiler.AtLeast(l.lawDate, day(until))))
	}
	return in
}

// day is an ISO date, already checked, as days since 1970-01-01.
func day(iso string) float64 {
	t, _ := time.Parse(time.DateOnly, iso)
	return float64(t.Unix() / 86400)
}

// condition compiles the text of a node and reports what is wrong with it at
// the place in the file.
func (l *linker) condition(file string, n *yaml.Node) expression.Condition {
	if n == nil {
		c, _ := l.compiler.Compile("")
		return c
	}
	if n.Kind != yaml.ScalarNode {
		l.report(file, n, CodeShape, "write the condition as text", "a condition is wanted here")
		return expression.Condition{}
	}
	c, err := l.compiler.Compile(n.Value)
	var p *expression.Problem
	if errors.As(err, &p) {
		l.report(file, l.within(file, n, p), p.Code, p.Fix, "%s", p.Message)
	} else if err != nil {
		l.report(file, n, expression.CodeSyntax, "", "%v", err)
	}
	return c
}

// within is the place of a problem inside a scalar. Folded text loses its line
// ends, so there only the scalar's own place is sure.
func (r *reader) within(file string, n *yaml.Node, p *expression.Problem) *yaml.Node {
	at := *n
	switch {
	case n.Style&yaml.LiteralStyle != 0:
		at.Line += p.Line
		at.Column = p.Column + r.indent(file, n.Line+1)
	case n.Style&yaml.FoldedStyle != 0 || p.Line > 1:
	case n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0:
		at.Column += p.Column
	default:
		at.Column += p.Column - 1
	}
	return &at
}

// Named resolves a named condition.
func (l *linker) Named(name string) (expression.Condition, bool, error) {
	d, ok := l.defines[name]
	if !ok {
		return expression.Condition{}, false, nil
	}
	if d.link.working && !d.link.done {
		return expression.Condition{}, true, errors.New("the named condition " + name + " rests on itself")
	}
	if !d.link.done {
		d.link.working = true
		d.link.cond = l.condition(d.file, d.node)
		d.link.done = true
	}
	return d.link.cond, true, nil
}

// Grades lists the words of a reading that grade rules add up to.
func (l *linker) Grades(name string) ([]string, bool) {
	return gradeWords(l.cat, name)
}

func gradeWords(cat *facts.Catalogue, name string) ([]string, bool) {
	if name != "condition" && name != "transport_state" {
		return nil, false
	}
	f, ok := cat.Lookup("answer." + name)
	if !ok {
		return nil, false
	}
	return f.Words, true
}

// Graded adds up the grade rules that give a reading of at least rank.
func (l *linker) Graded(name string, rank int) (expression.Condition, error) {
	var any []expression.Condition
	for _, raw := range l.rules {
		g := raw.rule.Grade
		if g == nil {
			continue
		}
		got := g.Condition
		if strings.HasPrefix(name, "transport") {
			got = g.Transport
		}
		if got < rank {
			continue
		}
		if err := l.rule(raw); err != nil {
			return expression.Condition{}, err
		}
		any = append(any, raw.link.holds)
	}
	return l.compiler.AnyOf(any...), nil
}
