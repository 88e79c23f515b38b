package advice

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"
	"time"

	"loosecell/battery"
	"loosecell/rules/derive"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// resolved is a case with everything that follows from how it was stated: what
// a look shows to be absent, what is presumed, and the two boxes.
type resolved struct {
	input   *facts.Case
	values  map[string]facts.Value // after looks and presumptions
	assumed []Assumption
	date    time.Time
	full    *expression.Box
	alarm   *expression.Box

	by    []facts.Value // values, in catalogue order
	brief bool          // without the words of what was assumed
}

// resolve turns a case into what is possible. The catalogue's documented
// presumptions fill what nobody stated; an explicit unknown cancels them.
func resolve(layout *expression.Layout, c *facts.Case, date time.Time) *resolved {
	r := &resolved{}
	r.resolve(layout, c, date)
	return r
}

// resolve fills r from a case, in the memory of the last one.
func (r *resolved) resolve(layout *expression.Layout, c *facts.Case, date time.Time) {
	cat := c.Catalogue()
	r.empty(layout, cat)
	r.input, r.date = c, date
	for name, v := range c.Values {
		if i := cat.Index(name); i < len(r.by) {
			r.by[i] = v
		}
	}
	r.implied(cat)
	r.unsigned(cat)
	r.look(cat)
	r.presume(cat)
	r.seriesByLabel(cat)
	day := float64(date.Unix() / 86400)
	for i := range cat.Facts {
		r.fill(i, &cat.Facts[i])
	}
	law := layout.MustSlot("law.date")
	r.full.Set(law, expression.Exactly(day))
	r.alarm.Set(law, expression.Exactly(day))
	r.presumeDerived(cat)
	for i := range r.by {
		if r.by[i].State != facts.Missing {
			r.values[cat.Facts[i].Name] = r.by[i]
		}
	}
	r.fillEvidence(layout)
}

// empty makes room for a case.
func (r *resolved) empty(layout *expression.Layout, cat *facts.Catalogue) {
	if r.full == nil {
		r.values = make(map[string]facts.Value, len(cat.Facts))
		r.by = make([]facts.Value, len(cat.Facts))
		r.full, r.alarm = expression.NewBox(layout), expression.NewBox(layout)
		return
	}
	clear(r.values)
	clear(r.by)
	r.assumed = nil
	r.full.Clear()
	r.alarm.Clear()
}

// value is what holds of a fact so far.
func (r *resolved) value(cat *facts.Catalogue, name string) facts.Value {
	if i := cat.Index(name); i < len(r.by) {
		return r.by[i]
	}
	return facts.Value{}
}

// traces is what each tried rung leaves behind in the job: the fact it sets, as
// a case file states it.
var traces = []struct{ rung, fact, text string }{
	{"solvent", "adhesive.solvent_used", "yes"},
	{"card", "job.force_used", "yes"},
	{"warm", "job.warmings", "1.."},
}

// implied adds what a list of tried rungs says about the job, before a fresh
// job is presumed: a rung that was tried left its traces, and where it is not
// known what was tried, they are not known either.
func (r *resolved) implied(cat *facts.Catalogue) {
	tried := r.value(cat, "job.tried")
	f, _ := cat.Lookup("job.tried")
	for _, t := range traces {
		i, _ := f.Word(t.rung)
		at := cat.Index(t.fact)
		if r.by[at].State != facts.Missing {
			continue
		}
		switch {
		case tried.State == facts.Unknown:
			r.by[at] = facts.Value{State: facts.Unknown}
		case tried.State == facts.Stated && tried.Has(i):
			one := facts.NewCase(cat, "")
			if one.SetText(cat, t.fact, t.text) == nil {
				r.by[at] = one.Get(t.fact)
			}
		}
	}
	r.impliedDose(cat)
}

// impliedDose ties the volume of the solvent to whether any was used.
func (r *resolved) impliedDose(cat *facts.Catalogue) {
	used, volume := &r.by[cat.Index("adhesive.solvent_used")], &r.by[cat.Index("adhesive.solvent_volume")]
	if volume.State == facts.Missing && (used.State == facts.Unknown || used.State == facts.Stated && used.Has(1)) {
		*volume = facts.Value{State: facts.Unknown}
	}
	if used.State != facts.Missing || volume.State == facts.Missing || volume.State == facts.Stated && volume.High <= 0 {
		return
	}
	*used = facts.Value{State: facts.Unknown}
	if volume.State == facts.Stated && volume.Low > 0 {
		*used = facts.Value{State: facts.Stated, Words: 1 << 1}
	}
}

// judgementDays is how many days a judgement that the battery is not critical
// holds: it is made for one consignment, and a cell goes on ageing (common
// practice; no law names a number).
const judgementDays = 90

