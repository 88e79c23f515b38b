package main

import (
	"bytes"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/listing"
	"loosecell/rules/difference"
)

func (p *program) rulesDiff() *cobra.Command {
	var shopFile, from, to string
	var rulesA, rulesB []string
	var how *format
	cmd := &cobra.Command{
		Use:   "diff CASE...",
		Short: "Compare two dates, or two sets of rules, by what they answer",
		Long: `Answer each CASE twice, as on the day --from with the rules of --rules-a and as on
the day --to with those of --rules-b, and print the answers that differ. Rules and
rows that speak on one side only (-id, +id) stand under the answers they bear on,
the others once below. Without --rules-a and --rules-b both sides use the shipped
rules; without a date, both read the case's own or today.`,
		Example: `  # What changes for these cells at the turn of the year:
  loosecell rules diff --from 2025-12-31 --to 2026-01-01 cells/*.yaml

  # What our own rules change:
  loosecell rules diff --rules-b our-rules.yaml cells/*.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("no case given; name a case file, or - for standard input")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			for name, day := range map[string]string{"--from": from, "--to": to} {
				if day == "" {
					continue
				}
				if _, err := time.Parse(time.DateOnly, day); err != nil {
					return badf("%s %q is not a date; write it as 2026-11-24", name, day)
				}
			}
			if from == to && len(rulesA) == 0 && len(rulesB) == 0 {
				return badf("nothing to compare: give --from and --to, or --rules-a or --rules-b")
			}
			now := time.Now()
			a, b := difference.Side{On: from, Now: now}, difference.Side{On: to, Now: now}
			var err error
			if a.Book, err = p.allRules(rulesA); err != nil {
				return err
			}
			if b.Book, err = p.allRules(rulesB); err != nil {
				return err
			}
			shop, err := p.shop(shopFile)
			if err != nil {
				return err
			}
			cases, err := p.cases(args, shop)
			if err != nil {
				return err
			}
			all := []listing.CaseChanges{}
			for _, c := range cases {
				d, err := difference.Between(a, b, c)
				if err != nil {
					return fmt.Errorf("%s: %w", c.Name, err)
				}
				all = append(all, listing.CaseChanges{Case: c.Name, Difference: d})
			}
			if how.json() {
				return p.printJSON(all)
			}
			var out bytes.Buffer
			if err := listing.WriteChanges(&out, all); err != nil {
				return err
			}
			return p.print(out.Bytes())
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&from, "from", "", "`DATE` of the first side")
	flags.StringVar(&to, "to", "", "`DATE` of the second side")
	flags.StringArrayVar(&rulesA, "rules-a", nil, "`FILE` with rules of the shop for the first side; may be repeated")
	flags.StringArrayVar(&rulesB, "rules-b", nil, "`FILE` with rules of the shop for the second side; may be repeated")
	flags.StringVar(&shopFile, "shop", "", "`FILE` with what holds for every case here (default: LOOSECELL_SHOP)")
	how = formatFlag(cmd, "text", "json")
	return cmd
}
