package main

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/sheet"
	"loosecell/rules/book"
)

func (p *program) act() *cobra.Command {
	var shop string
	cmd := &cobra.Command{
		Use:   "act [TOPIC]",
		Short: "Print the card for something that has just happened",
		Long: `Print what to do at once, on one card. No case is needed. Without a topic,
list the topics. With a shop file the card ends with your emergency number,
address and meeting point.`,
		Example: `  # The tab came off in your hand:
  loosecell act torn-tab`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return p.listCards()
			}
			card, ok := book.CardFor(args[0])
			if !ok {
				return badf("there is no card %q; cards: %s", args[0], strings.Join(topics(), ", "))
			}
			at, err := p.shop(shop)
			if err != nil {
				return err
			}
			var out bytes.Buffer
			if err := sheet.Card(&out, card, sheet.Options{Colour: colour(p.stdout), Place: place(at)}); err != nil {
				return err
			}
			return p.print(out.Bytes())
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return topics(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	cmd.Flags().StringVar(&shop, "shop", "", "shop `FILE` (default: LOOSECELL_SHOP)")
	return cmd
}

func topics() []string {
	var names []string
	for _, card := range book.Cards() {
		names = append(names, card.Topic)
	}
	return names
}

func (p *program) listCards() error {
	var out bytes.Buffer
	for _, card := range book.Cards() {
		fmt.Fprintf(&out, "%-10s %s\n", card.Topic, card.Title)
	}
	return p.print(out.Bytes())
}
