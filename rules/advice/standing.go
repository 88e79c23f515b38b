package advice

import (
	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Standing is where a case stands: the answers that decide what hands do, in
// the contract's words, and what is still possible. It is a sheet without its
// sentences, for interviews and searches that ask about many cases.
type Standing struct {
	Verdict, Pick, Condition string
	Heat, Solvent, Discharge string  // yes, no, open
	Opening, Refit           string  // yes, no, open; "" where the case does not ask
	DischargeAction          string  // forbidden, none, measure-first, in-device, resistor
	DischargeDue             string  // no, unknown, yes
	TargetPct                float64 // what the charge is brought to
	Storage                  string  // storage.class
	Alarmed                  bool    // what is stated ends the job
	Because                  string  // what set off the alarm, "" if none did

	Ship      []Shipping // only where the battery is to be sent
	Full      *expression.Box
	Alarm     *expression.Box
	Unsettled []string // facts that carriage waits for
}

// Reckoner finds the standing of cases. It is used by one goroutine at a time.
type Reckoner struct {
	a       *adviser
	variant resolved // the memory of Possible
}

// NewReckoner reckons with a rulebook over the catalogue of the cases.
func NewReckoner(b *rules.Book, cat *facts.Catalogue, o Options) *Reckoner {
	return &Reckoner{a: &adviser{book: b, cat: cat, opts: o}, variant: resolved{brief: true}}
}

// SolventCapML is the most solvent that the whole job of a case may use, in mL.
// The error tells of bad options.
func (r *Reckoner) SolventCapML(c *facts.Case) (float64, error) {
	o, err := r.a.outcome(c)
	if err != nil {
		return 0, err
	}
	job, _ := o.solventCaps()
	return job, nil
}

// Standing answers one case. The error tells of bad options.
func (r *Reckoner) Standing(c *facts.Case) (*Standing, error) {
	o, err := r.a.outcome(c)
	if err != nil {
		return nil, err
	}
	s := &Standing{
		Verdict: o.verdict, Pick: o.pick, Condition: conditionWord(o),
		Heat: mayWord(o.may["heat"]), Solvent: mayWord(o.may["solvent"]), Discharge: mayWord(o.dischargeMay()),
		DischargeAction: o.action, DischargeDue: o.due, TargetPct: o.target,
		Alarmed: len(o.alarms) > 0, Full: o.full, Alarm: o.alarm,
	}
	if s.Alarmed {
		s.Because = o.alarms[0].Rule.Because
	}
	if row, _ := o.q.Choose("storage.class"); row != nil {
		s.Storage = wordOf(row.Value)
	}
	if !o.certainly(r.a.cat, "battery.place", "in-open-device") && !o.certainly(r.a.cat, "battery.place", "removed") {
		s.Opening = mayWord(o.may["opening"])
	}
	if o.certainly(r.a.cat, "job.goal", "refit") {
		s.Refit = mayWord(o.may["refit"])
	}
	if o.certainly(r.a.cat, "job.goal", "ship") {
		w := &writer{adviser: r.a, outcome: o, fill: o.placeholders()}
		s.Ship = w.shipping()
		for _, mode := range s.Ship {
			s.Unsettled = appendNew(s.Unsettled, mode.Unsettled...)
		}
	}
	return s, nil
}

// Possible is the box of what a variant of a case leaves possible, with the
// answers that rules read taken from s. It costs a tenth of a Standing, and
// holds until the next call.
func (r *Reckoner) Possible(c *facts.Case, s *Standing) (*expression.Box, error) {
	date, err := dateOf(c, r.a.opts)
	if err != nil {
		return nil, err
	}
	r.variant.resolve(r.a.book.Layout, c, date)
	full := r.variant.full
	for i := range full.Layout.Slots {
		if full.Layout.Slots[i].Fact.Stage != "" {
			full.Set(i, s.Full.At(i))
		}
	}
	return full, nil
}

// Answers lists the answers of a standing by name, in the order of a sheet.
func (s *Standing) Answers() [][2]string {
	out := [][2]string{
		{"verdict", s.Verdict}, {"removal.pick", s.Pick}, {"condition", s.Condition},
		{"discharge.action", s.DischargeAction}, {"discharge.may", s.Discharge}, {"discharge.target", number(s.TargetPct) + " %"},
		{"storage.class", s.Storage},
	}
	if s.Pick != "already-out" { // nothing is loosened any more
		out = append(out, [2]string{"heat.may", s.Heat}, [2]string{"solvent.may", s.Solvent})
	}
	if s.Opening != "" {
		out = append(out, [2]string{"opening.may", s.Opening})
	}
	if s.Refit != "" {
		out = append(out, [2]string{"refit.may", s.Refit})
	}
	for _, m := range s.Ship {
		out = append(out, [2]string{"ship." + m.Mode, m.Allowed})
	}
	return out
}
