package triage

import (
	"encoding/json"
	"slices"
	"strings"

	"loosecell/rules/facts"
)

// objects reads JSON lines: one object a line, its facts dotted
// ("battery.swelling") or in groups ({"battery": {"swelling": …}}).
type objects struct {
	cat     *facts.Catalogue
	columns map[string]*facts.Column // by key
	keys    []string                 // of the row at hand, by Position.Column - 1
	echo    []string
}

// mostKeys is how many different keys are remembered; a key may hold a unit in
// many spellings.
const mostKeys = 1000

func newObjects(cat *facts.Catalogue, keep []string) (o *objects, echo []string) {
	echo = append(slices.Clone(echoed), "count")
	for _, k := range keep {
		if !slices.Contains(echo, k) {
			echo = append(echo, k)
		}
	}
	return &objects{cat: cat, columns: map[string]*facts.Column{}, echo: echo}, echo
}

func (o *objects) clone(cat *facts.Catalogue) (reader, error) {
	return &objects{cat: cat, columns: map[string]*facts.Column{}, echo: o.echo}, nil
}

func (o *objects) heading(column int) string {
	if column < 1 || column > len(o.keys) {
		return ""
	}
	return o.keys[column-1]
}

// read reads a row.
func (o *objects) read(text string, r *row) {
	o.keys = o.keys[:0]
	text = strings.TrimSpace(text)
	if !json.Valid([]byte(text)) || text[0] != '{' {
		r.wrong("", &facts.Problem{Code: CodeJSON, Message: "this line is not one JSON object", Fix: "write each cell on a line of its own, in braces"})
		return
	}
	s := scanner{text: text}
	s.object(func(key string) { o.member(&s, r, "", key) })
}

// member reads the value of one key.
func (o *objects) member(s *scanner, r *row, group, key string) {
	name := key
	if group != "" {
		name = group + "." + key
	}
	echo := slices.Index(o.echo, name)
	if s.peek() == '{' && group == "" && echo < 0 && slices.Contains(o.cat.Groups(), key) {
		s.object(func(inner string) { o.member(s, r, key, inner) })
		return
	}
	kind, raw := s.value()
	text, p := o.written(kind, raw)
	if p != nil {
		r.wrong(name, p)
		return
	}
	if echo >= 0 {
		r.copied(echo, name, text)
	}
	if name == "count" {
		r.counted(name, text)
		return
	}
	c, p := o.column(name)
	switch {
	case p != nil && echo >= 0:
		return // only copied
	case p != nil:
		r.wrong(name, p)
		return
	}
	if kind == '[' && c.Fact.Kind != facts.Members && c.Fact.Kind != facts.Layers || kind == '{' {
		r.wrong(name, &facts.Problem{Code: facts.CodeNotScalar, Message: c.Fact.Name + " takes one value", Fix: "write one value"})
		return
	}
	if kind == '[' && c.Fact.Kind == facts.Layers {
		text = raw
	}
	v, p := c.Read(text)
	if p != nil {
		r.wrong(name, p)
		return
	}
	if _, twice := r.facts.Values[c.Fact.Name]; twice {
		r.wrong(name, &facts.Problem{Code: facts.CodeDuplicate, Message: c.Fact.Name + " is stated twice", Fix: "keep one of them"})
		return
	}
	if v.State != facts.Missing {
		o.keys = append(o.keys, name)
		v.At.Column = len(o.keys)
		r.facts.Values[c.Fact.Name] = v
	}
}

func (o *objects) column(key string) (*facts.Column, *facts.Problem) {
	if c := o.columns[key]; c != nil {
		return c, nil
	}
	c, p := o.cat.Column(key)
	if p != nil {
		return nil, p
	}
	if len(o.columns) >= mostKeys {
		clear(o.columns)
	}
	o.columns[key] = c
	return c, nil
}

// written is a JSON value as a cell of a table has it; null says nothing.
func (o *objects) written(kind byte, raw string) (string, *facts.Problem) {
	switch kind {
	case '"':
		return unescaped(raw), nil
	case 'n':
		return "", nil
	case '[':
		s := scanner{text: raw}
		var words []string
		bad := false
		s.array(func() {
			kind, item := s.value()
			if kind == '[' || kind == '{' {
				bad = true // layers, or nonsense: the column tells
				return
			}
			words = append(words, unescaped(item))
		})
		if bad {
			return raw, nil
		}
		return "[" + strings.Join(words, ";") + "]", nil
	}
	return raw, nil
}

// unescaped is the text of a JSON string, or a value that is none as it stands.
func unescaped(raw string) string {
	if raw == "" || raw[0] != '"' {
		return raw
	}
	if strings.IndexByte(raw, '\\') < 0 {
		return strings.ToValidUTF8(raw[1:len(raw)-1], "\uFFFD")
	}
	var out string
	if json.Unmarshal([]byte(raw), &out) != nil {
		return raw
	}
	return out
}
