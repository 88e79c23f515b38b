package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/reckoning"
	"loosecell/hazards"
)

// model is one command of reckon.
type model struct {
	name, short, long, example string
	flags                      []quantity
	sums                       []sum
}

// quantity is one flag of a model.
type quantity struct {
	name, unit, usage string
	word, many        bool // a word and not a number; may be repeated
}

// sum is one thing a model reckons, with the flags it cannot do without (any of
// the lists will do) and those it also reads.
type sum struct {
	name  string
	needs [][]string
	also  []string
	run   func(g *given)
}

func (p *program) reckon() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "reckon MODEL",
		Short: "Run one of the numeric models alone",
		Long: `Run one model alone: energy, charge, heat, solvent, discharge or room. Each
flag takes a quantity with its unit, or a range of it (0.05..0.1 mm), and every
result is a low, a middle and a high value with its formula and source.

A model reckons everything that the flags given allow; its help says which flags
go with what.`,
		Example: `  loosecell reckon energy --volts '3.85 V' --ah '4.5 Ah'
  loosecell reckon room --wh '17.3 Wh' --room-volume '30 m3' --air-changes '0.5 1/h'
  loosecell reckon heat --stack phone-back-glass --set-point '70 degC' --minutes '10 min' --format csv`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("there is no model %q; there are energy, charge, heat, solvent, discharge and room", args[0])
			}
			return fmt.Errorf("no model given; there are energy, charge, heat, solvent, discharge and room")
		},
		Run: func(*cobra.Command, []string) {},
	}
	for _, m := range []model{energyModel(), chargeModel(), heatModel(), solventModel(), dischargeModel(), roomModel()} {
		cmd.AddCommand(p.reckonModel(m))
	}
	return cmd
}

func (p *program) reckonModel(m model) *cobra.Command {
	values := map[string]*texts{}
	var how *format
	cmd := &cobra.Command{
		Use: m.name, Short: m.short, Long: m.long + "\n\n" + m.listing(), Example: m.example,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			stated := map[string][]string{}
			for name, v := range values {
				if len(v.list) > 0 {
					stated[name] = v.list
				}
			}
			return p.runReckon(m, stated, how.value)
		},
	}
	for _, q := range m.flags {
		usage, kind := q.usage, "QUANTITY"
		switch {
		case q.word:
			kind = "WORD"
		case q.unit == "":
			kind = "NUMBER"
		default:
			usage += ", in " + q.unit
		}
		if q.many {
			usage += "; may be repeated"
		}
		values[q.name] = &texts{kind: kind}
		cmd.Flags().Var(values[q.name], q.name, usage)
	}
	cmd.Flags().SortFlags = false
	how = formatFlag(cmd, "text", "json", "csv")
	return cmd
}

// texts is a flag that keeps everything it was given as it was written.
type texts struct {
	list []string
	kind string
}

func (t *texts) String() string { return strings.Join(t.list, ", ") }

// Type is what usage texts call the value.
func (t *texts) Type() string { return t.kind }

// Set adds a value; it is read when all are known, so that one message can
// speak of the whole question.
func (t *texts) Set(text string) error {
	t.list = append(t.list, text)
	return nil
}

