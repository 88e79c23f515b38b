package events

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// A Change is what an event changed about one fact, as a case file states it;
// Was or Is is "" where the case does not state the fact.
type Change struct {
	Fact string `json:"fact"`
	Was  string `json:"was"`
	Is   string `json:"is"`
}

// A Happening is one event as it was taken into a case.
type Happening struct {
	Event   string   `json:"event"`
	Says    string   `json:"says"`
	Changes []Change `json:"changes"`
	Loud    []string `json:"loud,omitempty"` // what does not fit together, or should not have been done
	Card    string   `json:"card,omitempty"` // act card
	Source  string   `json:"source"`

	safe  string // what makes safe, if it was not permitted
	early bool   // it was only too early, so what comes first follows
}

// Happen takes events, in their order, into a copy of a case. shop lies under
// it and may be nil; it is not written to. What should not have happened is
// taken in all the same and said loudly: it has happened. The error tells of
// bad options or of a case that the events leave contradictory; then there is
// no case.
func Happen(b *rules.Book, c, shop *facts.Case, list []Occurrence, o advice.Options) (*facts.Case, []Happening, error) {
	t := &taking{
		cat: c.Catalogue(), reckon: advice.NewReckoner(b, c.Catalogue(), o), own: c.Clone(), shop: shop, book: b, opts: o,
		timed: slices.ContainsFunc(list, func(x Occurrence) bool { return x.Event.Word == "minutes" }),
	}
	var out []Happening
	for _, x := range list {
		h, err := t.take(x)
		if err != nil {
			return nil, nil, err
		}
		out = append(out, h)
	}
	if wrong := facts.Contradictions(t.own.Over(shop)); len(wrong) > 0 {
		return nil, nil, wrong
	}
	return t.own, out, nil
}

// taking is a case in the middle of taking events in.
type taking struct {
	cat    *facts.Catalogue
	reckon *advice.Reckoner
	own    *facts.Case // what the case itself states
	shop   *facts.Case
	timed  bool // the time spent is stated by an event of its own
	book   *rules.Book
	opts   advice.Options

	offered  string // the rung the sheet offered before the event
	struck   string // the rung this event struck
	reported bool   // the act was reported, and judged, by an event before this one
	happen   *Happening
	before   *facts.Case
}

// whole is the case over its shop.
func (t *taking) whole() *facts.Case { return t.own.Over(t.shop) }

// take takes one event in.
func (t *taking) take(x Occurrence) (Happening, error) {
	typed := x.String()
	x = t.asActed(x)
	e := x.Event
	h := Happening{Event: typed, Says: e.Says, Card: e.Card, Source: e.Source}
	t.happen, t.before = &h, t.own.Clone()
	pick, err := t.reckon.Answer(t.whole(), "removal.pick")
	if err != nil {
		return h, err
	}
	t.offered, t.struck, t.reported = "", "", false
	if slices.Contains(rules.Rungs, pick) {
		t.offered = pick
	}
	t.apply(x)
	if err := t.judge(x); err != nil {
		return h, err
	}
	h.Changes = t.changed()
	return h, nil
}

// asActed takes a reading for the act that it shows: a charge lower than it was
// has been run down.
func (t *taking) asActed(x Occurrence) Occurrence {
	act := shipped().byWord[x.Event.change.Fallen]
	if act == nil {
		return x
	}
	was, is := t.own.Get(x.Event.Takes.Fact), t.read(x.Event.Takes.Fact, x.Value)
	if was.State != facts.Stated || is.State != facts.Stated || is.Low >= was.Low {
		return x
	}
	return Occurrence{Event: act, Value: x.Value, Given: x.Given}
}

func (t *taking) loud(format string, args ...any) {
	t.happen.Loud = append(t.happen.Loud, fmt.Sprintf(format, args...))
}