// signed tells that somebody is named for a judgement and that its day has come
// and is not long ago.
func signed(by, on facts.Value, date time.Time) bool {
	day := float64(date.Unix() / 86400)
	return by.State == facts.Stated && strings.TrimSpace(by.Text) != "" &&
		on.State == facts.Stated && on.High <= day && on.Low >= day-judgementDays
}

// Judged tells that a case states a judgement that the battery is not critical
// and that it counts on a day: somebody is named for it, and it was made at most
// 90 days before (ADR SP 376; the days are common practice).
func Judged(c *facts.Case, date time.Time) bool {
	f, ok := c.Catalogue().Lookup("battery.assessed")
	if !ok {
		return false
	}
	v := c.Get(f.Name)
	notCritical, _ := f.Word("not-critical")
	return v.State == facts.Stated && v.Words == 1<<notCritical && signed(c.Get("battery.assessed_by"), c.Get("battery.assessed_on"), date)
}

// unsigned takes back a judgement that the battery is not critical when nobody is
// named for it, its day has not come or is long ago: it opens modes of carriage,
// and is worth as much as the person behind it.
func (r *resolved) unsigned(cat *facts.Catalogue) {
	f, ok := cat.Lookup("battery.assessed")
	if !ok {
		return
	}
	v := &r.by[cat.Index(f.Name)]
	notCritical, _ := f.Word("not-critical")
	none, _ := f.Word("none")
	if v.State != facts.Stated || !v.Has(notCritical) {
		return
	}
	if signed(r.value(cat, "battery.assessed_by"), r.value(cat, "battery.assessed_on"), r.date) {
		return
	}
	v.Words = v.Words&^(1<<notCritical) | 1<<none
	r.assume(f, *v, fmt.Sprintf("A judgement that it is not critical counts once it says who judged (battery.assessed_by) and when (battery.assessed_on): "+
		"at most %d days before the day of this sheet, since it is judged for this consignment (common practice).", judgementDays))
}

// looks are the words of battery.looked, the most telling first.
const (
	bothFaces = iota
	opened
	closed
	notLooked
)

// look marks the signs as absent that nobody stated and that the look would
// have shown, and the history as asked and denied.
func (r *resolved) look(cat *facts.Catalogue) {
	how := worst(r.value(cat, "battery.looked"), notLooked)
	if stale(r.value(cat, "job.force_used")) {
		how = notLooked
	}
	removed := r.possible(cat, "battery.place", "removed")
	asked := r.certainly(cat, "battery.history_asked", "yes")
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if r.by[i].State != facts.Missing {
			continue
		}
		if f.Sign && shows(cat, f, how, removed) || f.History && asked {
			r.by[i] = facts.Value{State: facts.Stated, Origin: facts.FromLook, Words: 1}
		}
	}
	r.stillClosed(cat, how)
}

// stillClosed presumes the signs that a closed device hides to be absent, once
// its outside was looked at. That lets a sound-looking device be run down and
// opened and nothing more: every way of freeing the cell wants a look at the
// open one, and until then the cell grades as unproven.
func (r *resolved) stillClosed(cat *facts.Catalogue, how int) {
	if how > closed || !r.certainly(cat, "battery.place", "in-closed-device") {
		return
	}
	var hidden []string
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if f.Sign && r.by[i].State == facts.Missing {
			r.by[i] = facts.Value{State: facts.Stated, Origin: facts.Presumed, Words: 1}
			hidden = append(hidden, f.Key())
		}
	}
	if len(hidden) > 0 && !r.brief {
		r.assumed = append(r.assumed, Assumption{Fact: "battery." + hidden[0], Value: "not there: " + strings.Join(hidden, ", "),
			Why: "Hidden while the device is closed; looked for as soon as it is open, before anything is pulled."})
	}
}

// shows tells whether a look of this kind would have shown the sign. Once the
// cell is out, its underside can be seen, and a look that did not include it
// leaves open what sits on a face.
func shows(cat *facts.Catalogue, sign *facts.Fact, how int, removed bool) bool {
	looked, _ := cat.Lookup("battery.looked")
	need, ok := looked.Word(sign.SeenBy)
	if !ok || how > need {
		return false
	}
	if removed && sign.SeenBy == "opened" {
		return how <= bothFaces
	}
	return true
}

func worst(v facts.Value, none int) int {
	if v.State != facts.Stated || v.Words == 0 {
		return none
	}
	return bits.Len64(v.Words) - 1
}

// stale tells that force may have been used since the look.
func stale(force facts.Value) bool {
	return force.State == facts.Unknown || force.State == facts.Stated && force.Has(1)
}

func (r *resolved) certainly(cat *facts.Catalogue, name, word string) bool {
	v := r.value(cat, name)
	f, _ := cat.Lookup(name)
	i, ok := f.Word(word)
	return ok && v.State == facts.Stated && v.Words == 1<<i
}