// listing tells in the help which flags go with what.
func (m model) listing() string {
	var b strings.Builder
	b.WriteString("What it reckons, and from which flags (those in brackets may be left out):\n")
	for _, s := range m.sums {
		fmt.Fprintf(&b, "  %s\n", s.name)
		for i, set := range s.needs {
			line := "--" + strings.Join(set, " --")
			if i == len(s.needs)-1 && len(s.also) > 0 {
				line += " [--" + strings.Join(s.also, " --") + "]"
			}
			for j, part := range wrapped(line, 72) {
				lead := "      "
				if j > 0 {
					lead = "        "
				}
				b.WriteString(lead + part + "\n")
			}
		}
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// wrapped breaks a line of words at so many characters.
func wrapped(line string, most int) []string {
	var out []string
	now := ""
	for _, w := range strings.Fields(line) {
		if now != "" && len(now)+1+len(w) > most {
			out, now = append(out, now), ""
		}
		if now != "" {
			now += " "
		}
		now += w
	}
	return append(out, now)
}

func (p *program) runReckon(m model, stated map[string][]string, how string) error {
	g, err := m.read(stated)
	if err != nil {
		return badInput{err}
	}
	if err := m.reckon(g); err != nil {
		return badInput{err}
	}
	if how == "json" {
		return p.printJSON(g.report)
	}
	var out bytes.Buffer
	if how == "csv" {
		if g.report.Course == nil {
			return badf("--format csv prints a course over time, and nothing here has one; use text or json, or see '%s --help' for what has", "loosecell reckon "+m.name)
		}
		err = reckoning.CSV(&out, *g.report.Course)
	} else {
		err = reckoning.Text(&out, g.report)
	}
	if err != nil {
		return err
	}
	return p.print(out.Bytes())
}

// reckon runs every sum whose flags are given; a flag that none of them reads
// is an error, since its answer would be missed without notice.
func (m model) reckon(g *given) error {
	var run []sum
	used := map[string]bool{}
	for _, s := range m.sums {
		if !s.wanted(g) {
			continue
		}
		run = append(run, s)
		for _, set := range s.needs {
			if g.has(set...) {
				mark(used, set)
			}
		}
		mark(used, s.also)
	}
	if len(g.order) == 0 {
		return fmt.Errorf("nothing given to reckon from; 'loosecell reckon %s --help' tells which flags go with what", m.name)
	}
	for _, f := range g.order {
		if !used[f] {
			return fmt.Errorf("--%s is not enough, or not used with the other flags: %s", f, m.goesWith(f))
		}
	}
	for _, s := range run {
		s.run(g)
		if g.err != nil {
			return fmt.Errorf("%s, from %s: %w", s.name, s.flagsGiven(g), g.err)
		}
	}
	return nil
}

func mark(used map[string]bool, flags []string) {
	for _, f := range flags {
		used[f] = true
	}
}

func (s sum) wanted(g *given) bool {
	return slices.ContainsFunc(s.needs, func(set []string) bool { return g.has(set...) })
}

func (s sum) flagsGiven(g *given) string {
	var out []string
	for _, set := range append(slices.Clone(s.needs), s.also) {
		for _, f := range set {
			if name := "--" + f; g.has(f) && !slices.Contains(out, name) {
				out = append(out, name)
			}
		}
	}
	return strings.Join(out, ", ")
}

// goesWith says with which other flags one is of use.
func (m model) goesWith(flag string) string {
	var out []string
	for _, s := range m.sums {
		for _, set := range s.needs {
			if slices.Contains(set, flag) || slices.Contains(s.also, flag) {
				out = append(out, s.name+" needs --"+strings.Join(set, " --"))
				break
			}
		}
	}
	return strings.Join(out[:min(len(out), 4)], "; ")
}

// given is what a run was given, and its report.
type given struct {
	numbers map[string]hazards.Estimate
	words   map[string][]string
	order   []string // flags in the order of the model
	report  reckoning.Report
	err     error
}

// read turns flags into quantities; the error names the flag.
func (m model) read(stated map[string][]string) (*given, error) {
	g := &given{numbers: map[string]hazards.Estimate{}, words: map[string][]string{}}
	g.report = reckoning.Report{Schema: reckoning.Schema, Model: m.name, Inputs: []reckoning.Input{}, Results: []reckoning.Result{}}
	for _, q := range m.flags {
		texts := stated[q.name]
		if len(texts) == 0 {
			continue
		}
		if len(texts) > 1 && !q.many {
			return nil, fmt.Errorf("--%s is given %d times; it takes one value", q.name, len(texts))
		}
		g.order = append(g.order, q.name)
		g.words[q.name] = texts
		in := reckoning.Input{Name: q.name, Value: strings.Join(texts, ", "), Unit: q.unit}
		if !q.word {
			low, high, err := reckoning.Parse(texts[0], q.unit)
			if err != nil {
				return nil, fmt.Errorf("--%s: %w", q.name, err)
			}
			g.numbers[q.name] = hazards.Estimate{Low: low, Middle: low + (high-low)/2, High: high}
		}
		g.report.Inputs = append(g.report.Inputs, in)
	}
	return g, nil
}

// has tells that all of the flags were given.
func (g *given) has(flags ...string) bool {
	for _, f := range flags {
		if len(g.words[f]) == 0 {
			return false
		}
	}
	return len(flags) > 0
}

// n is a number that was given.
func (g *given) n(flag string) hazards.Estimate { return g.numbers[flag] }

// or is a number that may have been given; what is taken instead is shown.
func (g *given) or(flag, unit string, otherwise hazards.Estimate) hazards.Estimate {
	if g.has(flag) {
		return g.numbers[flag]
	}
	for _, in := range g.report.Inputs {
		if in.Name == flag+" (taken)" {
			return otherwise
		}
	}
	g.report.Inputs = append(g.report.Inputs, reckoning.Input{Name: flag + " (taken)", Unit: unit,
		Value: strings.TrimSpace(otherwise.String() + " " + unit)})
	return otherwise
}

// word is a word that was given, or "".
func (g *given) word(flag string) string {
	if w := g.words[flag]; len(w) > 0 {
		return w[0]
	}
	return ""
}

// list is a list of words, given by commas or by repeating the flag.
func (g *given) list(flag string) []string {
	var out []string
	for _, text := range g.words[flag] {
		for w := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ',' || r == '|' || r == ' ' }) {
			out = append(out, w)
		}
	}
	return out
}

// oneOf refuses a word that does not fit, naming the flag.
func (g *given) oneOf(flag, word string, fitting ...string) bool {
	if word == "" || slices.Contains(fitting, word) {
		return true
	}
	g.fail(fmt.Errorf("--%s %q: one of %s fits", flag, word, strings.Join(fitting, ", ")))
	return false
}

func (g *given) fail(err error) bool {
	if g.err == nil && err != nil {
		g.err = err
	}
	return err != nil
}

// put adds a result that a model answered, or keeps its error.
func (g *given) put(name, unit, formula, source string) func(hazards.Estimate, error) {
	return func(e hazards.Estimate, err error) {
		if g.fail(err) {
			return
		}
		g.report.Results = append(g.report.Results, reckoning.Number(name, unit, e, formula, source))
	}
}

// say adds a result that is no number.
func (g *given) say(name, text, formula, source string) {
	g.report.Results = append(g.report.Results, reckoning.Word(name, text, formula, source))
}

// over evaluates a formula of plain numbers at both ends of every range. It
// answers for formulas that rise or fall in each input.
func over(f func(x ...float64) (float64, error), in ...hazards.Estimate) (hazards.Estimate, error) {
	x := make([]float64, len(in))
	for i, e := range in {
		x[i] = e.Middle
	}
	middle, err := f(x...)
	if err != nil {
		return hazards.Estimate{}, err
	}
	out := hazards.Estimate{Low: middle, Middle: middle, High: middle}
	for corner := range 1 << len(in) {
		for i, e := range in {
			if x[i] = e.Low; corner>>i&1 == 1 {
				x[i] = e.High
			}
		}
		y, err := f(x...)
		if err != nil {
			return hazards.Estimate{}, err
		}
		out.Low, out.High = min(out.Low, y), max(out.High, y)
	}
	return out, nil
}

func exact(x float64) hazards.Estimate { return hazards.Estimate{Low: x, Middle: x, High: x} }
