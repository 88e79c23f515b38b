package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/listing"
	"loosecell/rules"
)

func (p *program) rulesShow() *cobra.Command {
	var ruleFiles []string
	var how *format
	cmd := &cobra.Command{
		Use:   "show ID...",
		Short: "Show rules whole: condition, effect, reason, sources",
		Example: `  # The rule a sheet's JSON form names in its trace:
  loosecell rules show heat-wants-low-charge

  # A rule of the shop:
  loosecell rules show --rules our-rules.yaml no-warming-here`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, ids []string) error {
			rulebook, err := p.allRules(ruleFiles)
			if err != nil {
				return err
			}
			var chosen []rules.Rule
			for _, id := range ids {
				rule, ok := rulebook.Rule(id)
				if !ok {
					return badf("there is no rule %q; 'loosecell rules list' has them all, those of a shop with --rules", id)
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
	cmd.Flags().StringArrayVar(&ruleFiles, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	how = formatFlag(cmd, "text", "json")
	return cmd
}
