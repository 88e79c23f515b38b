package rules

import (
	"slices"

	"loosecell/rules/expression"
)

// Question asks a book about one case: the full box of what is possible and
// the alarm box of what is stated. It keeps memory between questions and is
// used by one goroutine at a time.
type Question struct {
	Book  *Book
	Full  *expression.Box
	Alarm *expression.Box

	explore *expression.Explorer
	sweep   *expression.Sweep // over every rule, once it is asked for
}

// Ask starts a question. The boxes are not changed.
func (b *Book) Ask(full, alarm *expression.Box) *Question {
	return &Question{Book: b, Full: full, Alarm: alarm, explore: expression.NewExplorer(b.Arena)}
}

// About turns the question to other boxes of the same layout.
func (q *Question) About(full, alarm *expression.Box) { q.Full, q.Alarm = full, alarm }

// Budget sets how many leaves one answer may cost.
func (q *Question) Budget(leaves int) { q.explore.Budget = leaves }

// Explore is what a condition can be over every completion of the full box.
func (q *Question) Explore(ref expression.Ref) expression.Truth {
	return q.explore.Truth(ref, q.Full)
}

// Stated is what a condition can be over every completion of the alarm box.
func (q *Question) Stated(ref expression.Ref) expression.Truth {
	return q.explore.Truth(ref, q.Alarm)
}

// May is what a permission can be: true it is given in every completion, false
// in none, open it depends on what is not known.
func (q *Question) May(p Permission) expression.Truth { return q.Explore(q.Book.may[p]) }

// Fits is what "this rung applies here" can be.
func (q *Question) Fits(rung string) expression.Truth { return q.Explore(q.Book.fits[rung]) }

// Cap is the smallest possible value of a cap and the rule that sets it; ok is
// false when no rule caps it.
func (q *Question) Cap(name string) (value float64, by *Rule, ok bool) {
	for _, c := range q.Book.caps[name] {
		if q.Explore(c.Holds).Possible() {
			return c.Value, c.Rule, true
		}
	}
	return 0, nil, false
}

// Caps lists every cap of a name that can hold, the smallest first.
func (q *Question) Caps(name string) []Limit {
	return slices.DeleteFunc(slices.Clone(q.Book.caps[name]), func(c Limit) bool { return !q.Explore(c.Holds).Possible() })
}

// Finding is a rule that spoke, and whether it must or only may hold.
type Finding struct {
	Rule  *Rule
	Truth expression.Truth
}

// Against lists the restrictions that can stand against a permission.
func (q *Question) Against(p Permission) []Finding {
	var out []Finding
	for _, l := range q.Book.against[p] {
		if t := q.Explore(l.Holds); t.Possible() {
			out = append(out, Finding{l.Rule, t})
		}
	}
	return out
}

// For lists the permits that can give a permission.
func (q *Question) For(p Permission) []Finding {
	var out []Finding
	for i := range q.Book.rules {
		r := &q.Book.rules[i]
		if contains(r.Permit, p) {
			if t := q.Explore(r.Holds); t.Possible() {
				out = append(out, Finding{r, t})
			}
		}
	}
	return out
}

// Relaxed lists the shop's rules that loosen a shipped one here: those that can
// hold, less all of them while the cell may be critical.
func (q *Question) Relaxed() []Finding {
	var out []Finding
	for i := range q.Book.rules {
		r := &q.Book.rules[i]
		if r.Relaxes == nil {
			continue
		}
		if t := q.Explore(r.Acts); t.Possible() {
			out = append(out, Finding{r, t})
		}
	}
	return out
}

func contains(list []Permission, p Permission) bool {
	for _, q := range list {
		if q == p {
			return true
		}
	}
	return false
}

// Graded is how bad the cell is, for the hands and for carriage, with the rules
// that say so.
type Graded struct {
	Condition, Transport int // ranks of answer.condition, answer.transport_state
	By                   []Finding
}

// Unproven is the rank of answer.condition that what is not known can raise the
// reading to; worse grades take evidence. UnprovenTransport is the rank of
// answer.transport_state that goes with it.
const (
	Unproven          = 2
	Damaged           = 3
	Reacting          = 5
	UnprovenTransport = 1
)

