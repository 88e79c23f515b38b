package briefing

import (
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/source"
)

// Cited are the documents behind a statement, through its rules and cards as
// well, each once and in the order in which they are met.
func (s *Statement) Cited(b *rules.Book) []string {
	var out []string
	add := func(text string) {
		if text != "" && !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	for _, g := range s.Grounds {
		switch {
		case g.Rule != "":
			for _, c := range ruleSources(b, g.Rule) {
				add(named(c))
			}
		case g.Card != "":
			card, _ := book.CardFor(g.Card)
			for _, l := range append(slices.Clone(card.Steps), card.Never...) {
				for text := range strings.SplitSeq(l.Source, "; ") {
					add(spelled(text))
				}
			}
		default:
			add(named(g.Cite))
		}
	}
	return out
}

// named is a citation with a word on how it is known, where that is less than
// by reading it.
func named(c source.Citation) string {
	text := c.String()
	if c.Document == nil || c.Document.Kind == source.PracticeOf {
		return text
	}
	if c.Document.Date != "" && !strings.Contains(text, c.Document.Date[:min(4, len(c.Document.Date))]) {
		text += " (" + c.Document.Date + ")"
	}
	switch c.Document.Known {
	case source.Memory:
		return text + "; from memory, confirm it"
	case source.Secondary:
		return text + "; known at second hand"
	}
	return text
}

// spelled is a card's citation as the others are written.
func spelled(text string) string {
	for _, d := range source.Shipped().Documents() {
		if c := (source.Citation{Document: d}); c.String() == text {
			return named(c)
		}
	}
	return text
}

func ruleSources(b *rules.Book, id string) []source.Citation {
	all := b.Rules()
	for i := range all {
		if all[i].ID == id {
			return all[i].Sources
		}
		for _, row := range rowsOf(&all[i]) {
			if row.ID == id {
				return row.Sources
			}
		}
	}
	return nil
}
