package book

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/facts"
	"loosecell/rules/source"
)

// reader turns rule files into rules whose conditions are still text.
type reader struct {
	cat      *facts.Catalogue
	sources  *source.Table
	rules    []*rawRule
	defines  map[string]*definition
	ids      map[string]facts.Position
	problems facts.Problems
	found    int               // problems, also those no longer listed
	data     map[string][]byte // the files, for places that YAML does not keep
}

// rawRule is a rule with the node its condition stands in.
type rawRule struct {
	rule rules.Rule
	when *yaml.Node
	rows []*yaml.Node // the conditions of a table's rows, nil where absent
	link linkState

	beside, relaxes *yaml.Node // where those keys stand, nil where absent
}

// definition is a named condition.
type definition struct {
	node *yaml.Node
	file string
	link linkState
}

func (r *reader) report(file string, n *yaml.Node, code, fix, format string, args ...any) {
	at := facts.Position{File: file}
	if n != nil {
		at.Line, at.Column = n.Line, n.Column
	}
	if r.found++; r.found > MaxProblems {
		if r.found == MaxProblems+1 {
			r.problems = append(r.problems, facts.Problem{At: at, Code: CodeMore, Message: "there are more problems than are listed", Fix: "mend these first"})
		}
		return
	}
	r.problems = append(r.problems, facts.Problem{At: at, Code: code, Message: fmt.Sprintf(format, args...), Fix: fix})
}

func (r *reader) sorted() facts.Problems {
	slices.SortStableFunc(r.problems, func(a, b facts.Problem) int {
		if c := strings.Compare(a.At.File, b.At.File); c != 0 {
			return c
		}
		if a.At.Line != b.At.Line {
			return a.At.Line - b.At.Line
		}
		return a.At.Column - b.At.Column
	})
	return r.problems
}

// file reads one rule file.
func (r *reader) file(f File, p parsed, shop bool) {
	if len(f.Data) > MaxBytes {
		r.report(f.Name, nil, CodeTooLarge, "split it", "the file is larger than %d bytes", MaxBytes)
		return
	}
	top := r.whole(f, &p, "topic: and rules:")
	if top == nil {
		return
	}
	if r.data == nil {
		r.data = map[string][]byte{}
	}
	r.data[f.Name] = f.Data
	r.document(f.Name, top, shop)
}

// whole is what stands at the top of a file, nil if it is not one plain YAML
// document. begin is what such a file begins with.
func (r *reader) whole(f File, p *parsed, begin string) *yaml.Node {
	switch {
	case bytes.HasPrefix(f.Data, []byte("\xFF\xFE")) || bytes.HasPrefix(f.Data, []byte("\xFE\xFF")):
		r.report(f.Name, syntaxNode(io.EOF), CodeSyntax, "save it as UTF-8", "this is no UTF-8 text")
		return nil
	case errors.Is(p.err, io.EOF):
		r.report(f.Name, syntaxNode(p.err), CodeMissing, "begin with "+begin, "the file says nothing")
		return nil
	case p.err != nil:
		r.report(f.Name, syntaxNode(p.err), CodeSyntax, "", "%s", strings.TrimPrefix(p.err.Error(), "yaml: "))
		return nil
	case !errors.Is(p.end, io.EOF):
		r.report(f.Name, &p.second, CodeSecond, "put everything into one document", "the file holds a second document")
		return nil
	}
	if n := findAlias(&p.doc, 0); n != nil {
		r.report(f.Name, n, CodeAlias, "write it out", "anchors, aliases and merge keys are not read")
		return nil
	}
	if n := findTag(&p.doc); n != nil {
		r.report(f.Name, n, CodeTag, "leave the tag away", "tags such as %s are not used in a rule file", clip(n.Tag))
		return nil
	}
	top := p.doc.Content[0]
	if top.Kind == yaml.MappingNode && len(top.Content) == 0 {
		r.report(f.Name, top, CodeMissing, "begin with "+begin, "the file says nothing")
		return nil
	}
	return top
}

