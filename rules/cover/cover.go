// Package cover tells which rules, and which side of which threshold, a set of
// cases has exercised.
//
// A rule is exercised by a case in which its condition certainly holds, or can
// hold where that is when it speaks (hold and most of say); a row of a table by
// one in which it is certainly the answer, and of carriage also by one in which
// it is the strictest that can be, which is then the answer. A threshold is what
// a condition compares a fact with; a side of it is exercised by a case whose fact
// certainly lies there. Rules of carriage are read as advice reads them, with
// the package that nobody described taken as one battery packed as it should be.
// Dates of the law are left out: a case is read on one day.
package cover

import (
	"fmt"
	"math"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Coverage is what a set of cases has exercised of a book.
type Coverage struct {
	Cases   int    `json:"cases"`
	Entries []Rule `json:"rules"` // every rule and row, in the order of the files
}

// Rule is one rule, or one row of a table, and what was exercised of it.
type Rule struct {
	ID    string `json:"id"`
	Topic string `json:"topic"`
	At    string `json:"at"`
	Held  string `json:"held_in,omitempty"` // a case in which it held; "" none
	// A table has to end with a row for everything. Leftover tells that no case
	// can get to this one, because the rows before it leave nothing.
	Leftover   bool        `json:"leftover,omitempty"`
	Thresholds []Threshold `json:"thresholds,omitempty"`
}

// Threshold is one comparison and the sides of it that some case lies on.
type Threshold struct {
	Text string `json:"text"` // as a condition: derived.state_of_charge <= '30 %'
	True bool   `json:"true"`
	Not  bool   `json:"false"`
}

// Counter counts what cases exercise of a book. It is used by one goroutine.
type Counter struct {
	book    *rules.Book
	entries []entry
	seen    map[expression.Atom]*Threshold
	order   []expression.Atom
	cases   int
}

type entry struct {
	Rule
	holds    expression.Ref
	possible bool // it speaks as soon as it can hold
	carriage bool
	last     bool // row of its table
	atoms    []expression.Atom
}

// New starts counting.
func New(b *rules.Book) *Counter {
	c := &Counter{book: b, seen: map[expression.Atom]*Threshold{}}
	for i := range b.Rules() {
		r := &b.Rules()[i]
		if r.Choose == nil {
			c.add(r, r.ID, r.At, r.Holds, r.When.Ref)
			continue
		}
		for j := range r.Choose.Rows {
			row := &r.Choose.Rows[j]
			c.add(r, row.ID, row.At, b.Arena.And(r.Holds, row.Holds), row.When.Ref)
		}
		c.entries[len(c.entries)-1].last = true
	}
	return c
}

func (c *Counter) add(r *rules.Rule, id string, at facts.Position, holds, when expression.Ref) {
	e := entry{Rule: Rule{ID: id, Topic: r.Topic, At: fmt.Sprintf("%s:%d", at.File, at.Line)}, holds: holds,
		possible: r.Hold != nil && !r.Hold.Certain || r.Say != nil && !r.Say.Certain,
		carriage: r.Choose != nil && strings.HasPrefix(r.Choose.Answer, "ship.")}
	law := c.book.Layout.MustSlot("law.date")
	for _, a := range c.book.Arena.Atoms(when) {
		if a.Slot == law {
			continue
		}
		e.atoms = append(e.atoms, a)
		if c.seen[a] == nil {
			s := &c.book.Layout.Slots[a.Slot]
			c.seen[a] = &Threshold{Text: show(c.book.Layout, a),
				// A side on which no value lies needs no case.
				True: !s.Finite && a.Cut < s.Domain.Low, Not: !s.Finite && a.Cut >= s.Domain.High}
			c.order = append(c.order, a)
		}
	}
	c.entries = append(c.entries, e)
}

// Add counts one case. The error tells of bad options.
func (c *Counter) Add(kase *facts.Case, opts advice.Options) error {
	d, err := advice.Decide(c.book, kase, opts)
	if err != nil {
		return err
	}
	c.cases++
	explore := expression.NewExplorer(c.book.Arena)
	var open []*entry // rows of carriage that can hold
	for i := range c.entries {
		e := &c.entries[i]
		if e.Held != "" {
			continue
		}
		box := d.Full
		if e.carriage {
			box = d.Parcel
		}
		switch t := explore.Truth(e.holds, box); {
		case t == expression.True || t.Possible() && e.possible:
			e.Held = kase.Name
		case t.Possible() && e.carriage:
			open = append(open, e)
		}
	}
	if err := c.carried(kase, opts, open); err != nil {
		return err
	}
	for _, box := range []*expression.Box{d.Full, d.Parcel} {
		for _, a := range c.order {
			side(c.seen[a], &c.book.Layout.Slots[a.Slot], a, box.At(a.Slot))
		}
	}
	return nil
}

// carried notes which of the rows that can hold is the answer of a mode. Without
// that, rows for damage that is not ruled out could never be met.
func (c *Counter) carried(kase *facts.Case, opts advice.Options, open []*entry) error {
	if len(open) == 0 {
		return nil
	}
	by, err := advice.CarriedBy(c.book, kase, opts)
	if err != nil {
		return err
	}
	for _, id := range by {
		for _, e := range open {
			if e.ID == id {
				e.Held = kase.Name
			}
		}
	}
	return nil
}

// side notes on which side of a threshold a range certainly lies.
func side(t *Threshold, s *expression.Slot, a expression.Atom, r expression.Range) {
	if s.Finite {
		t.True = t.True || r.Words&^a.Words == 0
		t.Not = t.Not || r.Words&a.Words == 0
		return
	}
	t.True = t.True || r.High <= a.Cut
	t.Not = t.Not || r.Low > a.Cut
}

// Result is what has been counted so far.
func (c *Counter) Result() *Coverage {
	out := &Coverage{Cases: c.cases}
	for i := range c.entries {
		e := c.entries[i].Rule
		e.Leftover = c.entries[i].last && e.Held == "" && c.empty(c.entries[i].holds)
		for _, a := range c.entries[i].atoms {
			e.Thresholds = append(e.Thresholds, *c.seen[a])
		}
		out.Entries = append(out.Entries, e)
	}
	return out
}

// searched is how many regions of cases are looked into for one that gets to the
// last row of a table.
const searched = 10_000

// empty tells that no facts on any day make a condition true.
func (c *Counter) empty(holds expression.Ref) bool {
	possible, _ := expression.NewSearch(c.book.Arena, searched).Possible(holds, expression.NewBox(c.book.Layout))
	return !possible
}

// Complete tells that a rule held, or is left over, and every side of its thresholds was seen.
func (r *Rule) Complete() bool { return (r.Held != "" || r.Leftover) && len(r.Missing()) == 0 }

// Missing lists the sides of thresholds that no case lies on, as conditions.
func (r *Rule) Missing() []string {
	var out []string
	for _, t := range r.Thresholds {
		if !t.True {
			out = append(out, t.Text)
		}
		if !t.Not {
			out = append(out, "not "+t.Text)
		}
	}
	return out
}

// show writes a comparison as a condition does.
func show(l *expression.Layout, a expression.Atom) string {
	s := &l.Slots[a.Slot]
	f := s.Fact
	if s.Member >= 0 {
		if a.Words == 0b01 {
			return "'" + f.Words[s.Member] + "' not in " + f.Name
		}
		return "'" + f.Words[s.Member] + "' in " + f.Name
	}
	if s.Finite {
		return f.Name + " in ['" + strings.Join(f.Names(a.Words), "', '") + "']"
	}
	if s.Whole && f.Kind == facts.Count {
		return fmt.Sprintf("%s <= %g", f.Name, a.Cut)
	}
	return f.Name + " " + under(f, a.Cut)
}

// under writes "up to a bound", or "under the next round number" where the bound
// is the last number before one.
func under(f *facts.Fact, cut float64) string {
	value := facts.Value{State: facts.Stated, Low: cut, High: cut}
	text := f.FormatValue(value)
	next := math.Nextafter(cut, math.Inf(1))
	if up := f.FormatValue(facts.Value{State: facts.Stated, Low: next, High: next}); len(up) < len(text) {
		return "< '" + up + "'"
	}
	return "<= '" + text + "'"
}
