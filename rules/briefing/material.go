package briefing

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"sync"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/source"
)

//go:embed material/*.yaml
var files embed.FS

// released is the date of the material's text. The edition adds a mark of the
// contents, so that two texts never go by one name.
const released = "2026-11-25"

// Statement is one thing that is said, and what it stands on. Its text may hold
// placeholders, {meeting_point}, which the shop's file fills.
type Statement struct {
	Text    string
	Label   string   // of a line of the wall sheet
	Then    string   // what follows from a yes at the counter
	Place   string   // the placeholder a line of the wall sheet prints alone
	Fact    string   // the yes/no fact of the bench a line of the wall sheet tells of
	Cells   []string // of a table's row, in the order of its head
	At      string   // jurisdiction of a row on training: un, eu, uk, us
	Grounds []Ground
}

// Ground is a rule, a card or a document that a statement stands on.
type Ground struct {
	Rule string // id, "" if it is none
	Card string // topic, "" if it is none
	Cite source.Citation
}

// Part is a heading and what stands under it: sentences, items or a table.
type Part struct {
	Heading string
	Lead    Statement
	Say     []Statement
	Items   []Statement
	Head    []string
	Rows    []Statement
}

// Wall is the sheet that hangs where everybody passes.
type Wall struct {
	Heading               string
	Call, Places, Numbers []Statement
	Cards                 []book.Card
}

// Counter is the card for booking a device in.
type Counter struct {
	Heading, Lead             string
	Questions, Rules, Consent []Statement
}

// Material is everything a shop teaches.
type Material struct {
	Edition   string // date and a mark of the contents
	Title     string
	Lead      string
	Talk      []Part
	Handout   []Part
	Checklist Part
	Training  Part
	Wall      Wall
	Counter   Counter
}

// Shipped is the built-in material over the shipped rulebook, resolved once.
func Shipped() (*Material, error) { return load() }

var load = sync.OnceValues(func() (*Material, error) {
	b, err := book.Shipped()
	if err != nil {
		return nil, err
	}
	return read(newResolver(b, source.Shipped()))
})

func read(r *resolver) (*Material, error) {
	m := &Material{Edition: edition()}
	var talk, handout struct {
		Title string      `yaml:"title"`
		Lead  string      `yaml:"lead"`
		Parts []partEntry `yaml:"parts"`
	}
	var checklist, training partEntry
	var wall wallEntry
	var counter counterEntry
	for name, into := range map[string]any{"talk": &talk, "handout": &handout, "checklist": &checklist,
		"training": &training, "wall": &wall, "counter": &counter} {
		if err := decode(name, into); err != nil {
			return nil, err
		}
	}
	m.Title, m.Lead = talk.Title, talk.Lead
	m.Talk, m.Handout = r.parts("talk", talk.Parts), r.parts("handout", handout.Parts)
	m.Checklist, m.Training = r.part("checklist", checklist), r.part("training", training)
	m.Wall = Wall{Heading: wall.Heading, Call: r.all("wall", wall.Call), Places: r.all("wall", wall.Places),
		Numbers: r.all("wall", wall.Numbers), Cards: book.Cards()}
	m.Counter = Counter{Heading: counter.Heading, Lead: counter.Lead, Questions: r.all("counter", counter.Questions),
		Rules: r.all("counter", counter.Rules), Consent: r.all("counter", counter.Consent)}
	if len(r.problems) > 0 {
		return nil, fmt.Errorf("the briefing stands on something that is not there: %w", r.problems[0])
	}
	return m, nil
}

func decode(name string, into any) error {
	data, err := files.ReadFile("material/" + name + ".yaml")
	if err != nil {
		return err
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	dec.KnownFields(true)
	if err := dec.Decode(into); err != nil {
		return fmt.Errorf("material/%s.yaml: %w", name, err)
	}
	return nil
}

// edition is the date of the text and the first letters of a hash over it.
func edition() string {
	sum := sha256.New()
	entries, err := files.ReadDir("material")
	if err != nil {
		return released
	}
	for _, e := range entries {
		data, err := files.ReadFile("material/" + e.Name())
		if err != nil {
			return released
		}
		sum.Write(data)
	}
	for _, c := range book.Cards() {
		fmt.Fprint(sum, c)
	}
	return released + "-" + hex.EncodeToString(sum.Sum(nil))[:8]
}

// Statements lists every statement of the material with the part it stands in.
func (m *Material) Statements() []Statement {
	var out []Statement
	parts := append(append([]Part{}, m.Talk...), m.Handout...)
	for _, p := range append(parts, m.Checklist, m.Training) {
		out = append(out, p.Say...)
		out = append(out, p.Items...)
		out = append(out, p.Rows...)
		if p.Lead.Text != "" {
			out = append(out, p.Lead)
		}
	}
	for _, list := range [][]Statement{m.Wall.Call, m.Wall.Places, m.Wall.Numbers, m.Counter.Questions, m.Counter.Rules, m.Counter.Consent} {
		out = append(out, list...)
	}
	return out
}

// rowsOf lists what a rule is made of, by the ids of its rows.
func rowsOf(r *rules.Rule) []rules.Row {
	if r.Choose == nil {
		return nil
	}
	return r.Choose.Rows
}