// indent is how many spaces a line of a file begins with.
func (r *reader) indent(file string, line int) int {
	for text := range bytes.Lines(r.data[file]) {
		if line--; line == 0 {
			return len(text) - len(bytes.TrimLeft(text, " "))
		}
	}
	return 0
}

var yamlLine = regexp.MustCompile(`line (\d+)`)

func syntaxNode(err error) *yaml.Node {
	n := &yaml.Node{Line: 1, Column: 1}
	if m := yamlLine.FindStringSubmatch(err.Error()); m != nil {
		fmt.Sscan(m[1], &n.Line)
	}
	return n
}

func findAlias(n *yaml.Node, depth int) *yaml.Node {
	if n.Kind == yaml.AliasNode || n.Anchor != "" || n.Tag == "!!merge" || depth > 30 {
		return n
	}
	for _, c := range n.Content {
		if bad := findAlias(c, depth+1); bad != nil {
			return bad
		}
	}
	return nil
}

// findTag finds a node whose kind the file spells out. The nodes are not nested
// deeply: findAlias has seen them.
func findTag(n *yaml.Node) *yaml.Node {
	if n.Style&yaml.TaggedStyle != 0 {
		return n
	}
	for _, c := range n.Content {
		if tagged := findTag(c); tagged != nil {
			return tagged
		}
	}
	return nil
}

// clip keeps what is quoted from a file short.
func clip(text string) string {
	if len(text) <= mostQuoted {
		return text
	}
	return strings.ToValidUTF8(text[:mostQuoted], "") + "…"
}

const mostQuoted = 40

func (r *reader) document(file string, n *yaml.Node, shop bool) {
	topic := ""
	r.mapping(file, n, func(key string, k, v *yaml.Node) {
		switch key {
		case "topic":
			topic = v.Value
		case "define":
			r.mapping(file, v, func(name string, k, v *yaml.Node) { r.define(file, name, k, v) })
		case "rules":
			if v.Kind != yaml.SequenceNode {
				r.report(file, v, CodeShape, "start each rule with - id:", "rules wants a list")
				return
			}
			for _, item := range v.Content {
				r.rule(file, topic, item, shop)
			}
		default:
			r.report(file, k, CodeUnknownKey, "use topic, define or rules", "%q is no key of a rule file", key)
		}
	})
}

// mapping visits the pairs of a mapping, reporting what is no mapping and keys
// that stand twice.
func (r *reader) mapping(file string, n *yaml.Node, visit func(key string, k, v *yaml.Node)) {
	if n.Kind != yaml.MappingNode {
		r.report(file, n, CodeShape, "write key: value", "a mapping is wanted here")
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		if seen[k.Value] {
			r.report(file, k, CodeDuplicateKey, "keep one", "%q stands twice", k.Value)
			continue
		}
		seen[k.Value] = true
		visit(k.Value, k, v)
	}
}

var defineName = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)

func (r *reader) define(file, name string, k, v *yaml.Node) {
	switch {
	case !defineName.MatchString(name):
		r.report(file, k, CodeDefineUnknown, "use lower-case letters, digits and _", "%q cannot name a condition", name)
	case r.defines[name] != nil:
		r.report(file, k, CodeDefineUnknown, "choose another name", "%q is defined already", name)
	case v.Kind != yaml.ScalarNode:
		r.report(file, v, CodeShape, "write the condition as text", "a condition is wanted here")
	default:
		r.defines[name] = &definition{node: v, file: file}
	}
}

