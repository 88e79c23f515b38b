package main

import (
	"bytes"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/listing"
	"loosecell/rules/advice"
	"loosecell/rules/cover"
)

func (p *program) rulesCover() *cobra.Command {
	var shopFile, on, topic string
	var ruleFiles []string
	var how *format
	cmd := &cobra.Command{
		Use:   "cover CASE...",
		Short: "Tell which rules and thresholds no case has exercised",
		Long: `Read each CASE as advise does and tell which rules have certainly held in none of
them, and which side of which threshold none lies on. Dates are left out: all
cases are read on one day.`,
		Example: `  loosecell rules cover --shop bench.yaml our-cases/*.yaml`,
		Args:    cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := checkDate(on); err != nil {
				return err
			}
			shop, err := p.shop(shopFile)
			if err != nil {
				return err
			}
			rulebook, err := p.allRules(ruleFiles)
			if err != nil {
				return err
			}
			cases, err := p.cases(args, shop)
			if err != nil {
				return err
			}
			counter := cover.New(rulebook)
			for _, c := range cases {
				if err := counter.Add(c, advice.Options{On: on, Now: time.Now()}); err != nil {
					return fmt.Errorf("%s: %w", c.Name, err)
				}
			}
			found := counter.Result()
			if topic != "" {
				if found.Entries = coveredOf(found.Entries, topic); len(found.Entries) == 0 {
					return badf("no rule is about %q; 'loosecell rules list' has the topics", topic)
				}
			}
			if how.json() {
				return p.printJSON(found)
			}
			var out bytes.Buffer
			if err := listing.WriteCoverage(&out, found); err != nil {
				return err
			}
			return p.print(out.Bytes())
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&shopFile, "shop", "", "`FILE` with what holds for every case here (default: LOOSECELL_SHOP)")
	flags.StringArrayVar(&ruleFiles, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	flags.StringVar(&on, "on", "", "`DATE` (2026-11-24) to read the law at, instead of the case's or today")
	flags.StringVar(&topic, "topic", "", "look only at rules of this `TOPIC`")
	how = formatFlag(cmd, "text", "json")
	return cmd
}

func coveredOf(all []cover.Rule, topic string) []cover.Rule {
	var out []cover.Rule
	for _, r := range all {
		if r.Topic == topic {
			out = append(out, r)
		}
	}
	return out
}
