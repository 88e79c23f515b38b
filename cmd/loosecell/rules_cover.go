package main

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/listing"
	"loosecell/rules/advice"
	"loosecell/rules/cover"
	"loosecell/rules/facts"
	"loosecell/rules/triage"
)

func (p *program) rulesCover() *cobra.Command {
	var shopFile, on, topic string
	var ruleFiles, keep []string
	var how *format
	cmd := &cobra.Command{
		Use:   "cover CASES...",
		Short: "Tell which rules and thresholds no case has exercised",
		Long: `Read CASES and tell which rules have certainly held in none of them, and which
side of which threshold none lies on. Each of CASES is a case as advise reads it,
or a list of cells as triage reads it, with a case in each row: a table (.csv) or
JSON lines (.jsonl). Sides of dates of the law are left out: a case is read on one
day.`,
		Example: `  loosecell rules cover --shop bench.yaml our-cases/*.yaml
  loosecell rules cover our-cases/*.yaml our-cells.csv`,
		Args: cobra.MinimumNArgs(1),
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
			counter := cover.New(rulebook)
			err = p.eachCase(args, keep, shop, func(c *facts.Case) error {
				if err := counter.Add(c, advice.Options{On: on, Now: time.Now()}); err != nil {
					return fmt.Errorf("%s: %w", c.Name, err)
				}
				return nil
			})
			if err != nil {
				return err
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
	flags.StringSliceVar(&keep, "keep", nil, "`COLUMNS` of lists that are no facts")
	flags.StringVar(&on, "on", "", "`DATE` (2026-11-24) to read the law at, instead of the case's or today")
	flags.StringVar(&topic, "topic", "", "look only at rules of this `TOPIC`")
	how = formatFlag(cmd, "text", "json")
	return cmd
}

// mostTold is how many bad rows of a list are told one by one.
const mostTold = 100

// eachCase hands on each case of files and lists, laid over the shop. All of
// them are read, so that one run shows every problem.
func (p *program) eachCase(names, keep []string, shop *facts.Case, use func(*facts.Case) error) error {
	var wrong []string
	for _, name := range names {
		var err error
		if isList(name) {
			var bad []string
			bad, err = p.eachCell(name, keep, shop, use)
			wrong = append(wrong, bad...)
		} else {
			var c *facts.Case
			if c, err = p.oneCase(name, shop); err == nil {
				err = use(c)
			}
		}
		var problems facts.Problems
		var bad badInput
		switch {
		case errors.As(err, &problems), errors.As(err, &bad):
			wrong = append(wrong, err.Error())
		case err != nil:
			return err
		}
	}
	if len(wrong) > 0 {
		return badf("nothing was counted, because the input has errors:\n%s", strings.Join(wrong, "\n"))
	}
	return nil
}

// isList tells a list of cells from a case by its name.
func isList(name string) bool {
	end := filepath.Ext(name)
	return strings.EqualFold(end, ".csv") || strings.EqualFold(end, ".jsonl")
}

// eachCell hands on each row of a list as a case, and returns what is wrong with
// rows.
func (p *program) eachCell(name string, keep []string, shop *facts.Case, use func(*facts.Case) error) (wrong []string, err error) {
	in, _, err := p.stream(name)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	more := 0
	o := triage.Options{Name: name, Keep: keep, Shop: shop, Bad: func(b triage.Bad) error {
		if len(wrong) == mostTold {
			more++
		} else {
			wrong = append(wrong, badLine(name, b))
		}
		return nil
	}}
	rows := 0
	err = triage.Cases(in, o, func(c *facts.Case) error {
		rows++
		return use(c)
	})
	switch {
	case more > 0:
		wrong = append(wrong, fmt.Sprintf("%s: and %d more", name, more))
	case err == nil && rows == 0 && len(wrong) == 0:
		err = badf("%s: the list has no cells", name)
	}
	return wrong, err
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
