package facts

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// ParseCase reads a case file: one YAML document of groups and facts, nested
// (battery: {swelling: none}) or dotted (battery.swelling: none). An empty file
// is a case that says nothing. The error is of type Problems and lists
// everything that is wrong, with file, line and column; then there is no case.
func ParseCase(cat *Catalogue, name string, data []byte) (*Case, error) {
	return parseFile(cat, name, data, false)
}

// ParseShop reads a shop file: the same shape, but only facts that do not
// change from case to case. What is seen on a cell has no place in it.
func ParseShop(cat *Catalogue, name string, data []byte) (*Case, error) {
	return parseFile(cat, name, data, true)
}

func parseFile(cat *Catalogue, name string, data []byte, shop bool) (*Case, error) {
	r := &reader{cat: cat, file: name, shop: shop, into: NewCase(cat, name), groups: map[string]int{}}
	root, problems := decodeOne(name, data)
	r.problems = problems
	if root != nil {
		r.document(root)
	}
	r.problems = append(r.problems, Contradictions(r.into)...)
	if len(r.problems) == 0 {
		return r.into, nil
	}
	r.problems.sort()
	if len(r.problems) > maxProblems {
		more := problem(CodeTooMany, "mend those above first", "there are more problems, which are not listed")
		more.At = r.problems[maxProblems].At
		r.problems = append(r.problems[:maxProblems], *more)
	}
	return nil, r.problems
}

// SetText reads one fact's value from text, written as in a case file, and puts
// it into the case. The error is of type Problems; then the case is unchanged.
func (c *Case) SetText(cat *Catalogue, name, text string) error {
	f, ok := cat.Lookup(name)
	if !ok || !f.Statable() {
		r := &reader{cat: cat}
		r.add(nil, r.unknownKey(name))
		return r.problems
	}
	r := &reader{cat: cat, file: c.Name, into: NewCase(cat, c.Name), groups: map[string]int{}}
	node := &yaml.Node{Kind: yaml.ScalarNode, Value: text}
	if list := strings.TrimSpace(text); (f.Kind == Members || f.Kind == Layers) &&
		(strings.HasPrefix(list, "[") || strings.HasPrefix(list, "-")) {
		if node, r.problems = decodeOne(c.Name, []byte(list)); node == nil {
			return r.problems
		}
	}
	if r.plain(node, 2) {
		r.value(f, node)
	}
	if len(r.problems) > 0 {
		for i := range r.problems {
			r.problems[i].At = Position{}
		}
		return r.problems
	}
	v := r.into.Values[name]
	v.At = Position{}
	c.Set(name, v)
	return nil
}

// reader turns the nodes of one file into a case, collecting problems.
type reader struct {
	cat      *Catalogue
	file     string
	shop     bool
	into     *Case
	groups   map[string]int // group -> line of its mapping
	problems Problems
}

func (r *reader) at(n *yaml.Node) Position {
	if n == nil {
		return Position{File: r.file}
	}
	return Position{File: r.file, Line: n.Line, Column: n.Column}
}

func (r *reader) add(n *yaml.Node, p *Problem) {
	p.At = r.at(n)
	r.problems = append(r.problems, *p)
}

// document reads the top of the file.
func (r *reader) document(root *yaml.Node) {
	if isNull(root) && root.Value == "" {
		return
	}
	if !r.plain(root, 0) {
		return
	}
	if root.Kind != yaml.MappingNode {
		r.add(root, problem(CodeNotMapping, "write battery: and below it, indented, what you know",
			"a case is made of groups and facts, and this is %s", kindOf(root)))
		return
	}
	r.pairs(root, func(key, value *yaml.Node) {
		if strings.Contains(key.Value, ".") {
			r.fact(key.Value, key, value)
			return
		}
		r.group(key, value)
	})
}

// pairs calls do for each key and value of a mapping.
func (r *reader) pairs(n *yaml.Node, do func(key, value *yaml.Node)) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if len(r.problems) > maxProblems {
			return // no one mends more at a time, and each costs a search for what was meant
		}
		key, value := n.Content[i], n.Content[i+1]
		switch {
		case key.Kind != yaml.ScalarNode:
			r.add(key, problem(CodeNotMapping, "write a name", "%s stands where a name is due", kindOf(key)))
		case key.Tag == "!!merge":
			r.add(key, problem(CodeMergeKey, "write the facts out", "merge keys (<<) are not used in a case"))
		default:
			do(key, value)
		}
	}
}

