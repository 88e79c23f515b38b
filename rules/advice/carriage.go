package advice

import (
	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Carriage is the part of an advice that whoever packs many cells needs.
type Carriage struct {
	Verdict        string
	Condition      string
	TransportState string
	Shipping       []Shipping
	Waste          []Line   // what a discarded cell is in law, and its label
	Signs          []string // what certainly speaks for the reading, in words
	Judged         bool     // a judgement that it is not critical counts
	RatedWh        *Figure  // nil if nothing is known of it
}

// Carry answers a case as Advise does, and leaves out everything about taking
// the cell out. Its answers are the same as Advise gives.
func Carry(b *rules.Book, c *facts.Case, opts Options) (*Carriage, error) {
	a := &adviser{book: b, cat: c.Catalogue(), opts: opts}
	o, err := a.outcome(c)
	if err != nil {
		return nil, err
	}
	w := &writer{adviser: a, outcome: o} // the lists asked for hold no numbers of the case
	out := &Carriage{
		Verdict:        o.verdict,
		Condition:      w.rankWord("answer.condition", o.graded.Condition),
		TransportState: w.rankWord("answer.transport_state", o.graded.Transport),
		Judged:         o.assessedNotCritical(),
		Shipping:       w.shipping(),
		Waste:          append(w.wasteLines(), w.lines("waste")...),
	}
	for _, f := range o.graded.By {
		if f.Truth == expression.True {
			out.Signs = append(out.Signs, f.Rule.Because)
		}
	}
	for _, f := range w.numbers() {
		if f.Name == "rated energy" {
			out.RatedWh = &f
		}
	}
	return out, nil
}

// CarriedBy tells by mode which row of the tables of carriage is the answer: of
// those that can hold, the strictest. It is empty where the case does not speak
// of carriage. The error tells of bad options.
func CarriedBy(b *rules.Book, c *facts.Case, opts Options) (map[string]string, error) {
	a := &adviser{book: b, cat: c.Catalogue(), opts: opts}
	o, err := a.outcome(c)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	w := &writer{adviser: a, outcome: o}
	w.carried(func(c *carrier, mode string) {
		if r, ok := c.rule(mode); ok {
			out[mode] = r.worst.row.ID
		}
	})
	return out, nil
}
