package main

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/handout"
	"loosecell/cmd/loosecell/internal/sheet"
	"loosecell/rules/book"
	"loosecell/rules/briefing"
	"loosecell/rules/facts"
)

func (p *program) act() *cobra.Command {
	var shop string
	var f *format
	cmd := &cobra.Command{
		Use:   "act [TOPIC]",
		Short: "Print the card for something that has just happened",
		Long: `Print what to do at once, on one card. No case is needed. Without a topic,
list the topics. With a shop file the card ends with your emergency number,
address and meeting point; as HTML or Markdown, what the shop file does not say
is a line to fill in.`,
		Example: `  # The tab came off in your hand:
  loosecell act torn-tab

  # A page to hang up by the bench:
  loosecell act smoke --shop bench.yaml --format html > smoke.html`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return p.listCards(f)
			}
			card, ok := book.CardFor(args[0])
			if !ok {
				return badf("there is no card %q; cards: %s", args[0], strings.Join(topics(), ", "))
			}
			at, err := p.shop(shop)
			if err != nil {
				return err
			}
			return p.printCard(&card, at, f)
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return topics(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	cmd.Flags().StringVar(&shop, "shop", "", "shop `FILE` (default: LOOSECELL_SHOP)")
	f = formatFlag(cmd, "text", "json", "html", "markdown")
	return cmd
}

// printCard writes a card: as text for the screen of a person in a hurry, else
// as a page with room for what the shop file does not say.
func (p *program) printCard(card *book.Card, shop *facts.Case, f *format) error {
	switch f.value {
	case "json":
		return p.printJSON(cardJSON(card, shop))
	case "text":
		var out bytes.Buffer
		if err := sheet.Card(&out, *card, sheet.Options{Colour: colour(p.stdout), Place: place(shop)}); err != nil {
			return err
		}
		return p.print(out.Bytes())
	}
	return p.printDocument(handout.ActCard(card, shop), f)
}

// actCard is a card as JSON.
type actCard struct {
	*book.Card
	Call      []actPlace `json:"call"`
	Deference string     `json:"deference"`
}

type actPlace struct {
	Label string `json:"label"`
	Text  string `json:"text"` // "" where the shop file does not say
}

func cardJSON(c *book.Card, shop *facts.Case) actCard {
	out := actCard{Card: c, Call: []actPlace{}, Deference: handout.Deference}
	for _, call := range handout.Calls(c) {
		text := briefing.Place(call.Place, shop)
		if text == briefing.Blank {
			text = ""
		}
		out.Call = append(out.Call, actPlace{call.Label, text})
	}
	return out
}

func topics() []string {
	var names []string
	for _, card := range book.Cards() {
		names = append(names, card.Topic)
	}
	return names
}

func (p *program) listCards(f *format) error {
	if f.json() {
		type topic struct {
			Topic string `json:"topic"`
			Title string `json:"title"`
		}
		var list []topic
		for _, card := range book.Cards() {
			list = append(list, topic{card.Topic, card.Title})
		}
		return p.printJSON(list)
	}
	var out bytes.Buffer
	for _, card := range book.Cards() {
		fmt.Fprintf(&out, "%-10s %s\n", card.Topic, card.Title)
	}
	return p.print(out.Bytes())
}
