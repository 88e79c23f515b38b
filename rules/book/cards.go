package book

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"sync"

	"gopkg.in/yaml.v3"

	"loosecell/rules/source"
)

//go:embed cards/*.yaml
var cardFiles embed.FS

// Card is an immediate-action card: what to do this minute about one sign.
type Card struct {
	Topic string     `json:"topic"`
	Title string     `json:"title"`
	First string     `json:"first"` // the very first act
	Steps []CardLine `json:"steps"`
	Never []CardLine `json:"never"`
	Then  string     `json:"then"` // who takes over
}

// CardLine is one sentence of a card and the document behind it.
type CardLine struct {
	Text   string `json:"text"`
	Source string `json:"source"`
}

// cardOrder lists the topics, the most urgent first.
var cardOrder = []string{"smoke", "hot", "smell", "leak", "pierced", "swollen", "torn-tab"}

// Cards lists the built-in cards, the most urgent first. It panics only if the
// program was built with a broken one.
func Cards() []Card { return loadCards() }

// CardFor finds the card of a topic.
func CardFor(topic string) (Card, bool) {
	for _, c := range Cards() {
		if c.Topic == topic {
			return c, true
		}
	}
	return Card{}, false
}

var loadCards = sync.OnceValue(func() []Card {
	cards, err := readCards(cardFiles, "cards", source.Shipped())
	if err != nil {
		panic(fmt.Sprintf("book: the built-in cards are broken: %v", err))
	}
	return cards
})

// cardEntry is a card as its file writes it.
type cardEntry struct {
	Topic string          `yaml:"topic"`
	Title string          `yaml:"title"`
	First string          `yaml:"first"`
	Steps []cardLineEntry `yaml:"steps"`
	Never []cardLineEntry `yaml:"never"`
	Then  string          `yaml:"then"`
}

type cardLineEntry struct {
	Text   string    `yaml:"text"`
	Source yaml.Node `yaml:"source"`
}

func readCards(files fs.FS, dir string, sources *source.Table) ([]Card, error) {
	var out []Card
	for _, topic := range cardOrder {
		name := dir + "/" + topic + ".yaml"
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		var e cardEntry
		dec := yaml.NewDecoder(bytes.NewReader(data))
		dec.KnownFields(true)
		if err := dec.Decode(&e); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if e.Topic != topic || e.Title == "" || e.First == "" || len(e.Steps) == 0 || e.Then == "" {
			return nil, fmt.Errorf("%s: a card has its file's topic, a title, first, steps and then", name)
		}
		c := Card{Topic: e.Topic, Title: e.Title, First: e.First, Then: e.Then}
		if c.Steps, err = cardLines(e.Steps, sources); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if c.Never, err = cardLines(e.Never, sources); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out = append(out, c)
	}
	return out, nil
}

// cardLines resolves the citations of the lines of a card.
func cardLines(list []cardLineEntry, sources *source.Table) ([]CardLine, error) {
	var out []CardLine
	for _, l := range list {
		nodes := []*yaml.Node{&l.Source}
		if l.Source.Kind == yaml.SequenceNode {
			nodes = l.Source.Content
		}
		var cited string
		for _, n := range nodes {
			c, err := sources.Resolve(n.Value)
			if err != nil {
				return nil, fmt.Errorf("line %d: %w", n.Line, err)
			}
			if cited != "" {
				cited += "; "
			}
			cited += c.String()
		}
		out = append(out, CardLine{Text: l.Text, Source: cited})
	}
	return out, nil
}
