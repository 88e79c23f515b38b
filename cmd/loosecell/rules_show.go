package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/listing"
	"loosecell/rules"
	"loosecell/rules/book"
)

func (p *program) rulesShow() *cobra.Command {
	var how *format
	cmd := &cobra.Command{
		Use:   "show ID...",
		Short: "Show rules whole: condition, effect, reason, sources",
		Example: `  # The rule a sheet's JSON form names in its trace:
  loosecell rules show heat-wants-low-charge`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, ids []string) error {
			shipped, err := book.Shipped()
			if err != nil {
				return err
			}
			var chosen []rules.Rule
			for _, id := range ids {
				rule, ok := shipped.Rule(id)
				if !ok {
					return badf("there is no rule %q; 'loosecell rules list' has them all", id)
				}
				chosen = append(chosen, *rule)
			}
			if how.json() {
				return p.printJSON(listing.Rules(chosen))
			}
			var out bytes.Buffer
			if err := listing.WriteRulesInFull(&out, chosen); err != nil {
				return err
			}
			return p.print(out.Bytes())
		},
	}
	how = formatFlag(cmd, "text", "json")
	return cmd
}
