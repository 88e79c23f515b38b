package handout

import (
	"strings"

	"loosecell/rules/book"
	"loosecell/rules/briefing"
	"loosecell/rules/facts"
)

// ActCard is the card for something that has just happened, on a page of its
// own with its sources: the first act, what follows, what never, who takes over,
// and whom to call.
func ActCard(c *book.Card, shop *facts.Case) *Document {
	d := &Document{Title: c.Title, Under: "What to do at once.", Foot: Deference}
	if name := briefing.Place("shop_name", shop); name != briefing.Blank {
		d.Under = name + "."
	}
	d.Add(Block{Kind: Card, Level: 2, Act: Act{Title: "At once", First: c.First, Steps: sourced(c.Steps), Never: sourced(c.Never), Then: c.Then}})
	d.Heading(2, "Call")
	var calls []Row
	for _, call := range Calls(c) {
		calls = append(calls, Row{Cells: []string{call.Label, briefing.Place(call.Place, shop)}})
	}
	d.Add(Block{Kind: Form, Rows: calls})
	return d
}

// Call is somebody or somewhere that a card names: the placeholder of it.
type Call struct{ Label, Place string }

// Calls lists whom a card says to call. A torn tab is no emergency: there it is
// somebody to hand the device to, if the battery stays in.
func Calls(c *book.Card) []Call {
	specialist := Call{"Specialist", "referral"}
	if c.Topic == "torn-tab" {
		return []Call{specialist}
	}
	return []Call{{"Number", "emergency_number"}, {"Address", "shop_address"}, {"Meet at", "meeting_point"}, specialist}
}

func sourced(lines []book.CardLine) []Line {
	var out []Line
	for _, l := range lines {
		out = append(out, Line{l.Text, strings.Split(l.Source, "; ")})
	}
	return out
}
