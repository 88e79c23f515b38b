package advice

import (
	"time"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Decided is what the engine answers for one case before it is put into words:
// for those who look at many cases, and at rules rather than sheets.
type Decided struct {
	Date   time.Time
	Full   *expression.Box // what is possible, answers filled in
	Alarm  *expression.Box // what alarms are weighed on
	Parcel *expression.Box // Full as the tables of carriage read it
	May    map[rules.Permission]expression.Truth
	Fits   map[string]expression.Truth
	Graded rules.Graded
	Alarms []rules.Finding
	Holds  []rules.Finding
	Pick   string
	Verdict,
	DischargeAction string
	Target float64 // %, what the charge is brought to
}

// Decide answers one case without writing a sheet. The error tells of bad
// options.
func Decide(b *rules.Book, c *facts.Case, opts Options) (*Decided, error) {
	a := &adviser{book: b, cat: c.Catalogue(), opts: opts}
	o, err := a.outcome(c)
	if err != nil {
		return nil, err
	}
	w := &writer{adviser: a, outcome: o}
	parcel, _ := w.parcel()
	return &Decided{
		Date: o.date, Full: o.full, Alarm: o.alarm, Parcel: parcel, May: o.may, Fits: o.fits, Graded: o.graded,
		Alarms: o.alarms, Holds: o.holds, Pick: o.pick, Verdict: o.verdict, DischargeAction: o.action, Target: o.target,
	}, nil
}
