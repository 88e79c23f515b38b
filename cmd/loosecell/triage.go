package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"

	"loosecell/rules/advice"
	"loosecell/rules/facts"
	"loosecell/rules/triage"
)

// triageFlags are the flags of triage.
type triageFlags struct {
	shop    string
	rules   []string
	on      string
	answers []string
	keep    []string
	bad     string
	quiet   bool
	format  *format
}

func (p *program) triage() *cobra.Command {
	var f triageFlags
	cmd := &cobra.Command{
		Use:   "triage [CELLS]",
		Short: "Sort many cells: a line of answers for each",
		Long: `Read CELLS, a table (CSV) or JSON lines with one cell a row, and write the
answers for each, in the same order and the same form. Without CELLS, or with
"-", it reads standard input. Rows are answered as they come, on all processors
and in constant memory.

The first row of a table names the facts ("loosecell facts" lists them), with
the unit of bare numbers in brackets: battery.rated_energy [Wh]. Several words
that hold at once are parted by semicolons; an empty field says nothing. In
JSON lines a key is a fact, dotted or in groups. job.id, job.ticket and count
(of alike cells) are copied to the output, and so is what --keep names.

A row with an error is told on standard error, or written to --bad with line,
column, code and reason, and the rest goes on. It is bad input (exit code 2) if
the heading has an error, or if every row has one and there is no --bad. At the
end, standard error has a summary by class.

A list may be parted into shards, each read by a run of its own. A shard may be
empty (no output, exit code 0), and with --bad all of its rows may have errors.
"line" counts within the shard.

Where a rule of --rules loosens a shipped one, "relaxed" is the last answer, or
stands where --answers has it: the rules of the shop, parted by semicolons, that
loosen something for this row or may do so.

Answers: verdict, because, condition, transport_state, removal.pick, opening.may,
discharge.may, discharge.due, discharge.action, discharge.target_soc_pct,
heat.may, solvent.may, refit.may, storage.class, storage.container,
storage.look_again, storage.fallback, ship.road, ship.rail, ship.sea,
ship.air-cargo, ship.air-passenger, ship.passenger-baggage, ship.post, relaxed,
and each derived fact by its name, such as derived.rated_energy. A mode of
carriage is answered whether or not the row asks to send the cell. "because" is
found by trying out what comes first, and is much slower than the rest.`,
		Example: `  loosecell triage day.csv > sorted.csv
  loosecell triage --answers verdict,storage.class,ship.road --bad bad.csv day.csv > sorted.csv

  # One shard of many: a filter that needs nothing but its input.
  loosecell triage --shop bench.yaml --bad bad-17.csv - < part-17.jsonl > out-17.jsonl`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			name := "-"
			if len(args) > 0 {
				name = args[0]
			}
			return p.runTriage(cmd.Context(), f, name)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.shop, "shop", "", "`FILE` with what holds for every cell (default: LOOSECELL_SHOP)")
	flags.StringArrayVar(&f.rules, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	flags.StringVar(&f.on, "on", "", "`DATE` (2026-11-24) to read the law at, instead of the row's or today")
	flags.StringSliceVar(&f.answers, "answers", triage.DefaultAnswers, "`NAMES` of the answers to write, in this order")
	flags.StringSliceVar(&f.keep, "keep", nil, "`COLUMNS` to copy to the output, facts or not")
	flags.StringVar(&f.bad, "bad", "", "`FILE` for rows with errors (.csv or .jsonl) instead of standard error")
	flags.BoolVar(&f.quiet, "quiet", false, "no progress and no summary")
	f.format = formatFlag(cmd, "same", "csv", "jsonl")
	cmd.Flags().Lookup("format").Usage = "how to write: csv, jsonl, or same as the input"
	return cmd
}

func (p *program) runTriage(ctx context.Context, f triageFlags, name string) error {
	o, err := p.triageOptions(f)
	if err != nil {
		return err
	}
	rulebook, err := p.rulebook(f.rules, f.on)
	if err != nil {
		return err
	}
	in, size, err := p.stream(name)
	if err != nil {
		return err
	}
	defer in.Close()
	if o.Name = name; name == "-" {
		o.Name = "standard input"
	}
	bad, err := p.badRows(f.bad, o.Name, in)
	if err != nil {
		return err
	}
	m := &meter{to: p.stderr, size: size, live: !f.quiet && terminal(p.stderr), start: time.Now()}
	o.Bad = func(b triage.Bad) error {
		m.clear()
		return bad.write(b)
	}
	o.Progress = m.show
	ctx, done := stoppable(ctx)
	defer done()
	sum, err := triage.Run(ctx, rulebook, in, p.stdout, o)
	m.clear()
	if closing := bad.close(); err == nil {
		err = closing
	}
	if by, ok := err.(stopped); ok {
		by.rows = sum.Rows
		return by
	}
	if problems, ok := err.(facts.Problems); ok {
		return badInput{problems}
	}
	if err != nil {
		return err
	}
	if !f.quiet {
		p.say("%s", strings.TrimSuffix(summary(sum, o.Name, time.Since(m.start)), "\n"))
	}
	if sum.BadRows > 0 && sum.Rows == sum.BadRows && f.bad == "" {
		return badf("%s: no row could be answered", o.Name)
	}
	return nil
}

func (p *program) triageOptions(f triageFlags) (triage.Options, error) {
	o := triage.Options{Keep: f.keep, Advice: advice.Options{On: f.on, Now: time.Now()}}
	if f.format.value != "same" {
		o.Format = triage.Format(f.format.value)
	}
	if err := checkDate(f.on); err != nil {
		return o, err
	}
	for _, name := range f.answers {
		a, err := advice.FindAnswer(strings.TrimSpace(name))
		if err != nil {
			return o, badInput{err}
		}
		if slices.ContainsFunc(o.Answers, func(b advice.Answer) bool { return b.Name == a.Name }) {
			return o, badf("the answer %s is asked for twice", a.Name)
		}
		o.Answers = append(o.Answers, a)
	}
	if len(o.Answers) == 0 {
		return o, badf("--answers names none; leave it out for %s", strings.Join(triage.DefaultAnswers, ", "))
	}
	var err error
	o.Shop, err = p.shop(f.shop)
	return o, err
}

// stream opens the input without reading it; size is 0 if nobody knows.
func (p *program) stream(name string) (in io.ReadCloser, size int64, err error) {
	var file *os.File
	if name == "-" {
		if p.stdinTaken != "" {
			return nil, 0, badf("standard input is already read as %s; give the cells as a file", p.stdinTaken)
		}
		p.stdinTaken = "the cells"
		stdin, ok := p.stdin.(*os.File)
		if !ok {
			return io.NopCloser(p.stdin), 0, nil
		}
		file = stdin
	} else if file, err = os.Open(name); err != nil {
		return nil, 0, badInput{unreadable(name, "the list of cells", err)}
	}
	if info, err := file.Stat(); err == nil {
		if info.IsDir() {
			return nil, 0, badf("%s: the list of cells is a directory", name)
		}
		if info.Mode().IsRegular() {
			size = info.Size()
		}
	}
	return file, size, nil
}

func terminal(w io.Writer) bool {
	file, ok := w.(*os.File)
	return ok && isatty.IsTerminal(file.Fd())
}

// summary tells what a run did, by class.
func summary(s triage.Summary, name string, took time.Duration) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s rows in %s, %s a second; %s answered, %s bad\n", name, grouped(s.Rows), tookText(took),
		grouped(int(float64(s.Rows)/max(took.Seconds(), 1e-3))), grouped(s.Rows-s.BadRows), grouped(s.BadRows))
	if s.Cells != s.Rows-s.BadRows {
		fmt.Fprintf(&b, "%s cells, by the counts of the rows\n", grouped(s.Cells))
	}
	for _, t := range s.Tallies {
		var parts []string
		for i, word := range t.Words {
			if t.Cells[i] > 0 && word != "" {
				parts = append(parts, word+" "+grouped(t.Cells[i]))
			}
		}
		if len(parts) > 0 {
			fmt.Fprintf(&b, "%s: %s\n", t.Answer, strings.Join(parts, ", "))
		}
	}
	return b.String()
}

// grouped writes a count with a comma between thousands.
func grouped(n int) string {
	text := fmt.Sprint(n)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}

func tookText(d time.Duration) string {
	if d < time.Minute {
		return fmt.Sprintf("%.1f s", d.Seconds())
	}
	return d.Round(time.Second).String()
}
