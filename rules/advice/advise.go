package advice

import (
	"time"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Options are what the command line says about an advice.
type Options struct {
	On  string    // ISO date to read the law at; "" is dispatch.date, else Now
	Now time.Time // the day of the asking
}

// Advise answers one case from a rulebook. The error tells of bad options; a
// case that was read without problems always gets an answer.
func Advise(b *rules.Book, c *facts.Case, opts Options) (*Advice, error) {
	a := &adviser{book: b, cat: c.Catalogue(), opts: opts}
	o, err := a.outcome(c)
	if err != nil {
		return nil, err
	}
	w := &writer{adviser: a, outcome: o, fill: o.placeholders()}
	out := w.advice()
	if o.verdict == "prepare" {
		out.Prepare, out.Removal.Likely = a.prepare(c, o)
	}
	if o.verdict == "prepare" || o.verdict == "proceed" {
		out.Unknowns = a.solventUnknowns(c, o, a.unknowns(c, o))
	}
	out.Because = w.because(out)
	out.complete()
	return out, nil
}

// writer puts an outcome into words.
type writer struct {
	*adviser
	*outcome
	fill map[string]string
}

func (w *writer) advice() *Advice {
	out := &Advice{
		Schema: Schema, Case: w.input.Name, JobID: w.text("job.id"), Ticket: w.text("job.ticket"),
		Date: w.date.Format(time.DateOnly), Goal: w.word("job.goal", "replace"), Verdict: w.verdict,
		Prepare:        []Preparation{},
		Condition:      w.rankWord("answer.condition", w.graded.Condition),
		TransportState: w.rankWord("answer.transport_state", w.graded.Transport),
		Removal:        w.removal(),
		Discharge:      w.discharge(),
		Heat:           w.heat(),
		Solvent:        w.solvent(),
		Refit:          May{May: mayWord(w.may["refit"]), Why: w.against("refit")},
		Storage:        w.storage(),
		Assumed:        w.assumed,
		Unknowns:       []Unknown{},
		Trace:          w.trace(),
	}
	out.Relaxations = Relaxations(w.q)
	out.Opening = w.opening()
	w.rimFigures(out.Opening)
	out.PPE, out.StopSigns = w.lines("ppe"), w.lines("stop_signs")
	out.Emergency, out.Cautions = w.lines("emergency"), w.lines("cautions")
	out.Shipping = w.shipping()
	if w.verdict == "evacuate" {
		w.nothingButLeaving(out)
	}
	out.AfterCare = append(w.lines("after"), w.lines("refit")...)
	out.Consequence = w.consequence()
	out.Numbers = append(w.numbers(), w.consequenceFigures(out.Consequence)...)
	out.Assumed = append(out.Assumed, w.roomAssumed()...)
	out.Deference = deference
	if out.Assumed == nil {
		out.Assumed = []Assumption{}
	}
	return out
}

// nothingButLeaving takes from a sheet what nobody is to think of while a cell
// reacts: the store's room, and ways to put a rung back.
func (w *writer) nothingButLeaving(out *Advice) {
	if out.Storage != nil {
		out.Storage.Limits, out.Storage.StoreVerdict, out.Storage.Waste = nil, "", nil
	}
	for i := range out.Removal.Rungs {
		out.Removal.Rungs[i].PutBack = nil
	}
}

// deference closes every sheet.
var deference = Line{
	Text: "Local law, the maker's instructions and trained judgement stand above this sheet. " +
		"Damaged cells and dangerous goods are for trained people.",
	Source: "common practice",
}

// text is a text fact as stated.
func (w *writer) text(fact string) string { return w.values[fact].Text }

// word is the single word a fact is known to be, or a default.
func (o *outcome) word(fact, otherwise string) string {
	slot := o.full.Layout.MustSlot(fact)
	if !o.full.Known(slot) {
		return otherwise
	}
	return o.full.Layout.Slots[slot].Fact.Words[rankOf(o.full.At(slot))]
}

func rankOf(r expression.Range) int {
	for i := range 64 {
		if r.Words>>i&1 == 1 {
			return i
		}
	}
	return 0
}

func (w *writer) rankWord(fact string, rank int) string {
	f, _ := w.cat.Lookup(fact)
	return f.Words[rank]
}

// lines are the sentences of one list, filled with this case's numbers; a
// sentence that stands twice is printed once.
func (w *writer) lines(list string) []Line {
	out := []Line{}
	seen := map[string]bool{}
	for _, f := range w.q.Lines(list) {
		text := w.filled(f.Rule.Say.Text)
		if seen[text] {
			continue
		}
		seen[text] = true
		out = append(out, Line{Text: text, Source: f.Rule.Cited(), Rule: f.Rule.ID})
	}
	return out
}

func (w *writer) steps(list string) []Step {
	out := []Step{}
	for i, l := range w.lines(list) {
		out = append(out, Step{Number: i + 1, Text: l.Text, Source: l.Source, Rule: l.Rule})
	}
	return out
}

// against says why a permission is not given: the restrictions that must hold
// and, where none does, those that can and the offers that are not certain.
func (w *writer) against(p rules.Permission) []string {
	if w.may[p] == expression.True {
		return nil
	}
	if bar := w.physicalBar(p); bar != nil {
		return bar
	}
	var must, can []string
	for _, f := range w.q.Against(p) {
		if f.Truth == expression.True {
			must = append(must, f.Rule.Because)
		} else {
			can = append(can, f.Rule.Because)
		}
	}
	if len(must) > 0 {
		return must
	}
	if len(can) > 0 {
		return can
	}
	return w.wanting(p)
}

// wanting says what the offers of a permission rest on, when no restriction
// stands against it.
func (w *writer) wanting(p rules.Permission) []string {
	var out []string
	for i := range w.book.Rules() {
		r := &w.book.Rules()[i]
		for _, offered := range r.Permit {
			if offered == p {
				out = append(out, "Only when this is certain: "+lowerFirst(r.Because))
			}
		}
	}
	return out
}