var ruleID = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// rule reads one rule; what is wrong with it is reported and it is left out.
func (r *reader) rule(file, topic string, n *yaml.Node, shop bool) {
	if len(r.rules) >= MaxRules {
		if len(r.rules) == MaxRules {
			r.report(file, n, CodeTooMany, "", "a book holds at most %d rules", MaxRules)
			r.rules = append(r.rules, &rawRule{})
		}
		return
	}
	raw := &rawRule{rule: rules.Rule{Topic: topic, Shop: shop, At: facts.Position{File: file, Line: n.Line, Column: n.Column}}}
	before := r.found
	effects, cited := 0, n
	r.mapping(file, n, func(key string, k, v *yaml.Node) {
		switch key {
		case "id":
			raw.rule.ID = r.id(file, v)
		case "when":
			raw.when = v
		case "because":
			raw.rule.Because = r.text(file, v)
		case "source":
			raw.rule.Sources, cited = r.cite(file, v), v
		case "from":
			raw.rule.From = r.date(file, v)
		case "until":
			raw.rule.Until = r.date(file, v)
		case "beside":
			raw.rule.Beside, raw.beside = r.neighbours(file, v), v
		case "relaxes":
			raw.rule.Relaxes, raw.relaxes = r.relaxation(file, v), v
		default:
			if r.effect(file, raw, key, k, v) {
				effects++
			}
		}
	})
	rule := &raw.rule
	if r.found == before {
		r.complete(file, n, rule, effects)
		r.trust(file, cited, rule)
	}
	if r.found == before {
		if shop {
			inTheShopsName(rule)
		}
		r.rules = append(r.rules, raw)
	}
}

// inTheShopsName opens the sentences of a shop's rule with whose they are: they
// stand on a sheet among those that were reviewed.
func inTheShopsName(rule *rules.Rule) {
	const whose = "This shop: "
	rule.Because = whose + rule.Because
	if rule.Hold != nil {
		rule.Hold.Text = whose + rule.Hold.Text
	}
	if rule.Say != nil {
		rule.Say.Text = whose + rule.Say.Text
	}
}

// complete reports what a rule lacks.
func (r *reader) complete(file string, n *yaml.Node, rule *rules.Rule, effects int) {
	switch {
	case rule.ID == "":
		r.report(file, n, CodeMissing, "add id: some-name", "the rule has no id")
	case effects == 0:
		r.report(file, n, CodeMissing, "add permit, restrict, grade, alarm, fit, hold, say, choose or lift", "rule %s has no effect", rule.ID)
	case effects > 1:
		r.report(file, n, CodeManyEffects, "make it two rules", "rule %s has more than one effect", rule.ID)
	case len(rule.Sources) == 0:
		r.report(file, n, CodeMissing, "add source: a document, or common-practice", "rule %s names no source", rule.ID)
	case rule.Because == "" && rule.Say == nil:
		r.report(file, n, CodeMissing, "add because: one plain sentence", "rule %s gives no reason", rule.ID)
	case rule.From != "" && rule.Until != "" && rule.Until <= rule.From:
		r.report(file, n, CodeDate, "until is the first day it no longer holds", "rule %s ends before it starts", rule.ID)
	}
	if rule.Hold != nil && rule.Hold.Text == "" {
		rule.Hold.Text = rule.Because
	}
	if rule.Say != nil && rule.Say.Text == "" {
		rule.Say.Text = rule.Because
	}
	if rule.Say != nil && rule.Say.Text == "" {
		r.report(file, n, CodeMissing, "add text", "rule %s says nothing", rule.ID)
	}
}

// trust holds a rule's effect against how its sources are known.
func (r *reader) trust(file string, n *yaml.Node, rule *rules.Rule) {
	memory := len(rule.Sources) > 0
	for _, c := range rule.Sources {
		if c.Document.Kind == "law" && rule.From == "" && rule.Until == "" && !rowsDated(rule) {
			r.report(file, n, CodeUndatedLaw, "add from: the day it came into force", "rule %s cites law without a date", rule.ID)
		}
		if c.Document.Known != "memory" {
			memory = false
		}
	}
	if memory && (rule.Permit != nil || rule.Relaxes != nil) {
		r.report(file, n, CodeMemory, "find a text that was read, or make it a restriction", "rule %s permits on memory alone", rule.ID)
	}
	r.mayLoosen(file, n, rule)
}

// rowsDated tells that a table dates its rows one by one.
func rowsDated(rule *rules.Rule) bool {
	if rule.Choose == nil {
		return false
	}
	for _, row := range rule.Choose.Rows {
		if row.From != "" || row.Until != "" {
			return true
		}
	}
	return false
}