// group reads "battery:" and the facts below it.
func (r *reader) group(key, value *yaml.Node) {
	if !slices.Contains(r.cat.groups, key.Value) {
		p := r.unknownKey(key.Value)
		if near := nearest(key.Value, r.cat.groups); near != "" {
			p.Fix = "did you mean " + near + "?"
		}
		r.add(key, p)
		return
	}
	if line, twice := r.groups[key.Value]; twice {
		r.add(key, problem(CodeDuplicate, "put it all under one", "%s stands here again, first on line %d", key.Value, line))
		return
	}
	r.groups[key.Value] = key.Line
	switch {
	case isNull(value):
	case value.Kind != yaml.MappingNode:
		r.add(value, problem(CodeNotMapping, "write each fact on a line of its own below "+key.Value+":, indented",
			"%s holds several facts, and this is %s", key.Value, kindOf(value)))
	default:
		r.pairs(value, func(inner, v *yaml.Node) { r.fact(key.Value+"."+inner.Value, inner, v) })
	}
}

// fact reads one fact and its value.
func (r *reader) fact(name string, key, value *yaml.Node) {
	f, ok := r.cat.Lookup(name)
	if !ok || !f.Statable() {
		r.add(key, r.unknownKey(name))
		return
	}
	if r.shop && !f.ShopLevel {
		r.add(key, problem(CodeNotForShop, "state it in the case",
			"%s changes from case to case and has no place in a shop file", name))
		return
	}
	if first, twice := r.into.Values[name]; twice {
		r.add(key, problem(CodeDuplicate, "keep one of them", "%s is stated again, first on line %d", name, first.At.Line))
		return
	}
	if isNull(value) && (f.Kind == Text || value.Value == "" || value.Value == "~" || value.Value == "null") {
		r.add(key, problem(CodeEmptyValue, "write a value, or unknown, or leave the line out", "%s has no value", name))
		// The place is taken all the same, so that a second line is still seen.
		r.into.Values[name] = Value{State: Unknown, At: r.at(key)}
		return
	}
	if !r.value(f, value) {
		r.into.Values[name] = Value{State: Unknown, At: r.at(value)}
	}
}

// value reads the value of a fact into the case, and reports whether it could.
func (r *reader) value(f *Fact, n *yaml.Node) bool {
	before := len(r.problems)
	var v Value
	switch {
	case n.Kind == yaml.ScalarNode:
		read, p := f.parseScalar(n.Value)
		if p != nil {
			r.add(n, p)
			return false
		}
		v = read
	case n.Kind == yaml.SequenceNode && f.Kind == Members:
		v = r.members(f, n)
	case n.Kind == yaml.SequenceNode && f.Kind == Layers:
		v = r.layers(f, n)
	default:
		fix := "write one value"
		if f.Kind == Words && len(f.Words) > 2 {
			fix = "write one word, or " + f.Words[0] + " | " + f.Words[1] + " if it is one of these"
		}
		r.add(n, problem(CodeNotScalar, fix, "%s takes one value, and this is %s", f.Name, kindOf(n)))
	}
	if len(r.problems) > before {
		return false
	}
	v.At = r.at(n)
	if r.shop {
		v.Origin = FromShop
	}
	r.into.Values[f.Name] = v
	return true
}

// members reads a list of words that hold at once. An empty list says that
// none of them does.
func (r *reader) members(f *Fact, n *yaml.Node) Value {
	v := Value{State: Stated}
	for _, item := range n.Content {
		if item.Kind != yaml.ScalarNode {
			r.add(item, problem(CodeNotScalar, "write a word", "%s is a list of words, and this is %s", f.Name, kindOf(item)))
			continue
		}
		set, p := f.parseMember(item.Value)
		if p != nil {
			r.add(item, p)
			continue
		}
		v.Words |= set
	}
	return v
}

// unknownKey words a key that no case may state.
func (r *reader) unknownKey(name string) *Problem {
	if f, ok := r.cat.Lookup(name); ok {
		if f.Outside {
			return problem(CodeNotStatable, "leave it out; --on or dispatch.date sets it", "%s is not stated in a file", name)
		}
		return problem(CodeNotStatable, "leave it out, and state what it follows from", "%s is worked out, not stated", name)
	}
	fix := ""
	if near := r.cat.Nearest(name); near != "" {
		fix = "did you mean " + near + "?"
	}
	return problem(CodeUnknownKey, fix, "%q is no fact of the catalogue", clip(name))
}
