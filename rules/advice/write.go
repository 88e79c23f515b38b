package advice

import (
	"fmt"
	"math"
	"slices"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// rungMinutes is about how long each rung takes (common practice).
var rungMinutes = map[string]float64{
	"fasteners": 5, "lift-film": 3, "pull-cord": 5, "stretch-strips": 5, "strip-stub": 8, "other-tab": 5,
	"voltage-release": 5, "warm": 10, "solvent": 15, "card": 10, "cut-leads": 10,
}

// removal writes down the pick, every rung and the steps.
func (w *writer) removal() Removal {
	out := Removal{Pick: w.pick, Rungs: []Rung{}, Steps: w.steps("steps")}
	for _, r := range rules.Rungs {
		p := rules.RungPermission(r)
		rung := Rung{Rung: r, May: mayWord(w.may[p]), Fits: mayWord(w.fits[r]), Tried: w.tried(r), Minutes: rungMinutes[r]}
		if w.fits[r].Possible() {
			rung.Why = w.against(p)
			if w.may[p] != expression.True {
				rung.PutBack = w.putBack(p)
			}
		}
		out.Rungs = append(out.Rungs, rung)
	}
	return out
}

// putBack lists what a person can do or find out so that a permission that is
// not given now would be: the changeable and the unknown facts that the
// restrictions against it, or its offers, look at.
func (w *writer) putBack(p rules.Permission) []string {
	var out []string
	add := func(s string) {
		if s != "" && !slices.Contains(out, s) && len(out) < 4 {
			out = append(out, s)
		}
	}
	refs, barred := w.restrictions(p)
	if barred {
		// Each restriction that is certain has to be lifted; where one of them
		// reads nothing that a person can change, the rest is no help.
		for _, ref := range refs {
			if !w.liftable(ref) {
				return nil
			}
		}
	}
	if len(refs) == 0 {
		for _, f := range w.q.For(p) {
			refs = append(refs, f.Rule.Holds)
		}
	}
	for _, ref := range refs {
		for _, slot := range w.book.Arena.Reads(ref) {
			add(w.remedy(slot))
		}
	}
	return out
}

// restrictions are the conditions that stand against a permission: those that
// are certain, if any is, else those that are possible.
func (w *writer) restrictions(p rules.Permission) (refs []expression.Ref, certain bool) {
	var must, can []expression.Ref
	for _, f := range w.q.Against(p) {
		if f.Truth == expression.True {
			must = append(must, f.Rule.Holds)
		} else {
			can = append(can, f.Rule.Holds)
		}
	}
	if len(must) > 0 {
		return must, true
	}
	return can, false
}

// liftable tells that a person can do something about a condition that is
// certain: it would no longer be so if every fact with a remedy were open.
func (w *writer) liftable(ref expression.Ref) bool {
	full, alarm := w.q.Full, w.q.Alarm
	open := full.Clone()
	for _, slot := range w.book.Arena.Reads(ref) {
		if w.remedy(slot) != "" {
			open.Set(slot, full.Layout.Slots[slot].Domain)
		}
	}
	w.q.About(open, alarm)
	defer w.q.About(full, alarm)
	return w.q.Explore(ref) != expression.True
}

// remedy is what can be done about one fact.
func (w *writer) remedy(slot int) string {
	f := w.full.Layout.Slots[slot].Fact
	switch {
	case f.Name == "derived.state_of_charge" && w.dischargeMay() != expression.False:
		return fmt.Sprintf("Bring the charge down to %s %% or less.", number(w.target))
	case f.Derived || w.full.Layout.Slots[slot].Member >= 0:
		return ""
	case f.Change != nil && !w.benign(slot):
		return f.Change.Text
	case !w.full.Known(slot) && f.Ask != "":
		return "Find out: " + lowerFirst(f.Ask)
	}
	return ""
}

// benign tells that a fact already has the value a change would lead to.
func (w *writer) benign(slot int) bool {
	f := w.full.Layout.Slots[slot].Fact
	i, ok := f.Word(f.Change.To)
	return ok && w.full.At(slot).Words == 1<<i
}

// opening tells how to get into a device that is still closed.
func (w *writer) opening() *Opening {
	if !w.possible(w.cat, "battery.place", "in-closed-device") || w.certainly(w.cat, "battery.place", "removed") {
		return nil
	}
	if w.values["battery.place"].State != 2 && w.verdict != "prepare" {
		return nil
	}
	if w.verdict == "stop" || w.verdict == "evacuate" {
		return &Opening{Needed: w.certainly(w.cat, "battery.place", "in-closed-device"), May: mayWord(w.may["opening"]), Steps: []Step{}, WhereToHeat: "nowhere: it stays shut", Why: w.against("opening")}
	}
	surface, _, _ := w.q.Cap("opening.surface")
	minutes, _, _ := w.q.Cap("opening.minutes")
	return &Opening{
		Needed: w.certainly(w.cat, "battery.place", "in-closed-device"), May: mayWord(w.may["opening"]),
		SurfaceLimitC: surface, TimeLimitMin: minutes,
		WhereToHeat: "the rim of the cover, on the side away from the cell",
		Steps:       w.steps("opening"), Why: w.against("opening"),
	}
}

// discharge writes down what is due about the charge.
func (w *writer) discharge() Discharge {
	out := Discharge{
		May: mayWord(w.dischargeMay()), Due: w.due, Action: w.action, TargetSoCPct: w.target,
		ChargePct: tenths(w.charge), Notes: w.lines("discharge"),
	}
	if w.dischargeMay() != expression.True {
		out.Why = w.against("discharge.in-device")
	}
	w.dischargeFigures(&out)
	return out
}

// tenths rounds a span of charge outwards to tenths of a percent: no voltage
// table knows it better, and inwards would promise more than is known. A hair
// over a tenth is rounding of the arithmetic and counts as that tenth.
func tenths(r expression.Range) *Range {
	const hair = 1e-6
	return &Range{math.Floor(r.Low*10+hair) / 10, math.Ceil(r.High*10-hair) / 10}
}

// heat writes down how warm and how long.
func (w *writer) heat() Heat {
	out := Heat{May: mayWord(w.may["heat"]), Why: w.against("heat"), Notes: w.lines("heat")}
	if w.may["heat"] == expression.False {
		return out
	}
	out.SurfaceLimitC = w.capped("heat.surface")
	out.CellLimitC = w.capped("heat.cell")
	out.TimeLimitMin = w.capped("heat.minutes")
	w.heatFigures(&out)
	return out
}

func (w *writer) capped(name string) *float64 {
	if v, _, ok := w.q.Cap(name); ok {
		return &v
	}
	return nil
}

// solvent writes down which liquid and how much.
func (w *writer) solvent() Solvent {
	out := Solvent{May: mayWord(w.may["solvent"]), Why: w.against("solvent"), Notes: w.lines("solvent")}
	w.solventFigures(&out)
	return out
}

// storage writes down where the removed cell waits.
func (w *writer) storage() *Storage {
	class, _ := w.q.Choose("storage.class")
	if class == nil {
		return nil
	}
	out := &Storage{Class: wordOf(class.Value), Notes: w.lines("storage"), Waste: w.lines("waste")}
	out.Container = w.chosen("storage.container")
	out.LookAgain = w.chosen("storage.look_again")
	out.Fallback = w.chosen("storage.fallback")
	if row, _ := w.q.Choose("storage.soc_band"); row != nil {
		out.SoCBandPct = w.underCap(bandOf(row.Value))
	}
	if row, _ := w.q.Choose("storage.keep_apart"); row != nil {
		out.KeepApart = wordsOf(row.Value)
	}
	w.storeVerdict(out)
	return out
}

// chosen is the text of a table's answer, filled, "" where there is none.
func (w *writer) chosen(answer string) string {
	row, _ := w.q.Choose(answer)
	if row == nil {
		return ""
	}
	if s := wordOf(row.Value); !nothing[s] {
		return w.filled(s)
	}
	return ""
}

// nothing holds the words by which a table says that there is no answer.
var nothing = map[string]bool{"none": true, "none-needed": true, "as-it-is": true}

func wordOf(v any) string {
	if s, ok := v.(string); ok {
		return s
	}
	if m, ok := v.(map[string]any); ok {
		return fmt.Sprint(m["text"])
	}
	return fmt.Sprint(v)
}

func wordsOf(v any) []string {
	list, ok := v.([]any)
	if !ok {
		if s := wordOf(v); !nothing[s] {
			return []string{s}
		}
		return nil
	}
	var out []string
	for _, x := range list {
		out = append(out, fmt.Sprint(x))
	}
	return out
}

// underCap brings a charge band under the cap that a shop sets.
func (w *writer) underCap(band *Range) *Range {
	limit, _, ok := w.q.Cap("store.charge_high")
	if band == nil || !ok {
		return band
	}
	return &Range{min(band.Low, limit), min(band.High, limit)}
}

// bandOf reads a table's charge band: "30..50 %" or low and high.
func bandOf(v any) *Range {
	if s, ok := v.(string); ok {
		if low, high, err := parsePercent(s); err == nil {
			return &Range{low, high}
		}
	}
	if m, ok := v.(map[string]any); ok {
		return &Range{percent(m["low"], 0), percent(m["high"], 0)}
	}
	return nil
}

// unknownFigure is where a range says that nothing is known.
const unknownFigure = 10000

// numbers are what the arithmetic found, each with what it rests on.
func (w *writer) numbers() []Figure {
	var out []Figure
	for _, f := range []struct{ name, fact, basis, source string }{
		{"rated energy", "derived.rated_energy", "as marked, else volts times ampere-hours, else size or kind", "UN Manual of Tests and Criteria, 38.3.2.3"},
		{"charge", "derived.state_of_charge", "gauge on a sound dry cell, else rest voltage in the cell's table", "common practice; measured open-circuit tables"},
		{"stored energy", "derived.stored_energy", "rated energy times charge", "arithmetic"},
	} {
		slot := w.full.Layout.MustSlot(f.fact)
		r := w.full.At(slot)
		if r.Low <= 0 && r.High >= unknownFigure {
			continue
		}
		out = append(out, Figure{Name: f.name, Low: r.Low, High: r.High, Unit: w.full.Layout.Slots[slot].Fact.Unit, Basis: f.basis, Source: f.source})
	}
	return out
}

// because is the verdict in one sentence.
func (w *writer) because(out *Advice) string {
	switch w.verdict {
	case "evacuate", "stop":
		if len(w.alarms) > 0 {
			return w.alarmReason()
		}
		if w.certainly(w.cat, "job.goal", "ship") {
			return "No carrier may take this cell as it is; ask a dangerous-goods specialist."
		}
		if w.pick == "already-out" {
			return "This cell may not go back into a device; store it and send it for recycling."
		}
		return "No way of getting this cell out here is permitted; leave it in and hand it over."
	case "prepare":
		if len(out.Prepare) > 0 {
			return "First: " + lowerFirst(out.Prepare[0].Text)
		}
		return "Something is still open; see what is not known."
	}
	if w.staysIn(w.adviser) {
		return "The battery stays where it is; look after the device as below."
	}
	if w.pick == "already-out" {
		return "The cell is out; look after it as below."
	}
	if w.graded.Condition >= rules.Unproven {
		return "Permitted with the precautions of this sheet and no others: " + pickWords[w.pick] + "."
	}
	return "Nothing stands against it: " + pickWords[w.pick] + "."
}

// alarmReason is what set the alarm off: the worst sign rather than the alarm
// that gathers signs.
func (w *writer) alarmReason() string {
	said := ""
	for _, f := range w.graded.By {
		if g := f.Rule.Grade; g.Condition != w.graded.Condition || w.graded.Condition <= rules.Damaged {
			continue
		}
		if w.q.Explore(f.Rule.Holds) == expression.True {
			return f.Rule.Because // of a sign that is there, not of one that may be
		}
		if said == "" && f.Truth == expression.True {
			said = f.Rule.Because
		}
	}
	if said != "" {
		return said
	}
	for _, f := range w.graded.By {
		if g := f.Rule.Grade; g.Condition == w.graded.Condition && w.graded.Condition > rules.Damaged {
			return f.Rule.Because
		}
	}
	return w.alarms[0].Rule.Because
}

// pickWords names each rung in a sentence.
var pickWords = map[string]string{
	"already-out": "the cell is out", "fasteners": "undo the fasteners and lift the cell out", "lift-film": "peel the lift film",
	"pull-cord": "pull the cord along its path", "stretch-strips": "pull the stretch strips, flat and slow",
	"strip-stub": "fish out the stub of the strip", "other-tab": "pull the other tab", "voltage-release": "release the adhesive by voltage",
	"warm": "warm the adhesive gently and try again while it is warm", "solvent": "loosen the edge with solvent", "card": "part the adhesive with a card or thread",
	"cut-leads": "cut the leads on the board side, one at a time",
}

// trace lists the rules that spoke.
func (w *writer) trace() []Trace {
	out := []Trace{}
	add := func(f rules.Finding, answer, effect string) {
		var names []string
		for _, s := range w.book.Arena.Reads(f.Rule.Holds) {
			names = append(names, w.full.Layout.Slots[s].Name)
		}
		known := "practice"
		if len(f.Rule.Sources) > 0 {
			known = string(f.Rule.Sources[0].Document.Known)
		}
		out = append(out, Trace{Rule: f.Rule.ID, Answer: answer, Effect: effect, Certain: f.Truth == expression.True,
			Facts: names, Because: f.Rule.Because, Source: f.Rule.Cited(), Known: known})
	}
	for _, f := range w.alarms {
		add(f, "verdict", f.Rule.Alarm.Verdict)
	}
	for _, f := range w.graded.By {
		add(f, "condition", "grade")
	}
	for _, p := range rules.Permissions {
		for _, f := range w.q.For(p) {
			add(f, string(p), "permit")
		}
		for _, f := range w.q.Against(p) {
			add(f, string(p), "forbid")
		}
	}
	for _, f := range w.holds {
		add(f, "verdict", "hold")
	}
	return out
}
