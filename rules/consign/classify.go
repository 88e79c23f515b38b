package consign

import (
	"strings"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// A Verdict is what the rulebook says of one kind of cell for one mode.
type Verdict struct {
	advice.Shipping
	Condition      string // sound .. reacting
	TransportState string // not-damaged, damaged, critical
	Emergency      bool   // it must not be handled at all
	Judged         bool   // a judgement that it is not critical counts
	EnergyWh       *advice.Figure
	Waste          []string // what it is in waste law, and the words on its label
	Signs          []string // what speaks for the reading, in words
	Ask            []Question
}

// handsOff tells that nobody packs it: it reacts, or is critical for the hands
// and nobody competent has judged it.
func (v *Verdict) handsOff() bool {
	return v.Emergency || v.Condition == "reacting" || v.Condition == "critical" && !v.Judged
}

// A Question is a fact that was not stated and bears on the answer.
type Question struct {
	Fact, Ask, How string
}

// A Classifier answers what a kind of cell may be carried as.
type Classifier interface {
	// Classify reads one case and one mode. A case that states nothing gets the
	// strictest answer, not an error.
	Classify(c *facts.Case, mode string) (Verdict, error)
}

// Adviser is the Classifier that asks a rulebook.
type Adviser struct {
	Book *rules.Book
	On   string // ISO date to read the law at
}

// Classify asks the rulebook.
func (a Adviser) Classify(c *facts.Case, mode string) (Verdict, error) {
	full, err := advice.Carry(a.Book, c, advice.Options{On: a.On, Now: time.Unix(0, 0)})
	if err != nil {
		return Verdict{}, err
	}
	v := Verdict{Condition: full.Condition, TransportState: full.TransportState, Emergency: full.Verdict == "evacuate",
		Judged: full.Judged, EnergyWh: full.RatedWh, Signs: full.Signs}
	v.Mode, v.Allowed = mode, "no"
	v.Why = []string{"The rulebook has no answer for this mode."}
	for _, s := range full.Shipping {
		if s.Mode == mode {
			v.Shipping = s
		}
	}
	for _, l := range full.Waste {
		if strings.HasPrefix(l.Rule, "waste-") || l.Rule == "us-label-words" {
			v.Waste = append(v.Waste, l.Text)
		}
	}
	for _, name := range v.Unsettled {
		if f, ok := c.Catalogue().Lookup(name); ok {
			v.Ask = append(v.Ask, Question{Fact: name, Ask: f.Ask, How: f.Find})
		}
	}
	return v, nil
}