// apply carries out the changes of an event.
func (t *taking) apply(x Occurrence) {
	e := x.Event
	c := &e.change
	fill := func(text string) string { return strings.ReplaceAll(text, "{value}", x.Value) }
	for _, name := range sortedKeys(c.Implies) {
		t.imply(name, c.Implies[name])
	}
	for _, name := range c.Forget {
		t.own.Unset(name)
	}
	for _, name := range c.Unknown {
		t.own.Set(name, facts.Value{State: facts.Unknown})
	}
	t.triedRungs(c, x.Value)
	for _, name := range sortedKeys(c.State) {
		t.state(name, fill(c.State[name]))
	}
	for _, name := range sortedKeys(c.Count) {
		if name == "adhesive.pull_tabs_torn" && t.struck == "strip-stub" {
			continue // what tore was what was left of a tab that counts already
		}
		t.add(name, fill(c.Count[name]))
	}
	for _, name := range sortedKeys(c.Within) {
		t.raise(name, c.Within[name])
	}
	if c.Spend != "" {
		t.add("job.minutes", fill(c.Spend))
	} else if e.Minutes > 0 && !t.timed {
		t.add("job.minutes", facts.FormatQuantity(e.Minutes, e.Minutes, "min"))
	}
	if c.Change != "" {
		f, _ := t.cat.Lookup(fill(c.Change))
		t.state(f.Name, f.Change.To)
	}
	switch {
	case c.Force == "yes", c.Force == "offered" && t.isForceful(t.offered), c.Force == "value" && t.isForceful(x.Value):
		t.state("job.force_used", "yes")
		t.lookNoLongerCounts()
	case c.Relook:
		t.lookNoLongerCounts()
	}
	for _, name := range sortedKeys(c.Worsen) {
		t.worsen(name, fill(c.Worsen[name]))
	}
	if c.Cools {
		t.cool(x.Value)
	}
	if c.Opens {
		t.opened()
	}
	if c.Look {
		t.look(x.Value)
	}
}

func (t *taking) isForceful(rung string) bool { return slices.Contains(shipped().forceful, rung) }

// triedRungs strikes what came to nothing, and notes what having tried it says
// of the job.
func (t *taking) triedRungs(c *changes, value string) {
	list, offered, one := c.rungs()
	switch {
	case one:
		t.strike(value)
	case offered && t.offered == "":
		t.loud("The sheet offered no way of freeing the cell, so none is struck; say tried=WAY.")
	case offered, slices.Contains(list, t.offered):
		t.strike(t.offered)
	case len(list) > 0:
		for _, rung := range list {
			if !t.hasTried(rung) && t.fits(rung) {
				t.strike(rung)
				return
			}
		}
	}
}

// fits tells that a rung can apply to the case.
func (t *taking) fits(rung string) bool {
	fits, err := t.reckon.Fits(t.whole(), rung)
	return err != nil || fits.Possible()
}

func (t *taking) hasTried(rung string) bool {
	f, _ := t.cat.Lookup("job.tried")
	i, _ := f.Word(rung)
	v := t.own.Get("job.tried")
	return v.State == facts.Stated && v.Has(i)
}

// strike notes that a rung was tried.
func (t *taking) strike(rung string) {
	f, _ := t.cat.Lookup("job.tried")
	i, _ := f.Word(rung)
	t.struck = rung
	v := t.own.Get("job.tried")
	if v.State == facts.Unknown {
		t.untold()
	}
	if v.State != facts.Stated {
		v = facts.Value{State: facts.Stated}
	}
	v.Words |= 1 << i
	t.own.Set("job.tried", v)
	switch rung {
	case "solvent":
		t.reported = t.before.Get("adhesive.solvent_used").State == facts.Stated && !t.certainlyNo("adhesive.solvent_used")
		if t.certainlyNo("adhesive.solvent_used") {
			t.own.Set("adhesive.solvent_volume", facts.Value{State: facts.Unknown})
			t.loud("Solvent was tried, and the case does not say how much went in; say solvent-applied=0.4mL.")
		}
		t.state("adhesive.solvent_used", "yes")
	case "warm":
		w, _ := t.reckon.Value(t.before.Over(t.shop), "job.warmings")
		t.reported = w.State == facts.Stated && w.Low > 0
		if w.State == facts.Stated && w.High == 0 {
			t.add("job.warmings", "1")
		}
	}
}

// untold keeps not known what unknown tries before this one may have done, since
// the list that now begins does not tell of them.
func (t *taking) untold() {
	t.loud("What was tried before this is not known; ask, and correct the case.")
	for _, name := range []string{"job.force_used", "job.warmings", "adhesive.solvent_used", "adhesive.solvent_volume"} {
		if t.whole().Get(name).State == facts.Missing {
			t.own.Set(name, facts.Value{State: facts.Unknown})
		}
	}
}

// certainlyNo tells that a yes/no fact of the case is no, as stated or presumed.
func (t *taking) certainlyNo(name string) bool {
	f, _ := t.cat.Lookup(name)
	i, _ := f.Word("no")
	v, _ := t.reckon.Value(t.before.Over(t.shop), name)
	return v.State == facts.Stated && v.Words == 1<<i
}

// changed compares the case with what it was before the event.
func (t *taking) changed() []Change {
	out := []Change{}
	for i := range t.cat.Facts {
		f := &t.cat.Facts[i]
		was, is := f.FormatValue(t.before.Get(f.Name)), f.FormatValue(t.own.Get(f.Name))
		if was != is {
			out = append(out, Change{Fact: f.Name, Was: was, Is: is})
		}
	}
	return out
}

func sortedKeys[V any](m map[string]V) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
