package events

import (
	"math/bits"

	"loosecell/rules/facts"
)

// read reads a value as a case file writes it; the words come from the built-in
// list or were checked when the event was read.
func (t *taking) read(name, text string) facts.Value {
	c := facts.NewCase(t.cat, "")
	if err := c.SetText(t.cat, name, text); err != nil {
		return facts.Value{State: facts.Unknown} // never permits
	}
	return c.Get(name)
}

// state makes a fact read so. A sign that was stated worse stays as it is.
func (t *taking) state(name, text string) {
	f, _ := t.cat.Lookup(name)
	if f.Sign || f.History {
		t.worsen(name, text)
		return
	}
	t.own.Set(name, t.read(name, text))
}

// worsen makes an ordered fact at least this bad: both ends of what is possible
// move up to it, never down.
func (t *taking) worsen(name, text string) {
	f, _ := t.cat.Lookup(name)
	is := t.read(name, text)
	was := t.own.Get(name)
	if was.State == facts.Stated && was.Words != 0 && is.State == facts.Stated {
		low := max(bits.TrailingZeros64(was.Words), bits.TrailingZeros64(is.Words))
		high := max(bits.Len64(was.Words), bits.Len64(is.Words)) - 1
		is.Words = (was.Words | is.Words) &^ (1<<low - 1) & (1<<(high+1) - 1)
		if is.Words == 0 {
			is.Words = 1 << high
		}
	}
	t.own.Set(f.Name, is)
}

// imply narrows a fact to what the event shows it to be. Where the case says
// otherwise the case stands, and that is said loudly.
func (t *taking) imply(name, text string) {
	f, _ := t.cat.Lookup(name)
	shows := t.read(name, text)
	v, err := t.reckon.Value(t.whole(), name)
	if err != nil || v.State != facts.Stated {
		t.own.Set(name, shows)
		return
	}
	if both := v.Words & shows.Words; both == 0 {
		t.loud("The case says %s is %s, and this can only happen to %s. It is noted all the same; look again and correct the case.",
			f.Name, f.FormatValue(v), f.FormatValue(shows))
	} else if both != v.Words {
		v.Words = both
		v.Origin = facts.FromCase
		t.own.Set(name, v)
	}
}

// add counts more of a fact. What is not known stays not known.
func (t *taking) add(name, text string) {
	f, _ := t.cat.Lookup(name)
	more := t.read(name, text)
	upon := t.whole()
	if name == "adhesive.solvent_volume" {
		// That solvent is in it now says nothing of how much was in it before.
		upon = t.before.Over(t.shop)
	}
	v, err := t.reckon.Value(upon, name)
	if err != nil || more.State != facts.Stated {
		return
	}
	switch v.State {
	case facts.Unknown:
		return
	case facts.Missing:
		// Nobody has counted: at least this much.
		v = facts.Value{State: facts.Stated, Low: 0, High: f.Max - more.High}
		if f.Name == "adhesive.pull_tabs_torn" {
			v.High = 0 // a case that speaks of no torn tab has none so far
			if tab := t.before.Get("adhesive.pull_tab"); tab.State == facts.Stated && tab.Words&^0b11 != 0 {
				v.High = 1
			}
		}
	}
	v.Low, v.High = min(v.Low+more.Low, f.Max), min(v.High+more.High, f.Max)
	v.State, v.Origin, v.At = facts.Stated, facts.FromCase, facts.Position{}
	t.own.Set(name, v)
}

// raise lifts a stated count to what an event shows there to be at least: a tab
// more that tears is a tab more.
func (t *taking) raise(name, least string) {
	v, floor := t.own.Get(name), t.own.Get(least)
	if v.State != facts.Stated || floor.State != facts.Stated || v.High >= floor.Low {
		return
	}
	f, _ := t.cat.Lookup(name)
	t.loud("The case counts %s, and one more than that is torn. Count tabs and stubs again.", f.FormatValue(v))
	v.Low, v.High, v.At = floor.Low, floor.Low, facts.Position{}
	t.own.Set(name, v)
}
