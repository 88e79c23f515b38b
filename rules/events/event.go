package events

import (
	"bytes"
	_ "embed"
	"fmt"
	"slices"
	"sync"

	"gopkg.in/yaml.v3"

	"loosecell/rules/facts"
	"loosecell/rules/source"
)

//go:embed events.yaml
var listed []byte

// An Event is one thing that can happen, and what it changes in a case.
type Event struct {
	Word     string   // as it is typed
	Synonyms []string // other words for it
	Says     string   // one sentence that says it back
	Takes    *Takes   // what may stand after "=", nil if nothing may
	Act      *Act     // nil where nobody did anything
	Minutes  float64  // about how long it takes, min
	Card     string   // topic of the act card that goes with it, "" if none
	Source   string   // documents behind it

	change changes
}

// Takes says what stands after the "=" of an event.
type Takes struct {
	Fact     string  `yaml:"fact"`     // a value of this fact
	Rung     bool    `yaml:"rung"`     // a way of freeing the cell
	Change   bool    `yaml:"change"`   // a fact that a person can change
	Bare     *string `yaml:"bare"`     // the unit that a number without one is in
	Default  string  `yaml:"default"`  // taken when nothing is given
	Optional bool    `yaml:"optional"` // may be left out without a default
}

// changes is what an event does to a case, as its file writes it.
type changes struct {
	Implies map[string]string `yaml:"implies"`
	Worsen  map[string]string `yaml:"worsen"`
	State   map[string]string `yaml:"state"`
	Count   map[string]string `yaml:"count"`
	Within  map[string]string `yaml:"within"`
	Forget  []string          `yaml:"forget"`
	Unknown []string          `yaml:"unknown"`
	Tried   yaml.Node         `yaml:"tried"`
	Force   string            `yaml:"force"`
	Relook  bool              `yaml:"relook"`
	Look    bool              `yaml:"look"`
	Cools   bool              `yaml:"cools"`
	Opens   bool              `yaml:"opens"`
	Change  string            `yaml:"change"`
	Spend   string            `yaml:"spend"`
	Fallen  string            `yaml:"fallen"`
}

type eventEntry struct {
	Word     string    `yaml:"word"`
	Synonyms []string  `yaml:"synonyms"`
	Says     string    `yaml:"says"`
	Takes    *Takes    `yaml:"takes"`
	Act      *Act      `yaml:"act"`
	Minutes  float64   `yaml:"minutes"`
	Card     string    `yaml:"card"`
	Source   yaml.Node `yaml:"source"`
	changes  `yaml:",inline"`
}

// table is the list of events, which ways of freeing a cell are forceful, and
// what makes safe after what was not permitted.
type table struct {
	events   []Event
	byWord   map[string]*Event
	forceful []string
	safe     map[string]safeguard
}

// Shipped lists the built-in events in the order of their file. It panics only
// if the program was built with a broken list.
func Shipped() []Event { return shipped().events }

var shipped = sync.OnceValue(func() *table {
	t, err := load(listed)
	if err != nil {
		panic(fmt.Sprintf("events: the built-in list is broken: %v", err))
	}
	return t
})

func load(data []byte) (*table, error) {
	var file struct {
		Forceful []string             `yaml:"forceful"`
		Safe     map[string]safeguard `yaml:"safe"`
		Events   []eventEntry         `yaml:"events"`
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	dec.KnownFields(true)
	if err := dec.Decode(&file); err != nil {
		return nil, err
	}
	if err := checkSafeguards(file.Safe); err != nil {
		return nil, err
	}
	t := &table{byWord: map[string]*Event{}, forceful: file.Forceful, safe: file.Safe}
	for _, e := range file.Events {
		event, err := e.event(file.Safe)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", e.Word, err)
		}
		t.events = append(t.events, event)
	}
	for i := range t.events {
		e := &t.events[i]
		for _, word := range append([]string{e.Word}, e.Synonyms...) {
			if t.byWord[word] != nil {
				return nil, fmt.Errorf("%q stands for two events", word)
			}
			t.byWord[word] = e
		}
	}
	for _, e := range t.events {
		if as := e.change.Fallen; as != "" && t.byWord[as] == nil {
			return nil, fmt.Errorf("%s: there is no event %q", e.Word, as)
		}
	}
	return t, nil
}

// event checks one entry against the catalogue and the table of sources.
func (e eventEntry) event(safe map[string]safeguard) (Event, error) {
	cited, err := cite(&e.Source)
	if err != nil {
		return Event{}, err
	}
	if e.Word == "" || e.Says == "" {
		return Event{}, fmt.Errorf("an event has a word and says what happened")
	}
	if e.Act != nil {
		if err := e.Act.check(e.Takes, safe); err != nil {
			return Event{}, err
		}
	}
	for _, name := range e.names() {
		if f, ok := facts.Shipped().Lookup(name); !ok || !f.Statable() {
			return Event{}, fmt.Errorf("no case states %q", name)
		}
	}
	return Event{Word: e.Word, Synonyms: e.Synonyms, Says: e.Says, Takes: e.Takes, Act: e.Act,
		Minutes: e.Minutes, Card: e.Card, Source: cited, change: e.changes}, nil
}

// names are the facts that an entry speaks of.
func (e eventEntry) names() []string {
	out := slices.Concat(e.Forget, e.Unknown)
	for _, m := range []map[string]string{e.Implies, e.Worsen, e.State, e.Count, e.Within} {
		for name := range m {
			out = append(out, name)
		}
	}
	if e.Takes != nil && e.Takes.Fact != "" {
		out = append(out, e.Takes.Fact)
	}
	return out
}

func cite(n *yaml.Node) (string, error) {
	nodes := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		nodes = n.Content
	}
	text := ""
	for _, key := range nodes {
		c, err := source.Shipped().Resolve(key.Value)
		if err != nil {
			return "", err
		}
		if text != "" {
			text += "; "
		}
		text += c.String()
	}
	return text, nil
}

// rungs are the ways that an event says came to nothing: a list to choose from,
// "offered" for what the sheet offered, or the event's own value.
func (c *changes) rungs() (list []string, offered, value bool) {
	if c.Tried.Kind == yaml.SequenceNode {
		for _, n := range c.Tried.Content {
			list = append(list, n.Value)
		}
		return list, false, false
	}
	return nil, c.Tried.Value == "offered", c.Tried.Value == "{value}"
}