// Grade adds up the grade rules: evidence gives the grade, mere possibility of
// damage gives unproven and no more.
func (q *Question) Grade() Graded {
	var g Graded
	for _, c := range q.Book.grades {
		r := &q.Book.rules[c.rule]
		if t := q.Stated(r.Holds); t.Possible() {
			g.Condition, g.Transport = max(g.Condition, c.grade.Condition), max(g.Transport, c.grade.Transport)
			g.By = append(g.By, Finding{r, t})
			continue
		}
		if t := q.Explore(r.Holds); t.Possible() {
			if c.grade.Condition >= Unproven {
				g.Condition = max(g.Condition, Unproven)
			}
			if c.grade.Transport > 0 {
				g.Transport = max(g.Transport, UnprovenTransport)
			}
			if c.grade.Condition >= Unproven || c.grade.Transport > 0 {
				g.By = append(g.By, Finding{r, t})
			}
		}
	}
	return g
}

// Alarms lists the alarm rules that what is stated sets off, the worst verdict
// first: evacuate, then stop.
func (q *Question) Alarms() []Finding {
	var leave, stop []Finding
	for i := range q.Book.rules {
		r := &q.Book.rules[i]
		if r.Alarm == nil {
			continue
		}
		if t := q.Stated(r.Holds); t.Possible() {
			if r.Alarm.Verdict == "evacuate" {
				leave = append(leave, Finding{r, t})
			} else {
				stop = append(stop, Finding{r, t})
			}
		}
	}
	return append(leave, stop...)
}

// Holds lists the hold rules that can apply.
func (q *Question) Holds() []Finding {
	return slices.DeleteFunc(q.speaking(func(r *Rule) bool { return r.Hold != nil }), func(f Finding) bool {
		return f.Rule.Hold.Certain && f.Truth != expression.True
	})
}

// Lines lists the say rules for a list that apply: when possible, or only when
// certain for those that say so.
func (q *Question) Lines(list string) []Finding {
	var out []Finding
	for _, f := range q.speaking(func(r *Rule) bool { return r.Say != nil && r.Say.List == list }) {
		if !f.Rule.Say.Certain || f.Truth == expression.True {
			out = append(out, f)
		}
	}
	for i := 1; i < len(out); i++ {
		for j := i; j > 0 && out[j].Rule.Say.Order < out[j-1].Rule.Say.Order; j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return out
}

func (q *Question) speaking(which func(*Rule) bool) []Finding {
	var out []Finding
	for i := range q.Book.rules {
		r := &q.Book.rules[i]
		if !which(r) {
			continue
		}
		if t := q.Explore(r.Holds); t.Possible() {
			out = append(out, Finding{r, t})
		}
	}
	return out
}

// Candidate is a row of a table that can be the answer.
type Candidate struct {
	Row     *Row
	Certain bool
}

// Candidates lists the rows of a table that can hold, in table order; one
// certain row means the answer stands.
func (q *Question) Candidates(answer string) []Candidate {
	r := q.Book.choose[answer]
	if r == nil {
		return nil
	}
	var out []Candidate
	for i := range r.Choose.Rows {
		row := &r.Choose.Rows[i]
		switch q.Explore(row.Holds) {
		case expression.True:
			return []Candidate{{row, true}}
		case expression.Open:
			out = append(out, Candidate{row, false})
		}
	}
	return out
}

// Choose is the answer of a table: the row that must hold, or the strictest of
// those that can, with certain false. It returns nil if there is no such table.
func (q *Question) Choose(answer string) (row *Row, certain bool) {
	list := q.Candidates(answer)
	if len(list) == 0 {
		return nil, false
	}
	if q.Book.choose[answer].Choose.Stricter == "last" {
		return list[len(list)-1].Row, list[len(list)-1].Certain
	}
	return list[0].Row, list[0].Certain
}

// Undecided lists the slots that leave a condition open, those that occur most
// first.
func (q *Question) Undecided(ref expression.Ref) []int { return q.explore.Undecided(ref, q.Full) }
