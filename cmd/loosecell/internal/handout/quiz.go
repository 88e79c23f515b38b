package handout

import (
	"fmt"
	"strings"

	"loosecell/rules/advice"
	"loosecell/rules/quiz"
)

// Quiz is the cards to answer on paper.
func (t *Teacher) Quiz(cards []quiz.Card, drawn string) *Document {
	d := t.document("Quiz")
	d.Under += " " + drawn
	d.Add(Block{Kind: Form, Rows: []Row{{Cells: []string{"Name", ""}}, {Cells: []string{"Date", ""}}, {Cells: []string{"Right answers", ""}}}})
	d.Add(Block{Kind: Para, Lines: []Line{{Text: "What a card does not mention is as it should be: a sound cell, a full set of tools, a second person within call, an open window, a room at 22 °C. Mark one answer on each card."}}})
	for i := range cards {
		c := &cards[i]
		d.Heading(2, fmt.Sprintf("%d. %s", c.Number, c.Question))
		d.Add(Block{Kind: Para, Lines: []Line{{Text: c.Story}}})
		d.Add(Block{Kind: Bullets, Lines: knownLines(c)})
		d.Add(Block{Kind: Choices, Lines: optionLines(c)})
	}
	return d
}

// QuizKey is the answers, with the reasons and the smallest change of each.
func (t *Teacher) QuizKey(cards []quiz.Card, drawn string) *Document {
	d := t.document("Quiz: answer key")
	d.Under += " " + drawn
	for i := range cards {
		c := &cards[i]
		d.Heading(2, fmt.Sprintf("%d. %s", c.Number, c.Question))
		d.Add(Block{Kind: Form, Rows: []Row{{Cells: []string{"Answer", Letter(c, c.Answer) + ") " + c.Right()}}}})
		d.Add(Block{Kind: Bullets, Lines: because(c.Because)})
		d.Add(Block{Kind: Para, Lines: []Line{{Text: FlipLine(c)}}})
		d.Add(Block{Kind: Bullets, Lines: because(c.Flip.Because)})
	}
	return d
}

// FlipLine says the smallest change on a card that gives another answer.
func FlipLine(c *quiz.Card) string {
	return fmt.Sprintf("It would be another answer with: %s %s instead of %s. Then: %s.", c.Flip.Ask, c.Flip.To, c.Flip.From,
		strings.TrimSuffix(c.Flip.Text, "."))
}

func because(lines []advice.Line) []Line {
	var out []Line
	for _, l := range lines {
		line := Line{Text: l.Text}
		for source := range strings.SplitSeq(l.Source, "; ") {
			if source != "" {
				line.Cited = append(line.Cited, source)
			}
		}
		out = append(out, line)
	}
	return out
}

func knownLines(c *quiz.Card) []Line {
	var out []Line
	for _, k := range c.Known {
		out = append(out, Line{Text: k.Ask + " " + k.Value})
	}
	return out
}

func optionLines(c *quiz.Card) []Line {
	var out []Line
	for _, o := range c.Options {
		out = append(out, Line{Text: Letter(c, o.Word) + ") " + o.Text})
	}
	return out
}

// Letter is the letter of an answer on its card, "?" if the card does not have
// it.
func Letter(c *quiz.Card, word string) string {
	for i, o := range c.Options {
		if o.Word == word {
			return string(rune('a' + i))
		}
	}
	return "?"
}
