package main

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/listing"
	"loosecell/rules/proof"
)

// How a proof can end besides with everything proved. The codes stand beside
// those of the other commands: 1 the program failed, 2 bad input.
const (
	exitRefuted = 3 // at least one law or statement is broken
	exitOpen    = 4 // none is broken, but some could not be settled
)

func (p *program) rulesProve() *cobra.Command {
	var invariants []string
	var all bool
	var budget int
	var how *format
	cmd := &cobra.Command{
		Use:   "prove [FILE...]",
		Short: "Prove what the rules never do, or print the case in which they do",
		Long: `Hold the shipped rules, or those with your rule FILEs over them, to their laws,
whatever the case: no permission grows when a fact gets worse; what is not known
permits nothing; no rule is dead and none only repeats others; the tables answer
on every date; and each statement of the invariants file holds (pierced: never
any work; over 30 %: never heat; and so on). That damage opens no mode of
carriage is asked of batteries that have all their papers (--all says so): the
law asks a damaged one for fewer of them.

Each is proved, or refuted by a case that was run before it is printed, or open
when the budget did not settle it. What a rule of yours relaxes and thereby
breaks is named with the rule.

Exit codes: 0 all proved, 1 the program failed, 2 bad input, 3 something is
refuted, 4 nothing is refuted but something is open.`,
		Example: `  # The shipped rules, then with the rules of a shop:
  loosecell rules prove
  loosecell rules prove our-rules.yaml

  # Hold them to statements of your own as well:
  loosecell rules prove --invariants our-promises.yaml our-rules.yaml`,
		RunE: func(_ *cobra.Command, args []string) error {
			if budget < 1 {
				return badf("--budget %d: give at least one region a question", budget)
			}
			rulebook, err := p.allRules(args)
			if err != nil {
				return err
			}
			statements, err := p.ruleFiles(invariants)
			if err != nil {
				return err
			}
			report, err := proof.Prove(rulebook, proof.Options{Invariants: statements, Budget: budget, Progress: p.progress("questions settled")})
			if err != nil {
				return badInput{err}
			}
			switch report.Status() {
			case proof.Refuted:
				p.code = exitRefuted
			case proof.Open:
				p.code = exitOpen
			}
			if how.json() {
				return p.printJSON(report)
			}
			var out bytes.Buffer
			if err := listing.WriteProof(&out, report, args, all); err != nil {
				return err
			}
			return p.print(out.Bytes())
		},
	}
	flags := cmd.Flags()
	flags.StringArrayVar(&invariants, "invariants", nil, "`FILE` with statements of your own; may be repeated")
	flags.IntVar(&budget, "budget", proof.DefaultBudget, "`REGIONS` that one question may cost before it is left open")
	flags.BoolVar(&all, "all", false, "also list everything that is proved, and how")
	how = formatFlag(cmd, "text", "json")
	return cmd
}

// progress tells how far a long run is, on standard error and at most four
// times a second; a terminal keeps one line, which is cleared before it is
// written anew.
func (p *program) progress(what string) func(done, total int) {
	return progressOn(p.stderr, colour(p.stderr), what)
}

func progressOn(w io.Writer, live bool, what string) func(done, total int) {
	var last time.Time
	start := ""
	return func(done, total int) {
		now := time.Now()
		if done < total && (!live || now.Sub(last) < 250*time.Millisecond) {
			return
		}
		last = now
		end := ""
		if done >= total {
			end = "\n"
		}
		fmt.Fprintf(w, "%s%d of %d %s%s", start, done, total, what, end)
		if live {
			start = "\r\x1b[K"
		}
	}
}
