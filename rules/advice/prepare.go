package advice

import (
	"math"
	"math/bits"
	"slices"
	"strconv"
	"strings"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// mostPreparations keeps the list short enough to act on: whoever has that much
// to find out does these first and asks again.
const mostPreparations = 5

// prepare lists what to do, fetch or measure first, by trying it out: each item
// is answered benignly and the case asked again, so that the list is what is
// really needed and, unless it was cut short, its benign answers lead to
// proceed. likely is the rung that then stays.
func (a *adviser) prepare(c *facts.Case, o *outcome) (list []Preparation, likely string) {
	list, now := a.preparations(c, o, 2*mostPreparations)
	guessed := slices.ContainsFunc(list, func(p Preparation) bool { return p.Fact == "adhesive.kind" })
	// A method that rests on a guessed adhesive is no method.
	if slices.Contains(rules.Rungs, now.pick) && !guessed {
		likely = now.pick
	}
	a.ask.About(o.full, o.alarm)
	return list[:min(len(list), mostPreparations)], likely
}

// answered puts an answer into a case; a look is one that also counts after
// force.
func (a *adviser) answered(work *facts.Case, fact, answer string) error {
	if fact != "battery.looked" {
		return work.SetText(a.cat, fact, answer)
	}
	if err := work.Clone().SetText(a.cat, fact, answer); err != nil {
		return err
	}
	LookAgain(work, answer)
	return nil
}

// nextPreparation is the first thing that holds the verdict; it is answered
// benignly in the case.
func (a *adviser) nextPreparation(work *facts.Case, o *outcome, seen map[string]bool) (Preparation, bool) {
	fill := &writer{adviser: a, outcome: o, fill: o.placeholders()}
	if item, ok := a.remeasure(work, o, seen); ok {
		return item, true
	}
	for _, h := range o.holds {
		hold := h.Rule.Hold
		if seen[hold.Fact] {
			continue
		}
		if f, redirect := a.behindVolts(work, o, hold.Fact); redirect {
			if item, ok := a.settle(work, o, f, expression.Always, seen); ok {
				return item, true
			}
			continue
		}
		if f, ok := a.cat.Lookup(hold.Fact); ok && f.Change == nil && (f.Sign || f.History) && settled(f, work.Get(f.Name)) {
			if item, ok := a.settleAny(work, o, h.Rule.Holds, h.Rule.Holds.Not(), seen); ok {
				return item, true
			}
			continue
		}
		if hold.Fact == "battery.gauge_charge" && o.due == "yes" && a.gaugeIsSilent(work, o) {
			// Only the volts say that it is charged, so they have to say that
			// it no longer is.
			volts := a.lowVolts(work, o)
			if seen["battery.rest_voltage"] || work.SetText(a.cat, "battery.rest_voltage", volts) != nil {
				continue
			}
			return Preparation{Text: fill.filled(hold.Text) + " Then let it rest and measure the voltage again.", Fact: "battery.rest_voltage",
				Kind: hold.Kind, Minutes: hold.Minutes, Answer: volts, Rule: h.Rule.ID, Source: h.Rule.Cited()}, true
		}
		answer := hold.Answer
		if answer == "" {
			answer = a.benignAnswer(work, o, hold.Fact)
		}
		answer = fill.filled(answer)
		if a.answered(work, hold.Fact, answer) != nil {
			continue
		}
		return Preparation{Text: fill.filled(hold.Text), Fact: hold.Fact, Kind: hold.Kind, Minutes: hold.Minutes,
			Answer: answer, Rule: h.Rule.ID, Source: h.Rule.Cited()}, true
	}
	if o.certainly(a.cat, "job.goal", "ship") {
		return a.nextForCarriage(work, o, seen)
	}
	if o.pick != "undecided" {
		return Preparation{}, false
	}
	return a.nextUnsettled(work, o, seen)
}

// nextForCarriage is the next thing that would open a mode of carriage: a fact
// that leaves one open, else what the law asks for.
func (a *adviser) nextForCarriage(work *facts.Case, o *outcome, seen map[string]bool) (Preparation, bool) {
	modes := (&writer{adviser: a, outcome: o, fill: o.placeholders()}).shipping()
	for _, s := range modes {
		for _, name := range s.Unsettled {
			f, ok := a.cat.Lookup(name)
			if !ok {
				continue
			}
			if item, ok := a.settle(work, o, f, expression.Always, seen); ok {
				return item, true
			}
		}
	}
	const fact = "dispatch.packing"
	for _, s := range modes {
		if len(s.AllowedIf) > 0 && !seen[fact] {
			return Preparation{Text: "To be taken by " + s.Mode + ": " + s.AllowedIf[0] + ".", Fact: fact, Kind: "blocking", Minutes: 10}, true
		}
	}
	return Preparation{}, false
}

// nextUnsettled finds a fact that leaves the gentlest possible rung open.
func (a *adviser) nextUnsettled(work *facts.Case, o *outcome, seen map[string]bool) (Preparation, bool) {
	a.ask.About(o.full, o.alarm)
	for _, rung := range rules.Rungs {
		may, fits := o.may[rules.RungPermission(rung)], o.fits[rung]
		if o.tried(rung) || !may.Possible() || !fits.Possible() {
			continue
		}
		goal := a.book.Arena.Both(a.book.Fits(rung), a.book.May(rules.RungPermission(rung)))
		for _, part := range goal {
			for _, slot := range a.ask.Undecided(part) {
				if item, ok := a.settle(work, o, a.askable(o, slot), part, seen); ok {
					return item, true
				}
			}
		}
	}
	return a.nextChange(work, o, seen)
}

// nextChange finds something a person can change that stands against a rung.
func (a *adviser) nextChange(work *facts.Case, o *outcome, seen map[string]bool) (Preparation, bool) {
	for _, rung := range rules.Rungs {
		if o.tried(rung) || !o.fits[rung].Possible() {
			continue
		}
		p := rules.RungPermission(rung)
		for _, f := range a.ask.Against(p) {
			if item, ok := a.settleAny(work, o, f.Rule.Holds, f.Rule.Holds.Not(), seen); ok {
				return item, true
			}
		}
		for i := range a.book.Rules() {
			r := &a.book.Rules()[i]
			if slices.Contains(r.Permit, p) && a.ask.Explore(r.Holds) != expression.True {
				if item, ok := a.settleAny(work, o, r.Holds, r.Holds, seen); ok {
					return item, true
				}
			}
		}
	}
	return Preparation{}, false
}

// settleAny settles one of the facts that a condition reads.
func (a *adviser) settleAny(work *facts.Case, o *outcome, reads, want expression.Ref, seen map[string]bool) (Preparation, bool) {
	for _, slot := range a.book.Arena.Reads(reads) {
		if item, ok := a.settle(work, o, a.askable(o, slot), want, seen); ok {
			return item, true
		}
	}
	return Preparation{}, false
}

// askable is the fact a person can be asked about a slot: a sign by looking, a
// memory by asking, a derived fact by one of the readings it rests on.
func (a *adviser) askable(o *outcome, slot int) *facts.Fact {
	f := o.full.Layout.Slots[slot].Fact
	name := f.Name
	switch {
	case f.Sign && o.values[name].State == facts.Missing:
		name = "battery.looked"
	case f.History && o.values[name].State == facts.Missing:
		name = "battery.history_asked"
	case f.Derived:
		return a.reading(o, name)
	}
	g, _ := a.cat.Lookup(name)
	return g
}

// reading is the first reading behind a derived fact that nobody took yet.
func (a *adviser) reading(o *outcome, derived string) *facts.Fact {
	for _, name := range a.readingsFor(o, derived) {
		f, ok := a.cat.Lookup(name)
		if ok && o.input.Get(name).State != facts.Stated {
			return f
		}
	}
	return nil
}

// readingsFor lists the readings behind a derived fact, the most telling first.
func (a *adviser) readingsFor(o *outcome, derived string) []string {
	switch derived {
	case "derived.thickness_growth":
		return []string{"battery.swelling"}
	case "derived.excess_over_room":
		return []string{"battery.temperature", "bench.air_temperature"}
	case "derived.unit", "derived.energy_per_cell":
		return []string{"battery.series_cells", "battery.parallel_cells"}
	case "derived.rated_energy":
		return []string{"battery.rated_energy"}
	case "derived.lithium_content":
		return []string{"battery.lithium_content"}
	case "derived.solvent_vapour":
		return []string{"adhesive.solvent_volume"}
	case "derived.state_of_charge", "derived.stored_energy":
		return a.chargeReadings(o)
	}
	return append([]string{"battery.rest_voltage"}, labelReadings...)
}

// behindVolts redirects a hold for the charge, which waits for the rest voltage,
// to the first reading that would tell it: the label where only the target is
// open, the gauge where the device can show one.
func (a *adviser) behindVolts(work *facts.Case, o *outcome, fact string) (*facts.Fact, bool) {
	if fact != "battery.rest_voltage" {
		return nil, false
	}
	f := a.reading(o, "derived.state_of_charge")
	if f == nil || f.Name == fact {
		return f, work.Get(fact).State == facts.Stated
	}
	return f, true
}

// answerable leaves out a hold for the volts once they and everything that would
// explain them are read: it could not be answered any more.
func (a *adviser) answerable(o *outcome, holds []rules.Finding) []rules.Finding {
	if o.input.Get("battery.rest_voltage").State != facts.Stated || a.reading(o, "derived.state_of_charge") != nil {
		return holds
	}
	return slices.DeleteFunc(holds, func(f rules.Finding) bool { return f.Rule.Hold.Fact == "battery.rest_voltage" })
}

// gaugeIsSilent tells that volts were read and that the gauge, if it was read at
// all, does not say that the charge is above the target.
func (a *adviser) gaugeIsSilent(work *facts.Case, o *outcome) bool {
	gauge := work.Get("battery.gauge_charge")
	return work.Get("battery.rest_voltage").State == facts.Stated && (gauge.State != facts.Stated || gauge.High <= o.target)
}

// remeasure is the reading of the volts after a discharge: the old one no longer
// holds, and would go on saying that the cell is charged.
func (a *adviser) remeasure(work *facts.Case, o *outcome, seen map[string]bool) (Preparation, bool) {
	const fact = "battery.rest_voltage"
	if o.due != "yes" || !seen["battery.gauge_charge"] || seen[fact] || work.Get(fact).State != facts.Stated {
		return Preparation{}, false
	}
	answer := a.lowVolts(work, o)
	if work.SetText(a.cat, fact, answer) != nil {
		return Preparation{}, false
	}
	return Preparation{Text: "Then let it rest and measure the voltage again; the reading from before no longer holds.",
		Fact: fact, Kind: "quick", Minutes: 10, Answer: answer}, true
}

// labelReadings say what a voltage means: how many cells share it, and of which
// kind they are.
var labelReadings = []string{"battery.series_cells", "battery.nominal_voltage", "battery.charge_limit", "battery.chemistry"}

// chargeReadings are the readings behind the charge: first whether the cell has
// a charge in this sense at all, then the gauge if the device can show it, then
// the volts and what they mean.
func (a *adviser) chargeReadings(o *outcome) []string {
	var out []string
	if o.loosest > o.target {
		out = append(out, "battery.rated_energy")
	}
	if o.possible(a.cat, "battery.chemistry", "li-metal") {
		out = append(out, "battery.chemistry")
	}
	if !o.certainly(a.cat, "device.starts", "no") && !o.certainly(a.cat, "battery.place", "removed") {
		out = append(out, "battery.gauge_charge")
	}
	return append(append(out, "battery.rest_voltage"), labelReadings...)
}

// settle answers one fact so that a condition can still be true, and says what
// to do to find it out.
func (a *adviser) settle(work *facts.Case, o *outcome, f *facts.Fact, want expression.Ref, seen map[string]bool) (Preparation, bool) {
	if f == nil || seen[f.Name] || !f.Statable() {
		return Preparation{}, false
	}
	if v := work.Get(f.Name); settled(f, v) && f.Change == nil && f.Name != "battery.looked" {
		return Preparation{}, false
	}
	before := work.Get(f.Name)
	for _, answer := range a.answersFor(work, o, f) {
		if a.answered(work, f.Name, answer) != nil {
			continue
		}
		next := resolve(a.book.Layout, work, o.date)
		a.ask.About(next.full, next.alarm)
		possible := a.ask.Explore(want).Possible()
		a.ask.About(o.full, o.alarm)
		if !possible {
			continue
		}
		text, minutes, kind := f.Find, f.Minutes, "quick"
		if before.State == facts.Stated && f.Change != nil {
			text, minutes = f.Change.Text, f.Change.Minutes
		} else if f.Ask != "" {
			text = f.Ask + " " + f.Find
		}
		if minutes > 10 {
			kind = "blocking"
		}
		return Preparation{Text: text, Fact: f.Name, Kind: kind, Minutes: minutes, Answer: answer}, true
	}
	work.Set(f.Name, before)
	return Preparation{}, false
}

// settled tells that a case states one value of a fact, not a set or a range.
func settled(f *facts.Fact, v facts.Value) bool {
	if v.State != facts.Stated {
		return false
	}
	switch f.Kind {
	case facts.Words:
		return bits.OnesCount64(v.Words) == 1
	case facts.Number, facts.Count, facts.Date:
		return v.Low == v.High
	}
	return true
}

// answersFor lists answers to try, the most benign first.
func (a *adviser) answersFor(work *facts.Case, o *outcome, f *facts.Fact) []string {
	first := a.benignAnswer(work, o, f.Name)
	out := []string{first}
	if f.Kind == facts.Words {
		for i, w := range f.Words {
			if w != first && leaves(work.Get(f.Name), f, i) {
				out = append(out, w)
			}
		}
	}
	return out
}

// leaves tells that what is stated of a fact leaves a word possible: a look does
// not make better what was seen. What a person can change is not bound by what
// it was.
func leaves(v facts.Value, f *facts.Fact, word int) bool {
	return v.State != facts.Stated || f.Change != nil || v.Has(word)
}

// benignAnswer is the harmless answer to a fact, as a case file states it.
func (a *adviser) benignAnswer(work *facts.Case, o *outcome, name string) string {
	f, ok := a.cat.Lookup(name)
	if !ok {
		return ""
	}
	switch name {
	case "battery.looked":
		switch o.word("battery.place", "in-open-device") {
		case "in-closed-device":
			return "closed"
		case "removed":
			return "both-faces"
		}
		return "opened"
	case "battery.gauge_charge":
		return number(o.target) + " %"
	case "battery.rest_voltage":
		return a.lowVolts(work, o)
	case "battery.series_cells":
		return strconv.Itoa(a.likelyCells(o))
	case "battery.nominal_voltage":
		return number(3.85*float64(a.likelyCells(o))) + " V"
	case "battery.charge_limit":
		return number(4.4*float64(a.likelyCells(o))) + " V"
	case "battery.temperature":
		return "20 degC"
	case "bench.sand_mass":
		return "10 kg"
	case "bench.combustibles_distance":
		return "3 m"
	case "bench.heat_setpoint":
		return "50 degC"
	case "battery.place":
		return "in-open-device"
	case "bench.solvents":
		return "isopropanol-99"
	}
	if f.Change != nil && f.Change.To != "" {
		return f.Change.To
	}
	if f.Kind == facts.Words {
		i := 0
		if f.Unseen != nil {
			i = f.Unseen.Rank
		}
		if f.Ordered || !leaves(work.Get(name), f, i) {
			i = slices.IndexFunc(f.Words, func(w string) bool {
				rank, _ := f.Word(w)
				return leaves(work.Get(name), f, rank)
			})
		}
		return f.Words[max(0, i)]
	}
	if f.Kind == facts.Members {
		return "[]"
	}
	if f.Unseen == nil {
		return ""
	}
	if f.Unseen.Word != "" {
		return f.Unseen.Word
	}
	return f.FormatValue(facts.Value{State: facts.Stated, Low: f.Unseen.Number, High: f.Unseen.Number})
}

// likelyCells is the count of cells in series for which a stated voltage is
// nearest to that of an ordinary cell, else the fewest that are possible.
func (a *adviser) likelyCells(o *outcome) int {
	series := o.full.At(o.full.Layout.MustSlot("battery.series_cells"))
	volts := o.input.Get("battery.rest_voltage")
	if volts.State != facts.Stated {
		return int(series.Low)
	}
	return int(min(series.High, max(series.Low, math.Round(volts.Low/ordinaryCellV))))
}

// ordinaryCellV is about what one cell shows at rest, whatever its charge.
const ordinaryCellV = 3.7

// lowVolts is a rest voltage at which the charge lies at or under the target.
func (a *adviser) lowVolts(work *facts.Case, o *outcome) string {
	series := o.full.At(o.full.Layout.MustSlot("battery.series_cells")).Low
	try := work.Clone()
	answer := ""
	for perCell := 3.7; perCell >= 2.95; perCell -= 0.05 {
		answer = strconv.FormatFloat(perCell*series, 'f', 2, 64) + " V"
		if try.SetText(a.cat, "battery.rest_voltage", answer) != nil {
			break
		}
		next := &outcome{resolved: resolve(a.book.Layout, try, o.date), target: o.target}
		next.charge = next.full.At(next.full.Layout.MustSlot("derived.state_of_charge"))
		if next.dischargeDue(a) == "no" {
			return answer
		}
	}
	return strings.TrimSpace(answer)
}
