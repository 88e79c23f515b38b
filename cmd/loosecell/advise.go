package main

import (
	"bytes"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/sheet"
	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// adviseFlags are the flags of advise.
type adviseFlags struct {
	shop          string
	rules         []string
	on            string
	format        *format
	exitByVerdict bool
	schema        bool
}

func (p *program) advise() *cobra.Command {
	var f adviseFlags
	cmd := &cobra.Command{
		Use:   "advise CASE...",
		Short: "Say whether and how the battery comes out",
		Long: `Read each CASE, a YAML file with what is known of one job ("-" is standard
input), and print a sheet for it: the verdict, what comes first, the steps, the
limits for charge, heat and solvent, where the cell waits, and what is not
known that would change the answer.

Each of several cases gets its own sheet; as JSON, one case is one object and
several are an array. As HTML they are one file that needs no network, with
drawings, each sheet on a page of its own (A4 or Letter): its front to work
from, its back to look things up. If any case has an error, no advice is given
for any.

Exit codes: 0 advice given, 1 the program failed, 2 bad input. With
--exit-by-verdict also 10 prepare, 20 stop, 30 evacuate, the worst of all cases.`,
		Example: `  # A phone whose pull tab tore, in a shop that has described its bench once:
  loosecell new shop -o bench.yaml
  loosecell new phone -o torn-tab.yaml
  loosecell advise --shop bench.yaml torn-tab.yaml

  # To print, with drawings of the device, the rungs and the courses:
  loosecell advise --shop bench.yaml --format html torn-tab.yaml > torn-tab.html

  # The same for another program, with the verdict as the exit code:
  loosecell advise --shop bench.yaml --format json --exit-by-verdict - < torn-tab.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 && !f.schema {
				return fmt.Errorf("no case given; name a case file, or - for standard input")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if f.schema {
				return p.print(advice.JSONSchema())
			}
			return p.runAdvise(f, args)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.shop, "shop", "", "`FILE` with what holds for every case here (default: LOOSECELL_SHOP)")
	flags.StringArrayVar(&f.rules, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	flags.StringVar(&f.on, "on", "", "`DATE` (2026-11-24) to read the law at, instead of the case's or today")
	flags.BoolVar(&f.exitByVerdict, "exit-by-verdict", false, "exit 10, 20 or 30 for prepare, stop or evacuate")
	flags.BoolVar(&f.schema, "schema", false, "print the JSON Schema of the JSON form and stop")
	f.format = formatFlag(cmd, "text", "json", "html", "markdown")
	return cmd
}

func (p *program) runAdvise(f adviseFlags, names []string) error {
	if err := checkDate(f.on); err != nil {
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
	cases, err := p.cases(names, shop)
	if err != nil {
		return err
	}
	options := advice.Options{On: f.on, Now: time.Now()}
	var all []*advice.Advice
	for _, c := range cases {
		a, err := advice.Advise(rulebook, c, options)
		if err != nil {
			return fmt.Errorf("%s: %w", c.Name, err)
		}
		all = append(all, a)
	}
	if f.exitByVerdict {
		for _, a := range all {
			p.code = max(p.code, verdictCodes[a.Verdict])
		}
	}
	switch {
	case f.format.json() && len(all) == 1:
		return p.printJSON(all[0])
	case f.format.json():
		return p.printJSON(all)
	case f.format.value == "html" || f.format.value == "markdown":
		return p.printPapers(f.format.value, rulebook, options, all, cases)
	}
	return p.printSheets(all, cases)
}

var verdictCodes = map[string]int{"prepare": exitPrepare, "stop": exitStop, "evacuate": exitEvacuate}

// printSheets prints one sheet a case, a blank line between two.
func (p *program) printSheets(all []*advice.Advice, cases []*facts.Case) error {
	var out bytes.Buffer
	for i, a := range all {
		if i > 0 {
			out.WriteByte('\n')
		}
		if err := sheet.Text(&out, a, sheet.Options{Colour: colour(p.stdout), Place: place(cases[i]), Carriage: carriageAsked(cases[i])}); err != nil {
			return err
		}
	}
	return p.print(out.Bytes())
}

// printPapers prints the sheets for paper or a wiki, as one file.
func (p *program) printPapers(format string, rulebook *rules.Book, options advice.Options, all []*advice.Advice, cases []*facts.Case) error {
	var sheets []sheet.Sheet
	for i, a := range all {
		s := sheet.Sheet{Advice: a, Place: place(cases[i])}
		if format == "html" && a.Verdict != "evacuate" {
			pictures, err := advice.PicturesOf(rulebook, cases[i], options, a)
			if err != nil {
				return fmt.Errorf("%s: %w", cases[i].Name, err)
			}
			s.Pictures = pictures
		}
		sheets = append(sheets, s)
	}
	write := sheet.HTML
	if format == "markdown" {
		write = sheet.Markdown
	}
	var out bytes.Buffer
	if err := write(&out, sheets); err != nil {
		return err
	}
	return p.print(out.Bytes())
}

// carriageAsked tells that a case wants to know how the cell may travel. A shop
// that only says whose law holds does not ask.
func carriageAsked(c *facts.Case) bool {
	f, _ := facts.Shipped().Lookup("job.goal")
	ship, _ := f.Word("ship")
	goal := c.Get("job.goal")
	return goal.State == facts.Stated && goal.Words == 1<<ship ||
		c.Get("dispatch.purpose").State != facts.Missing || c.Get("dispatch.packing").State != facts.Missing
}

// place is the shop as the sheets name it.
func place(c *facts.Case) sheet.Place {
	text := func(fact string) string { return c.Get(fact).Text }
	return sheet.Place{
		Name: text("shop.name"), Address: text("shop.address"), EmergencyNumber: text("shop.emergency_number"),
		MeetingPoint: text("shop.meeting_point"), Referral: text("shop.referral"), PoisonLine: text("shop.poison_line"),
	}
}

// rulebook is the shipped book with the shop's rule files over it, as it stands
// on a day ("" for today): what a shop relaxed until then is told and left out.
// A case may be dated back; that revives no relaxation.
func (p *program) rulebook(names []string, on string) (*rules.Book, error) {
	over, err := p.allRules(names)
	if err != nil || len(names) == 0 {
		return over, err
	}
	if on == "" {
		on = time.Now().Format(time.DateOnly)
	}
	ended := func(r *rules.Rule) bool { return r.Relaxes != nil && r.Until <= on }
	any := false
	for i := range over.Rules() {
		if r := &over.Rules()[i]; ended(r) {
			any = true
			p.say("loosecell: %s:%d: rule %s relaxed %s until %s and no longer does", r.At.File, r.At.Line, r.ID, r.Relaxes.Rule, r.Until)
		}
	}
	if any {
		return over.Without(ended), nil
	}
	return over, nil
}

// allRules is the shipped book with the shop's rule files over it, whatever the
// day.
func (p *program) allRules(names []string) (*rules.Book, error) {
	if len(names) == 0 {
		return book.Shipped()
	}
	files, err := p.ruleFiles(names)
	if err != nil {
		return nil, err
	}
	over, err := book.With(files...)
	if err != nil {
		return nil, badInput{err}
	}
	return over, nil
}

func (p *program) ruleFiles(names []string) ([]book.File, error) {
	var files []book.File
	for _, name := range names {
		label, data, err := p.read(name, "the rule file")
		if err != nil {
			return nil, err
		}
		files = append(files, book.File{Name: label, Data: data})
	}
	return files, nil
}

func checkDate(on string) error {
	if on == "" {
		return nil
	}
	if _, err := time.Parse(time.DateOnly, on); err != nil {
		return badf("--on %q is not a date; write it as 2026-11-24", on)
	}
	return nil
}
