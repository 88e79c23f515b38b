package advice

import (
	"math"
	"slices"
	"strings"

	"loosecell/hazards"
	"loosecell/hazards/solvent"
	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// leastDoseML is the least that is worth applying: one edge, 0.3 mL (common
// practice). Permission asks whether this much may be used; the dose that is
// advised may be more, up to what the room takes.
const leastDoseML = 0.3

// solventChoice settles whether some liquid at the bench may be used here at
// all: by plastics, display, the hottest surface and the vapour in this room.
// It only ever takes a permission back: no where no liquid would do however the
// open facts turn out, open where that depends on them.
func (o *outcome) solventChoice() {
	if o.may["solvent"] != expression.True && o.may["rung.solvent"] != expression.True {
		return
	}
	strict := o.solventSetting(leastDoseML)
	used := estimate(o.at("adhesive.solvent_volume"), 0, 100)
	against, ok := firstPermitted(strict)
	if o.solventLeft(used.High) < aDropML {
		against, ok = []string{"The whole dose of this job has gone in, or may have; more only floods the device."}, false
	}
	if ok {
		return
	}
	truth := expression.False
	if _, ok := firstPermitted(o.kindestSetting(leastDoseML)); ok && o.solventLeft(used.Low) >= aDropML {
		truth = expression.Open
	}
	o.solventBar = against
	for _, p := range []rules.Permission{"solvent", "rung.solvent"} {
		if o.may[p] == expression.True {
			o.may[p] = truth
		}
	}
}

// physicalFacts are what the choice rests on beside the rulebook.
var physicalFacts = []string{"bench.room_volume", "bench.air_changes", "bench.air_temperature", "battery.temperature",
	"bench.heat_setpoint", "job.warmings", "adhesive.solvent_volume", "adhesive.family", "device.plastics_near"}

// solventUnknowns lists the facts that were called unknown and that leave the
// solvent open, with what they could change.
func (a *adviser) solventUnknowns(c *facts.Case, o *outcome, listed []Unknown) []Unknown {
	if o.solventBar == nil || o.may["solvent"] != expression.Open {
		return listed
	}
	for _, name := range physicalFacts {
		f, ok := a.cat.Lookup(name)
		known := slices.ContainsFunc(listed, func(u Unknown) bool { return u.Fact == name })
		if !ok || known || o.values[name].State != facts.Unknown {
			continue
		}
		if changes := a.ifBenign(c, o, f); len(changes) > 0 {
			listed = append(listed, Unknown{Fact: name, Ask: f.Ask, How: f.Find, StandIn: f.StandIn, Minutes: f.Minutes, Changes: changes})
		}
	}
	a.ask.About(o.full, o.alarm)
	return listed
}

// ifBenign says what a harmless answer to one fact would change.
func (a *adviser) ifBenign(c *facts.Case, o *outcome, f *facts.Fact) []Change {
	work, answer := c.Clone(), a.benignAnswer(c, o, f.Name)
	if work.SetText(a.cat, f.Name, answer) != nil {
		return nil
	}
	other, err := a.outcome(work)
	if err != nil {
		return nil
	}
	var out []Change
	for _, d := range difference(o, other) {
		out = append(out, Change{Answer: d[0], If: answer, To: d[1]})
	}
	return out
}

// firstPermitted looks for a liquid of the setting that nothing bars, in the
// order of the bench; otherwise it says what bars the first.
func firstPermitted(s solvent.Setting) (against []string, ok bool) {
	if len(s.Available) == 0 {
		return []string{"No solvent is certainly at the bench."}, false
	}
	for _, name := range s.Available {
		permitted, reasons, err := solvent.Permits(s, name)
		if err != nil {
			return []string{"The vapour in this room cannot be reckoned: " + err.Error() + "."}, false
		}
		if permitted {
			return nil, true
		}
		if against == nil {
			against = remarks(name, reasons)
		}
	}
	return against, false
}

func remarks(name string, reasons []solvent.Remark) []string {
	title := name
	if l, err := solvent.Find(name); err == nil {
		title = l.Title
	}
	var out []string
	for _, r := range reasons {
		out = append(out, sentenceOf(title+": "+r.Text))
	}
	return out
}

// sentenceOf gives a remark a capital and a full stop.
func sentenceOf(text string) string {
	text = strings.TrimSuffix(text, ".") + "."
	return strings.ToUpper(text[:1]) + text[1:]
}

// solventSetting is the strictest setting that what is known leaves possible.
func (o *outcome) solventSetting(doseML float64) solvent.Setting {
	atHand, _ := o.members("bench.solvents")
	certain, possible := o.members("device.plastics_near")
	s := solvent.Setting{
		Purpose: solvent.UnderCell, Available: inBenchOrder(atHand), Plastics: possible,
		PlasticsUnknown: len(possible) > len(certain), Display: o.display(true),
		HottestSurfaceC: o.hottestSurface(), RoomC: o.airC(-10, 60), Room: o.box(),
		DoseML: exactly(doseML + o.at("adhesive.solvent_volume").High),
	}
	for _, f := range o.wordsOfFact("adhesive.family") {
		s.Families = append(s.Families, solvent.Family(f))
	}
	return s
}

// kindestSetting is the setting if every open fact turns out well.
func (o *outcome) kindestSetting(doseML float64) solvent.Setting {
	s := o.solventSetting(doseML)
	_, atHand := o.members("bench.solvents")
	s.Available = inBenchOrder(atHand)
	s.Plastics, _ = o.members("device.plastics_near")
	s.PlasticsUnknown, s.Display = false, o.display(false)
	if o.mayBe("adhesive.family", "rubber") {
		s.Families = []solvent.Family{solvent.Rubber}
	}
	s.HottestSurfaceC, s.RoomC = exactly(s.HottestSurfaceC.Low), exactly(s.RoomC.Low)
	s.Room.VolumeM3, s.Room.AirChangesPerHour = exactly(s.Room.VolumeM3.High), exactly(s.Room.AirChangesPerHour.High)
	s.DoseML = exactly(doseML + o.at("adhesive.solvent_volume").Low)
	return s
}

// inBenchOrder sorts bottles by which one is tried first.
func inBenchOrder(names []string) []string {
	all, err := solvent.All()
	if err != nil {
		return names
	}
	var out []string
	for _, l := range all {
		for _, n := range names {
			if n == l.Name {
				out = append(out, n)
			}
		}
	}
	return out
}

// display is where the screen may lie at worst, or at best.
func (o *outcome) display(worst bool) solvent.Display {
	under := o.wordsOfFact("device.under_cell")
	mayBeUnder := o.mayBe("device.under_cell", "display")
	near := o.mayBe("device.liquid_sensitive_near", "yes")
	if worst {
		switch {
		case mayBeUnder:
			return solvent.DisplayUnder
		case near:
			return solvent.DisplayNear
		}
		return solvent.NoDisplay
	}
	switch {
	case mayBeUnder && len(under) == 1:
		return solvent.DisplayUnder
	case near && !o.mayBe("device.liquid_sensitive_near", "no"):
		return solvent.DisplayNear
	}
	return solvent.NoDisplay
}

// hottestSurface is the warmest thing the vapour can meet: the cell as measured,
// and after a warming that nobody measured since, the heater's setting.
func (o *outcome) hottestSurface() hazards.Estimate {
	const coldest, hottest = -40, 1000
	air := o.airC(coldest, 60)
	if !o.missing("battery.temperature") {
		return estimate(o.at("battery.temperature"), coldest, hottest)
	}
	if o.at("job.warmings").High < 1 {
		return air
	}
	set := estimate(o.at("bench.heat_setpoint"), coldest, hottest)
	return hazards.Estimate{Low: air.Low, Middle: air.Middle, High: max(air.High, set.High)}
}

// physics is what the models answer for one outcome, worked out when first asked
// for.
type physics struct {
	solventBar    []string // why the models take the solvent back
	liquid        *solventPlan
	solventDone   bool
	discharging   dischargePlan
	dischargeDone bool
}

// solventPlan is which liquid, how much and how long.
type solventPlan struct {
	liquid solvent.Liquid
	choice solvent.Choice
	dose   hazards.Estimate // mL, this job from now on
	edge   hazards.Estimate // mL an edge
	leftML float64
	soak   hazards.Estimate // min
	bond   solvent.Bond
}

// planSolvent works the plan out once; nil where no solvent may be used.
func (o *outcome) planSolvent() *solventPlan {
	if o.solventDone {
		return o.liquid
	}
	o.solventDone = true
	if o.may["solvent"] == expression.False {
		return nil
	}
	p := &solventPlan{bond: o.bond()}
	setting := o.solventSetting(leastDoseML)
	if o.may["solvent"] != expression.True {
		// What is open may turn out well: the bottle that would be taken then.
		_, setting.Available = o.members("bench.solvents")
		setting.Available = inBenchOrder(setting.Available)
	}
	var err error
	if p.choice, err = solvent.Choose(setting); err != nil || p.choice.Name == "" {
		return nil
	}
	if p.liquid, err = solvent.Find(p.choice.Name); err != nil {
		return nil
	}
	if o.doses(p) != nil {
		return nil
	}
	if p.soak, err = p.liquid.Soak(p.bond); err != nil {
		return nil
	}
	o.liquid = p
	return p
}

// doses fills how much to apply: the volume of the gap, never over the cap of
// the rulebook, what this job has left, and what the room's air takes.
func (o *outcome) doses(p *solventPlan) error {
	used := estimate(o.at("adhesive.solvent_volume"), 0, 100)
	dosing, err := solvent.Dose(p.bond, used)
	if err != nil {
		return err
	}
	p.leftML = min(dosing.LeftML, o.solventLeft(used.High))
	most := o.mostForRoom(p.choice.Name, min(p.leftML, dosing.JobML.High))
	low := min(most, max(aDropML, dosing.JobML.Low))
	p.dose = hazards.Estimate{Low: low, Middle: hold(dosing.JobML.Middle, low, most), High: most}
	// 0.3 to 0.5 mL an edge (common practice), less where the whole dose is less.
	top := min(solvent.PerEdgeCapML, most)
	p.edge = hazards.Estimate{Low: min(leastDoseML, top/2), Middle: min(0.4, top), High: top}
	return nil
}

// solventCaps are the most that a whole job may use, in mL, and the most of what
// is still to come. A cap that looks at what went in speaks of the rest; any
// other is of the whole job.
func (o *outcome) solventCaps() (jobML, restML float64) {
	volume := o.full.Layout.MustSlot("adhesive.solvent_volume")
	jobML, restML = solvent.JobCapML, solvent.JobCapML
	for _, c := range o.q.Caps("solvent.dose") {
		if slices.Contains(o.q.Book.Arena.Reads(c.Rule.Holds), volume) {
			restML = min(restML, c.Value)
		} else {
			jobML = min(jobML, c.Value)
		}
	}
	return jobML, restML
}

// solventLeft is how much a job may still use, in mL, after usedML. It is whole
// hundredths: no drop is measured finer.
func (o *outcome) solventLeft(usedML float64) float64 {
	job, rest := o.solventCaps()
	return math.Floor(max(0, min(job-usedML, rest))*100+1e-6) / 100
}

// aDropML is one drop: twenty make about a millilitre.
const aDropML = 0.05

// mostForRoom is the largest dose up to wanted, in mL, that the setting permits,
// to a hundredth.
func (o *outcome) mostForRoom(name string, wanted float64) float64 {
	permitted := func(mL float64) bool {
		ok, _, err := solvent.Permits(o.solventSetting(mL), name)
		return err == nil && ok
	}
	if wanted <= leastDoseML || permitted(wanted) {
		return wanted
	}
	low, high := leastDoseML, wanted
	for high-low > 0.01 {
		if mid := low + (high-low)/2; permitted(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// usualCell is the face of a cell by kind of device, mm (common practice): used
// where nobody measured the cell or the adhesive.
var usualCell = map[string]struct{ length, width expression.Range }{
	"phone":       {expression.Range{Low: 50, High: 100}, expression.Range{Low: 30, High: 70}},
	"tablet":      {expression.Range{Low: 80, High: 200}, expression.Range{Low: 50, High: 150}},
	"laptop":      {expression.Range{Low: 60, High: 250}, expression.Range{Low: 30, High: 110}},
	"earbud":      {expression.Range{Low: 5, High: 15}, expression.Range{Low: 5, High: 15}},
	"earbud-case": {expression.Range{Low: 15, High: 50}, expression.Range{Low: 10, High: 35}},
	"watch":       {expression.Range{Low: 15, High: 35}, expression.Range{Low: 10, High: 35}},
	"handheld":    {expression.Range{Low: 40, High: 120}, expression.Range{Low: 30, High: 80}},
}

// bond is the glued face as far as it is known.
func (o *outcome) bond() solvent.Bond {
	length, width := expression.Range{Low: 1, High: 400}, expression.Range{Low: 1, High: 400}
	if kinds := o.wordsOfFact("device.kind"); len(kinds) == 1 {
		if usual, ok := usualCell[kinds[0]]; ok {
			length, width = usual.length, usual.width
		}
	}
	b := solvent.Bond{
		LengthMM: scale(o.measured(length, "adhesive.length", "battery.length"), 1, 400),
		WidthMM:  scale(o.measured(width, "adhesive.width", "battery.width"), 1, 400),
		GapMM:    scale(o.at("adhesive.gap"), 0.01, 2),
		Edges:    edges[worstOf(o.wordsOfFact("device.pry_access"))],
		Thick:    o.mayBe("adhesive.kind", "foam") || o.mayBe("adhesive.kind", "liquid-glue"),
	}
	return b
}

// edges is how many edges of a cell can be wetted, by the access to them
// (common practice: the side with cables does not count).
var edges = map[string]int{"open": 3, "tight": 2, "none": 1, "": 1}

func worstOf(words []string) string {
	if len(words) == 0 {
		return ""
	}
	return words[len(words)-1]
}

// measured is the first of the facts that somebody mentioned, else what is usual.
func (o *outcome) measured(usual expression.Range, names ...string) expression.Range {
	for _, n := range names {
		if !o.missing(n) {
			return o.at(n)
		}
	}
	return usual
}
