package facts

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// maxDepth is the deepest nesting a case file can want: document, group, fact,
// list of layers, layer, thickness.
const maxDepth = 6

// maxProblems is how many problems of one file are listed.
const maxProblems = 100

// decodeOne reads the only document of a file into nodes. Nothing is resolved:
// a number stays the text that was typed, and an alias stays an alias. The node
// is nil for an empty file.
func decodeOne(name string, data []byte) (root *yaml.Node, problems Problems) {
	fail := func(line, column int, code, fix, format string, args ...any) (*yaml.Node, Problems) {
		p := problem(code, fix, format, args...)
		p.At = Position{File: name, Line: line, Column: column}
		return nil, Problems{*p}
	}
	if len(data) > MaxBytes {
		return nil, Problems{tooLarge(name)}
	}
	if line, column, ok := invalidUTF8(data); !ok {
		return fail(line, column, CodeSyntax, "save the file as UTF-8", "the file is not valid UTF-8")
	}
	// The library panics on some broken input; a broken file is no reason to stop.
	defer func() {
		if r := recover(); r != nil {
			root, problems = fail(1, 1, CodeSyntax, "", "the file is not well-formed YAML: %v", r)
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	switch err := dec.Decode(&doc); {
	case errors.Is(err, io.EOF):
		return nil, nil
	case err != nil:
		return nil, Problems{syntaxProblem(name, data, err)}
	}
	var second yaml.Node
	switch err := dec.Decode(&second); {
	case errors.Is(err, io.EOF):
	case err != nil:
		return nil, Problems{syntaxProblem(name, data, err)}
	default:
		return fail(second.Line, second.Column, CodeSecondDocument, "put it in a file of its own",
			"a second document begins here, and a case is one document")
	}
	if len(doc.Content) == 0 {
		return nil, nil
	}
	return doc.Content[0], nil
}

var lineInError = regexp.MustCompile(`line ([0-9]+): `)

// syntaxProblem words a parser's error. The parser gives no column, and of the
// line it is not sure.
func syntaxProblem(name string, data []byte, err error) Problem {
	text := strings.TrimPrefix(err.Error(), "yaml: ")
	at := Position{File: name, Line: 1, Column: 1}
	if m := lineInError.FindStringSubmatch(text); m != nil {
		at.Line, _ = strconv.Atoi(m[1])
		text = strings.Replace(text, m[0], "", 1)
	}
	if line, column, ok := faultLine(data); ok {
		at.Line, at.Column = line, column
	}
	p := Problem{At: at, Code: CodeSyntax, Message: "the file is not well-formed YAML: " + clip(text)}
	switch {
	case strings.Contains(text, "max depth"):
		p.Code, p.Message = CodeTooDeep, "the file is nested deeper than any case"
	case strings.Contains(text, "cannot start any token"):
		p.Fix = "indent with spaces, not tabs, and quote a value that starts with a sign such as % or @"
	case strings.Contains(text, "mapping values are not allowed"):
		p.Fix = "check the indentation, and quote a value that has a colon in it"
	case strings.Contains(text, "unknown anchor"):
		p.Code, p.Message, p.Fix = CodeAlias, "the file refers to an anchor with *", "write the value out"
	}
	return p
}

// faultLine finds the line at which a short file goes wrong: the one after the
// longest beginning that is well-formed by itself. For a bracket or a quote that
// is never closed that is the line that opens it, which is the one to mend.
func faultLine(data []byte) (line, column int, ok bool) {
	lines := bytes.SplitAfter(data, []byte("\n"))
	if len(data) > 16<<10 || len(lines) > 500 {
		return 0, 0, false
	}
	good, end := 0, 0
	for i, l := range lines {
		end += len(l)
		if wellFormed(data[:end]) {
			good = i + 1
		}
	}
	if good == len(lines) {
		return 0, 0, false
	}
	fault := lines[good]
	return good + 1, 1 + len(fault) - len(bytes.TrimLeft(fault, " ")), true
}

func wellFormed(data []byte) bool {
	dec := yaml.NewDecoder(bytes.NewReader(data))
	for {
		var doc yaml.Node
		switch err := dec.Decode(&doc); {
		case errors.Is(err, io.EOF):
			return true
		case err != nil:
			return false
		}
	}
}

func invalidUTF8(data []byte) (line, column int, ok bool) {
	if utf8.Valid(data) {
		return 0, 0, true
	}
	line, column = 1, 1
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		if r == utf8.RuneError && n == 1 {
			break
		}
		data = data[n:]
		column++
		if r == '\n' {
			line, column = line+1, 1
		}
	}
	return line, column, false
}

// plain checks a node and all below it for what a case file may not use:
// anchors and aliases, tags, and nesting without end.
func (r *reader) plain(n *yaml.Node, depth int) bool {
	switch {
	case depth > maxDepth:
		r.add(n, problem(CodeTooDeep, "", "this is nested deeper than any case"))
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		r.add(n, problem(CodeAlias, "write the value out", "anchors and aliases (& and *) are not used in a case"))
	case n.Style&yaml.TaggedStyle != 0:
		r.add(n, problem(CodeTag, "leave the tag away", "tags such as %s are not used in a case", clip(n.Tag)))
	default:
		ok := true
		for _, child := range n.Content {
			ok = r.plain(child, depth+1) && ok
		}
		return ok
	}
	return false
}

// isNull reports whether the node is an empty value.
func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// kindOf names what stands where something else is due.
func kindOf(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a mapping"
	case yaml.SequenceNode:
		return "a list"
	case yaml.ScalarNode:
		return fmt.Sprintf("%q", clip(n.Value))
	}
	return "something else"
}
