package advice

import (
	"slices"
	"time"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// The answers of a mode, from the most to the least permissive.
const (
	carriageYes = iota
	carriageApproval
	carriageNo
)

var carriageWords = []string{"yes", "approval", "no"}

// shipping answers, one entry a mode, how the cell may be carried as it is now.
// It is silent unless the case or the shop file speaks of carriage.
func (w *writer) shipping() []Shipping {
	var out []Shipping
	w.carried(func(c *carrier, mode string) {
		if s, ok := c.mode(mode); ok {
			out = append(out, s)
		}
	})
	return out
}

// carriage answers one mode, whether or not the case speaks of carriage; ok is
// false if the book has no table for it.
func (w *writer) carriage(mode string) (s Shipping, ok bool) {
	w.carrying([]string{mode}, func(c *carrier, mode string) { s, ok = c.mode(mode) })
	return s, ok
}

// carried asks of every mode what is answered for the parcel; of none if the
// case does not speak of carriage.
func (w *writer) carried(ask func(c *carrier, mode string)) {
	if w.shippingAsked() {
		w.carrying(rules.Modes, ask)
	}
}

// carrying asks of modes what is answered for the parcel, whether or not the case
// speaks of carriage.
func (w *writer) carrying(modes []string, ask func(c *carrier, mode string)) {
	full, alarm := w.q.Full, w.q.Alarm
	parcel, taken := w.parcel()
	w.q.About(parcel, alarm)
	defer w.q.About(full, alarm)
	c := &carrier{writer: w, box: parcel, taken: taken}
	for _, mode := range modes {
		ask(c, mode)
	}
}

// shippingAsked tells that someone wants to know about carriage.
func (w *writer) shippingAsked() bool {
	for _, name := range []string{"dispatch.purpose", "dispatch.packing", "dispatch.jurisdiction"} {
		if w.values[name].State != facts.Missing {
			return true
		}
	}
	return w.certainly(w.cat, "job.goal", "ship")
}

// carrier answers the modes for one parcel.
type carrier struct {
	*writer
	box   *expression.Box
	taken []string // what is taken as so because nobody said otherwise
}

// ruling is what the tables of a mode and the rules of the shop come to.
type ruling struct {
	leaves  []leaf
	worst   leaf            // the strictest row that can hold
	against []rules.Finding // what of the shop closes the mode
}

// rule reads the tables of a mode; false if the book has none for it. The boxes
// asked about have to be those of the parcel.
func (c *carrier) rule(mode string) (ruling, bool) {
	leaves := c.leaves("ship." + mode)
	if len(leaves) == 0 {
		return ruling{}, false
	}
	r := ruling{leaves: leaves, worst: leaves[0], against: c.q.Against(rules.ModePermission(mode))}
	for _, l := range leaves[1:] {
		if l.rank > r.worst.rank {
			r.worst = l
		}
	}
	return r, true
}

// allowed is yes, approval or no.
func (r *ruling) allowed() string {
	if len(r.against) > 0 {
		return carriageWords[carriageNo]
	}
	return carriageWords[r.worst.rank]
}

// mode answers one mode; false if the book has no table for it.
func (c *carrier) mode(mode string) (Shipping, bool) {
	r, ok := c.rule(mode)
	if !ok {
		return Shipping{}, false
	}
	s := Shipping{Mode: mode, Allowed: r.allowed(), Unsettled: c.unsettled(r.leaves)}
	c.describe(&s, r.worst)
	if r.worst.rank != carriageYes {
		s.Why = becauseOf(r.leaves, r.worst)
	}
	for _, f := range r.against {
		s.Why = appendNew(s.Why, f.Rule.Because)
	}
	if r.worst.rank != carriageYes && len(r.against) == 0 {
		if lifts, ok := c.lifts("ship." + mode); ok {
			s.AllowedIf = lifts
		}
	}
	c.dateNotes(&s)
	if s.Allowed != carriageWords[carriageNo] {
		s.Notes = appendNew(s.Notes, c.taken...)
	}
	s.complete()
	return s, true
}

// becauseOf is why the mode is not simply permitted: the strictest row first,
// then the others that would also stand against it.
func becauseOf(leaves []leaf, worst leaf) []string {
	out := []string{worst.row.Because}
	for _, l := range leaves {
		if l.rank != carriageYes && len(out) < 3 {
			out = appendNew(out, l.row.Because)
		}
	}
	return out
}

// dateNotes tells when the edition the answer was read from is over, or had not
// begun.
func (c *carrier) dateNotes(s *Shipping) {
	day := c.date.Format(time.DateOnly)
	switch {
	case s.EditionUntil != "" && day > s.EditionUntil:
		s.EditionOver = true
		s.Notes = appendNew(s.Notes, "The edition known here ends on "+s.EditionUntil+": confirm in the current one before anything is handed over.")
	case day < firstDay:
		s.EditionOver = true
		s.Notes = appendNew(s.Notes, "The rules before "+firstDay+" are not held here: confirm in the edition of that day.")
	}
}

// firstDay is the first day whose rules of carriage are held.
const firstDay = "2024-01-01"

// unsettled lists the facts, by catalogue name, that leave the rows of a mode
// open, and those that keep damage from being ruled out.
func (c *carrier) unsettled(leaves []leaf) []string {
	var out []string
	add := func(ref expression.Ref) {
		for _, slot := range c.q.Undecided(ref) {
			for _, name := range c.openFacts(slot) {
				if len(out) < mostUnsettled {
					out = appendNew(out, name)
				}
			}
		}
	}
	if c.graded.Condition == rules.Unproven {
		for _, f := range c.graded.By {
			add(f.Rule.Holds)
		}
	}
	for _, l := range leaves {
		if !l.certain {
			for _, ref := range l.when {
				add(ref)
			}
		}
	}
	return out
}

// openFacts names what a person can be asked about an open slot: the reading to
// take, or, where that has been taken, what else the slot rests on.
func (c *carrier) openFacts(slot int) []string {
	if f := c.askable(c.outcome, slot); f != nil && f.Statable() {
		// A look or a question can always be made again, and better.
		if again := f.Name == "battery.looked" || f.Name == "battery.history_asked"; again || !c.settled(f.Name) {
			return []string{f.Name}
		}
	}
	var out []string
	for _, parent := range c.box.Layout.Slots[slot].Fact.Parents {
		if f, ok := c.cat.Lookup(parent.Name); ok && f.Statable() && !c.settled(parent.Name) {
			out = append(out, parent.Name)
		}
	}
	return out
}

// settled tells that the case states a fact as one value.
func (c *carrier) settled(name string) bool {
	v := c.values[name]
	slot, ok := c.box.Layout.Slot(name)
	return v.State == facts.Stated && v.Origin != facts.Presumed && ok && c.box.Known(slot)
}

// mostUnsettled keeps the list of open facts to what a person reads.
const mostUnsettled = 10

func appendNew(to []string, more ...string) []string {
	for _, s := range more {
		if s != "" && !slices.Contains(to, s) {
			to = append(to, s)
		}
	}
	return to
}