func (r *resolved) possible(cat *facts.Catalogue, name, word string) bool {
	v := r.value(cat, name)
	f, _ := cat.Lookup(name)
	i, _ := f.Word(word)
	return v.State != facts.Stated || v.Has(i)
}

// presume fills what nobody stated from the catalogue, in catalogue order and
// again until nothing more follows: a presumed fact can be a condition itself.
func (r *resolved) presume(cat *facts.Catalogue) {
	for again := true; again; {
		again = false
		for _, i := range cat.Presuming() {
			f := &cat.Facts[i]
			if f.Derived || !f.Statable() || r.by[i].State != facts.Missing {
				continue
			}
			v, note, ok := r.presumption(cat, f)
			if !ok {
				continue
			}
			r.by[i] = v
			again = true
			r.assume(f, v, note)
		}
	}
}

// seriesByLabel narrows how many cells in series are usual to what the voltages on
// the label leave possible: a tablet battery of 3.8 V is one cell.
func (r *resolved) seriesByLabel(cat *facts.Catalogue) {
	i := cat.Index("battery.series_cells")
	usual := &r.by[i]
	nominal, limit := r.value(cat, "battery.nominal_voltage").Measured(), r.value(cat, "battery.charge_limit").Measured()
	if usual.State != facts.Stated || usual.Origin != facts.Presumed || usual.Low == usual.High || !nominal.Given && !limit.Given {
		return
	}
	possible := battery.AllChemistries
	if v := r.value(cat, "battery.chemistry"); v.State == facts.Stated && v.Origin != facts.Presumed {
		possible = battery.ChemistrySet(v.Words)
	}
	told, ok, err := battery.SeriesByLabel(possible, nominal, limit, battery.Interval{Low: usual.Low, High: usual.High})
	if err != nil || !ok {
		return // no such label: a contradiction, which is told where the case is read
	}
	usual.Low, usual.High = told.Low, told.High
	f := &cat.Facts[i]
	for k := range r.assumed {
		if r.assumed[k].Fact == f.Name {
			r.assumed[k].Value = f.FormatValue(*usual)
		}
	}
}

// assume notes a presumption for the sheet.
func (r *resolved) assume(f *facts.Fact, v facts.Value, why string) {
	if !r.brief {
		r.assumed = append(r.assumed, Assumption{Fact: f.Name, Value: f.FormatValue(v), Why: why})
	}
}

// presumption is the catalogue's value for a fact nobody stated. Where a
// condition holds several words, each word's presumption counts, and one word
// without any leaves the fact unknown.
func (r *resolved) presumption(cat *facts.Catalogue, f *facts.Fact) (facts.Value, string, bool) {
	var room [8]possibility
	w, ok := r.world(cat, f, room[:0])
	if !ok {
		return facts.Value{}, "", false
	}
	var out facts.Value
	var first string
	var more []string // notes beside the first
	for found := false; ; found = true {
		p := r.matching(f, w)
		if p == nil {
			return facts.Value{}, "", false
		}
		if !found {
			out, first = p.Means, p.Note
		} else {
			out = hullOf(out, p.Means)
			if p.Note != first && !slices.Contains(more, p.Note) {
				more = append(more, p.Note)
			}
		}
		if !w.next() {
			break
		}
	}
	out.State, out.Origin = facts.Stated, facts.Presumed
	if len(more) > 0 {
		first = strings.Join(append([]string{first}, more...), " ")
	}
	return out, first, true
}

// hullOf is what either value leaves possible.
func hullOf(a, b facts.Value) facts.Value {
	a.Words |= b.Words
	a.Low, a.High = min(a.Low, b.Low), max(a.High, b.High)
	return a
}

// possibility is a fact that may be several words, and one of them.
type possibility struct {
	fact int
	all  uint64
	word uint64 // one bit of all
}

// world fixes one word for each set of words that presumptions depend on.
type world []possibility

// world is the first of the combinations of words that the conditions of a
// fact's presumptions leave possible; ok is false if there is none.
func (r *resolved) world(cat *facts.Catalogue, f *facts.Fact, w world) (first world, ok bool) {
	for i := range f.Presume {
		for _, n := range f.Presume[i].Needs {
			v := &r.by[n.Fact]
			if v.State != facts.Stated || cat.Facts[n.Fact].Kind != facts.Words || w.word(n.Fact) != 0 {
				continue
			}
			if v.Words == 0 {
				return w, false
			}
			w = append(w, possibility{n.Fact, v.Words, v.Words & -v.Words})
		}
	}
	return w, true
}

// word is the word that a fact has in the world, 0 if it is not of this world.
func (w world) word(fact int) uint64 {
	for i := range w {
		if w[i].fact == fact {
			return w[i].word
		}
	}
	return 0
}

