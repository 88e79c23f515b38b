package briefing

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/source"
)

// The entries are the files as they are written.
type partEntry struct {
	Heading  string           `yaml:"heading"`
	Lead     string           `yaml:"lead"`
	LeadFrom yaml.Node        `yaml:"lead_from"`
	Say      []statementEntry `yaml:"say"`
	Items    []statementEntry `yaml:"items"`
	Head     []string         `yaml:"head"`
	Rows     []statementEntry `yaml:"rows"`
}

type statementEntry struct {
	Text  string    `yaml:"text"`
	Label string    `yaml:"label"`
	Then  string    `yaml:"then"`
	Place string    `yaml:"place"`
	Fact  string    `yaml:"fact"`
	Cells []string  `yaml:"cells"`
	At    string    `yaml:"at"`
	From  yaml.Node `yaml:"from"`
}

type wallEntry struct {
	Heading string           `yaml:"heading"`
	Call    []statementEntry `yaml:"call"`
	Places  []statementEntry `yaml:"places"`
	Numbers []statementEntry `yaml:"numbers"`
}

type counterEntry struct {
	Heading   string           `yaml:"heading"`
	Lead      string           `yaml:"lead"`
	Questions []statementEntry `yaml:"questions"`
	Rules     []statementEntry `yaml:"rules"`
	Consent   []statementEntry `yaml:"consent"`
}

// resolver turns entries into statements and keeps what stands on nothing.
type resolver struct {
	known    map[string]bool // rule and row ids
	sources  *source.Table
	problems []error
}

func newResolver(b *rules.Book, t *source.Table) *resolver {
	r := &resolver{known: map[string]bool{}, sources: t}
	all := b.Rules()
	for i := range all {
		r.known[all[i].ID] = true
		for _, row := range rowsOf(&all[i]) {
			r.known[row.ID] = true
		}
	}
	return r
}

func (r *resolver) parts(file string, list []partEntry) []Part {
	var out []Part
	for _, p := range list {
		out = append(out, r.part(file, p))
	}
	return out
}

func (r *resolver) part(file string, p partEntry) Part {
	out := Part{Heading: p.Heading, Head: p.Head, Say: r.all(file, p.Say), Items: r.all(file, p.Items), Rows: r.all(file, p.Rows)}
	if p.Lead != "" {
		out.Lead = r.one(file, statementEntry{Text: p.Lead, From: p.LeadFrom})
	}
	for _, row := range p.Rows {
		if len(row.Cells) != len(p.Head) {
			r.problems = append(r.problems, fmt.Errorf("material/%s.yaml:%d: a row of %q has %d cells, its head has %d",
				file, row.From.Line, p.Heading, len(row.Cells), len(p.Head)))
		}
	}
	return out
}

func (r *resolver) all(file string, list []statementEntry) []Statement {
	var out []Statement
	for _, e := range list {
		out = append(out, r.one(file, e))
	}
	return out
}

func (r *resolver) one(file string, e statementEntry) Statement {
	s := Statement{Text: e.Text, Label: e.Label, Then: e.Then, Place: e.Place, Fact: e.Fact, Cells: e.Cells, At: e.At}
	nodes := []*yaml.Node{&e.From}
	if e.From.Kind == yaml.SequenceNode {
		nodes = e.From.Content
	}
	for _, n := range nodes {
		g, err := r.ground(n.Value)
		if err != nil {
			r.problems = append(r.problems, fmt.Errorf("material/%s.yaml:%d: %w", file, n.Line, err))
			continue
		}
		s.Grounds = append(s.Grounds, g)
	}
	return s
}

func (r *resolver) ground(from string) (Ground, error) {
	kind, name, _ := strings.Cut(from, ":")
	name = strings.TrimSpace(name)
	switch kind {
	case "rule":
		if !r.known[name] {
			return Ground{}, fmt.Errorf("there is no rule %q in the book", name)
		}
		return Ground{Rule: name}, nil
	case "card":
		if _, ok := book.CardFor(name); !ok {
			return Ground{}, fmt.Errorf("there is no card %q", name)
		}
		return Ground{Card: name}, nil
	}
	c, err := r.sources.Resolve(from)
	return Ground{Cite: c}, err
}
