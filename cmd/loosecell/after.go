package main

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/cmd/loosecell/internal/sheet"
	"loosecell/rules/advice"
	"loosecell/rules/events"
	"loosecell/rules/facts"
)

// afterFlags are the flags of after.
type afterFlags struct {
	shop          string
	rules         []string
	on            string
	format        *format
	dryRun        bool
	list          bool
	exitByVerdict bool
}

func (p *program) after() *cobra.Command {
	var f afterFlags
	cmd := &cobra.Command{
		Use:   "after CASE EVENT...",
		Short: "Take in what just happened, and say what comes next",
		Long: `Take what just happened into a case: a strip snapped, the cell was bent, a dose
went in. Print the next action first, then a short sheet, and write the case
back. What was tried is not offered again; doses, warmings and minutes count;
after force the cell has to be looked at again; at its limits the job stops.

The case file is rewritten as a whole: the comments at its top stay, others are
lost. "-" reads the case from standard input and prints it below the sheet.
With an error in the case or in an event nothing is written.`,
		Example: `  loosecell after torn-tab.yaml strip-snapped
  loosecell after torn-tab.yaml warmed=2 cooled tried=warm looked
  loosecell after --dry-run torn-tab.yaml solvent-applied=0.4mL
  loosecell after --list`,
		Args: func(_ *cobra.Command, args []string) error {
			switch {
			case f.list || len(args) > 1:
				return nil
			case len(args) == 0:
				return errors.New("no case given; name a case file and what happened")
			}
			return errors.New("say what happened, such as strip-snapped or bent; after --list shows all")
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if f.list {
				return p.listEvents()
			}
			return p.runAfter(f, args[0], args[1:])
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return nil, cobra.ShellCompDirectiveDefault
			}
			var words []string
			for _, e := range events.Shipped() {
				words = append(words, e.Word)
			}
			return words, cobra.ShellCompDirectiveNoFileComp
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.shop, "shop", "", "`FILE` with what holds for every case here (default: LOOSECELL_SHOP)")
	flags.StringArrayVar(&f.rules, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	flags.StringVar(&f.on, "on", "", "`DATE` (2026-11-24) to read the law at, instead of the case's or today")
	flags.BoolVar(&f.dryRun, "dry-run", false, "print, and leave the case file as it is")
	flags.BoolVar(&f.list, "list", false, "list the events and stop")
	flags.BoolVar(&f.exitByVerdict, "exit-by-verdict", false, "exit 10, 20 or 30 for prepare, stop or evacuate")
	f.format = formatFlag(cmd, "text", "json")
	return cmd
}

func (p *program) runAfter(f afterFlags, name string, words []string) error {
	if err := checkDate(f.on); err != nil {
		return err
	}
	happened, err := occurrences(words)
	if err != nil {
		return err
	}
	shop, err := p.shop(f.shop)
	if err != nil {
		return err
	}
	rulebook, err := p.rulebook(f.rules, f.on)
	if err != nil {
		return err
	}
	label, data, err := p.read(name, "the case")
	if err != nil {
		return err
	}
	c, err := facts.ParseCase(facts.Shipped(), label, data)
	if err != nil {
		return badf("nothing was noted, because the case has errors:\n%w%s", err, meanwhile(happened))
	}
	report, err := events.After(rulebook, c, shop, happened, advice.Options{On: f.on, Now: time.Now()})
	var problems facts.Problems
	if errors.As(err, &problems) {
		return badf("nothing was noted, because it contradicts the case:\n%w%s", err, meanwhile(happened))
	}
	if err != nil {
		return err
	}
	if f.exitByVerdict {
		p.code = verdictCodes[report.Advice.Verdict]
	}
	text, lost := rewritten(data, report, happened)
	report.YAML = string(text)
	printed := p.printReport(report, c.Over(shop), f, name == "-")
	if f.dryRun || name == "-" {
		return printed
	}
	if lost {
		p.say("%s: only the comments at its top are kept.", label)
	}
	// What to do is on the screen before the file is touched.
	if err := writeOver(name, text); err != nil {
		return errors.Join(printed, fmt.Errorf("the case was NOT written back; note by hand what happened: %w", err))
	}
	return printed
}

// occurrences reads the events as typed; all of them, so that one run shows
// every mistake.
func occurrences(words []string) ([]events.Occurrence, error) {
	var out []events.Occurrence
	var wrong []string
	for _, word := range words {
		x, err := events.Parse(word)
		if err != nil {
			wrong = append(wrong, err.Error())
		}
		out = append(out, x)
	}
	if len(wrong) > 0 {
		return nil, badf("nothing was noted: %s%s", strings.Join(wrong, "\n"), meanwhile(out))
	}
	return out, nil
}

// meanwhile points to the cards of what happened, which need no case.
func meanwhile(happened []events.Occurrence) string {
	for _, x := range happened {
		if x.Event != nil && x.Event.Card != "" {
			return "\nMeanwhile: loosecell act " + x.Event.Card
		}
	}
	return ""
}

func (p *program) printReport(r *events.Report, c *facts.Case, f afterFlags, withCase bool) error {
	if f.format.json() {
		return p.printJSON(r)
	}
	var out bytes.Buffer
	if err := sheet.After(&out, r, sheet.Options{Colour: colour(p.stdout), Place: place(c), Carriage: carriageAsked(c)}); err != nil {
		return err
	}
	if withCase {
		fmt.Fprintf(&out, "\n# ---- the case as it now stands ----\n%s", r.YAML)
	}
	return p.print(out.Bytes())
}

func (p *program) listEvents() error {
	var out page.Page
	for _, e := range events.Shipped() {
		text := e.Says
		if len(e.Synonyms) > 0 {
			text += " Also: " + strings.Join(e.Synonyms[:min(3, len(e.Synonyms))], ", ") + "."
		}
		out.Item(page.Plain, e.Usage(), 26, text)
	}
	var text bytes.Buffer
	if err := out.Write(&text, nil); err != nil {
		return err
	}
	return p.print(text.Bytes())
}
