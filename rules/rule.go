package rules

import (
	"strings"

	"loosecell/rules/expression"
	"loosecell/rules/facts"
	"loosecell/rules/source"
)

// Rule is one entry of a rulebook: a condition, one effect, and why.
type Rule struct {
	ID      string
	Topic   string // the file's topic
	When    expression.Condition
	Holds   expression.Ref // When within From and Until
	Acts    expression.Ref // a shop's loosening rule: Holds while the cell is certainly not critical
	From    string         // ISO date, "" if always was
	Until   string         // ISO date, the first day it no longer holds, "" if open
	Because string         // one sentence to the technician
	Sources []source.Citation
	At      facts.Position
	Shop    bool        // added by a shop, not shipped
	Relaxes *Relaxation // a shop's rule that loosens a shipped one
	Beside  []string    // rules that already say as much, beside which this one stands on purpose

	// Exactly one of these is set.
	Permit   []Permission
	Lift     []Permission // what the relaxed restriction no longer forbids
	Restrict *Restrict
	Grade    *Grade
	Alarm    *Alarm
	Fit      []string
	Hold     *Hold
	Say      *Say
	Choose   *Choose
}

// Cited names the documents behind a rule. What a shop's rule says are the
// shop's words, whatever it cites.
func (r *Rule) Cited() string {
	text := source.Join(r.Sources)
	if r.Shop {
		return "this shop's own rule " + r.ID + " (it cites: " + strings.ReplaceAll(text, "; ", ", ") + ")"
	}
	return text
}

// Relaxation is what a shop declares when a rule of its own loosens a shipped
// one. It is printed on every sheet it touches.
type Relaxation struct {
	Rule  string // the shipped rule
	Why   string
	Who   string // who answers for it
	Until string // ISO date, the first day it no longer holds
}

// Restrict takes something away when the condition is possible.
type Restrict struct {
	Forbid []Permission
	Caps   map[string]float64 // by Cap.Name, in the cap's unit
}

// Grade says how bad the cell is, for the hands and for carriage. Zero says
// nothing; the words are those of answer.condition and answer.transport_state.
type Grade struct {
	Condition, Transport int
}

// Alarm ends the job on what is stated.
type Alarm struct {
	Verdict string // stop or evacuate
}

// Hold names something that is done, fetched or measured before work.
type Hold struct {
	Fact    string
	Kind    string // blocking or quick
	Minutes float64
	Text    string
	Answer  string // the answer that removes the hold
	Certain bool   // only when the condition must be true
}

// Say adds a sentence to a list of the sheet.
type Say struct {
	List    string
	Order   int
	Text    string
	Certain bool // only when the condition must be true
}

// Choose answers with the first row that holds.
type Choose struct {
	Answer   string
	Stricter string // "first" or "last": which end of the table is stricter
	Rows     []Row
}

// Row is one row of a Choose, lowered so that exactly one holds.
type Row struct {
	ID      string
	When    expression.Condition
	Holds   expression.Ref // this row and none before it
	From    string
	Until   string
	Value   any // a word, or a map of fields
	Because string
	Sources []source.Citation
	At      facts.Position
}

// EffectName is the key the rule's effect has in a rule file.
func (r *Rule) EffectName() string {
	switch {
	case r.Permit != nil:
		return "permit"
	case r.Lift != nil:
		return "lift"
	case r.Restrict != nil:
		return "restrict"
	case r.Grade != nil:
		return "grade"
	case r.Alarm != nil:
		return "alarm"
	case r.Fit != nil:
		return "fit"
	case r.Hold != nil:
		return "hold"
	case r.Say != nil:
		return "say"
	case r.Choose != nil:
		return "choose"
	}
	return ""
}

// caps are the caps that the rule sets, nil if none.
func (r *Rule) caps() map[string]float64 {
	if r.Restrict == nil {
		return nil
	}
	return r.Restrict.Caps
}

// Planning tells that the rule belongs to the plan stage: it may read answers.
func (r *Rule) Planning() bool {
	return r.Fit != nil || r.Hold != nil || r.Say != nil || r.Choose != nil
}