// next goes on to another combination; false when all were seen.
func (w world) next() bool {
	for i := range w {
		p := &w[i]
		if rest := p.all &^ (p.word | (p.word - 1)); rest != 0 {
			p.word = rest & -rest
			return true
		}
		p.word = p.all & -p.all
	}
	return false
}

// matching is the first presumption whose conditions hold in a world.
func (r *resolved) matching(f *facts.Fact, w world) *facts.Presumption {
next:
	for i := range f.Presume {
		p := &f.Presume[i]
		for _, n := range p.Needs {
			if r.by[n.Fact].State != facts.Stated || !n.Any && n.Words&w.word(n.Fact) == 0 {
				continue next
			}
		}
		return p
	}
	return nil
}

// fill states a fact in both boxes.
func (r *resolved) fill(i int, f *facts.Fact) {
	layout := r.full.Layout
	slot, ok := layout.FirstSlot(i)
	if !ok || f.Derived || f.Stage != "" {
		return
	}
	v := &r.by[i]
	if f.Kind == facts.Members {
		for m := range f.Words {
			if v.State == facts.Stated {
				present := expression.Word(int(v.Words >> m & 1))
				r.full.Set(slot+m, present)
				r.alarm.Set(slot+m, present)
			} else {
				r.alarm.Set(slot+m, expression.Word(0))
			}
		}
		return
	}
	switch v.State {
	case facts.Stated:
		r.full.Set(slot, rangeOf(layout, slot, v))
	case facts.Missing:
		r.full.MarkAbsent(slot)
	}
	switch {
	case v.State == facts.Stated && v.Origin != facts.Presumed:
		r.alarm.Set(slot, rangeOf(layout, slot, v))
	case f.Unseen != nil:
		r.alarm.Set(slot, unseen(layout, slot, f))
	case v.State == facts.Stated:
		r.alarm.Set(slot, rangeOf(layout, slot, v))
	}
}

func rangeOf(l *expression.Layout, slot int, v *facts.Value) expression.Range {
	if l.Slots[slot].Finite {
		return expression.Range{Words: v.Words}
	}
	return expression.Range{Low: v.Low, High: v.High}
}

func unseen(l *expression.Layout, slot int, f *facts.Fact) expression.Range {
	if l.Slots[slot].Finite {
		return expression.Word(f.Unseen.Rank)
	}
	return expression.Exactly(f.Unseen.Number)
}

// presumeDerived narrows derived facts that nobody measured, where the
// catalogue says what may be presumed instead: a cell that was felt and is not
// warm is not twenty kelvin over the room.
func (r *resolved) presumeDerived(cat *facts.Catalogue) {
	for _, i := range cat.Presuming() {
		f := &cat.Facts[i]
		if !f.Derived || !r.allMissing(derive.Needs[f.Name]) {
			continue
		}
		v, note, ok := r.presumption(cat, f)
		if !ok {
			continue
		}
		slot := r.full.Layout.MustSlot(f.Name)
		r.full.Narrow(slot, rangeOf(r.full.Layout, slot, &v))
		r.assume(f, v, note)
	}
}

// allMissing tells that at least one of the facts a derived one needs was not
// mentioned, and none was called unknown.
func (r *resolved) allMissing(needs []string) bool {
	missing := false
	for _, n := range needs {
		switch r.input.Get(n).State {
		case facts.Unknown:
			return false
		case facts.Missing:
			missing = true
		}
	}
	return missing
}

// fillEvidence states in the alarm box what derived facts rest on evidence.
func (r *resolved) fillEvidence(l *expression.Layout) {
	for i := range l.Slots {
		s := &l.Slots[i]
		if s.Derive == nil {
			continue
		}
		stated := true
		for _, n := range derive.Needs[s.Name] {
			v := r.values[n]
			stated = stated && v.State == facts.Stated && v.Origin != facts.Presumed
		}
		switch evidence, ok := derive.Evidence[s.Name]; {
		case !stated && s.Fact.Unseen != nil:
			r.alarm.Set(i, unseen(l, i, s.Fact))
		case ok && stated:
			r.alarm.Set(i, evidence(r.full, r.alarm))
		}
	}
}

// dateOf reads the date the law is read at: --on, else dispatch.date, else now.
func dateOf(c *facts.Case, o Options) (time.Time, error) {
	if o.On != "" {
		t, err := time.Parse(time.DateOnly, o.On)
		if err != nil {
			return t, fmt.Errorf("%q is no date; write it as 2026-01-31", o.On)
		}
		return t, nil
	}
	if v := c.Get("dispatch.date"); v.State == facts.Stated && v.Low == v.High {
		return time.Unix(int64(v.Low)*86400, 0).UTC(), nil
	}
	return o.Now.UTC().Truncate(24 * time.Hour), nil
}
