package advice

import (
	"fmt"
	"math"
	"slices"

	"loosecell/hazards"
	"loosecell/hazards/heat"
	"loosecell/rules"
	"loosecell/rules/facts"
)

// The recipe common in the trade for softening a back cover: it is reckoned so
// that the sheet can say what it does to the cell.
const (
	commonPadC    = 70
	commonMinutes = 10
)

// heldForS is how long warm parts are held while one works on them, s: the
// longest entry of the touch table that a removal can reach.
const heldForS = 600

// assess follows one recipe; a variable so that a test can count the courses.
var assess = heat.Recipe.Assess

// gentler rungs need neither heat nor solvent: while one of them is the pick, no
// course is worked out.
var gentler = []string{"already-out", "fasteners", "lift-film", "pull-cord", "stretch-strips", "voltage-release", "leave-in-and-refer"}

// mayNeed tells that a rung may still come into play in this removal.
func (o *outcome) mayNeed(rung string) bool {
	return !slices.Contains(gentler, o.pick) && !o.tried(rung) && o.fits[rung].Possible() && o.may[rules.RungPermission(rung)].Possible()
}

// heatFigures adds what the computed course says. The permission rests on the
// set-point alone and is not touched.
func (w *writer) heatFigures(out *Heat) {
	if !w.mayNeed("warm") || out.SurfaceLimitC == nil || out.CellLimitC == nil || out.TimeLimitMin == nil {
		return
	}
	stacks := w.stacks()
	set, ok := w.setPoint(*out.SurfaceLimitC)
	if len(stacks) == 0 || !ok || *out.TimeLimitMin <= 0 {
		return
	}
	course, ok := w.courses(stacks, set, *out.TimeLimitMin, *out.CellLimitC)
	if !ok {
		return
	}
	if out.Window = course.window(*out.TimeLimitMin); out.Window == nil {
		return
	}
	hottest := course
	if !set.IsExact() || set.High < *out.SurfaceLimitC {
		// Which setting is worth it does not hang on the one that happens to be set.
		if hottest, ok = w.courses(stacks, exactly(*out.SurfaceLimitC), *out.TimeLimitMin, *out.CellLimitC); !ok {
			return
		}
	}
	out.Window.Suggestion = hottest.suggestion(*out.SurfaceLimitC, *out.TimeLimitMin)
	if w.pick == "warm" && w.mayBe("bench.heat_source", "pad") {
		out.Notes = append(out.Notes, w.commonRecipe(stacks, *out.CellLimitC)...)
	}
}

// setPoint is the pad's temperature as far as it is known, never above what the
// surface may have and never colder than room and device.
func (o *outcome) setPoint(limitC float64) (hazards.Estimate, bool) {
	r := o.at("bench.heat_setpoint")
	if r.Low > limitC {
		return hazards.Estimate{}, false
	}
	set := estimate(r, -20, limitC)
	for _, under := range []hazards.Estimate{o.airC(-20, limitC), o.startC(limitC)} {
		set = hazards.Estimate{Low: max(set.Low, under.Low), Middle: max(set.Middle, under.Middle), High: max(set.High, under.High)}
	}
	return set, true
}

// startC is the device when the heat comes on: the cell as measured, else the
// room.
func (o *outcome) startC(limitC float64) hazards.Estimate {
	air := o.airC(-20, limitC)
	switch v := o.values["battery.temperature"]; {
	case v.State == facts.Missing:
		return air
	case v.Origin == facts.Presumed:
		// Presumed is only that it is not warm: no colder than the room.
		air.High = max(air.High, estimate(o.at("battery.temperature"), -20, limitC).High)
		return air
	}
	return estimate(o.at("battery.temperature"), -20, limitC)
}

// stackOfKind tells which devices the named stacks are of.
var stackOfKind = map[string]bool{"phone": true, "tablet": true, "laptop": true, "handheld": true, "other": true}

// stacks lists what may lie between heater and cell: a stated or presumed stack,
// else every named one. Small devices without a stated stack have none.
func (o *outcome) stacks() []heat.Stack {
	v := o.values["device.stack"]
	if v.State == facts.Stated && len(v.Layers) > 0 {
		var s heat.Stack
		for _, l := range v.Layers {
			s = append(s, heat.NewLayer(l.Material, l.ThicknessMM, heat.Plain))
		}
		return marked(s)
	}
	f, ok := o.input.Catalogue().Lookup("device.stack")
	if !ok {
		return nil
	}
	if v.State != facts.Stated {
		for _, kind := range o.wordsOfFact("device.kind") {
			if !stackOfKind[kind] {
				return nil
			}
		}
	}
	var out []heat.Stack
	for i, name := range f.Words {
		if v.State == facts.Stated && !v.Has(i) {
			continue
		}
		if s, err := heat.StackNamed(name); err == nil {
			out = append(out, marked(s)...)
		}
	}
	return out
}

// marked is the stack with its cell and its adhesive marked, or none where the
// list of layers lacks one of them.
func marked(s heat.Stack) []heat.Stack {
	if m, err := s.Marked(); err == nil {
		return []heat.Stack{m}
	}
	return nil
}

// warming is what a recipe does, over every stack the device may have.
type warming struct {
	courses  []heat.Course
	surfaces []heat.Surface
	set      hazards.Estimate
}

func (o *outcome) courses(stacks []heat.Stack, set hazards.Estimate, minutes, cellLimitC float64) (warming, bool) {
	out := warming{set: set}
	for _, s := range stacks {
		r := heat.NewRecipe(s, set, o.airC(-20, set.Low), minutes, cellLimitC)
		r.StartC = o.startC(set.Low)
		c, err := assess(r)
		if err != nil {
			return out, false
		}
		out.courses, out.surfaces = append(out.courses, c), append(out.surfaces, touched(s))
	}
	return out, len(out.courses) > 0
}

// cooling is how long until the device may be held, over every stack.
func (w warming) cooling() (heat.Wait, bool) {
	var out heat.Wait
	for i, c := range w.courses {
		wait, err := c.Cooling(w.surfaces[i], heldForS)
		if err != nil {
			return out, false
		}
		if i == 0 {
			out = wait
		}
		out = longer(out, wait)
	}
	return out, true
}

// touched is the surface a finger meets on a stack's heated face.
func touched(s heat.Stack) heat.Surface {
	switch s[0].Material {
	case "aluminium", "copper", "stainless-steel":
		return heat.Metal
	case "glass", "cover-glass":
		return heat.Glass
	case "plywood":
		return heat.Wood
	}
	return heat.Plastic
}

// window puts the courses of all stacks together.
func (w warming) window(minutes float64) *Window {
	first := w.courses[0]
	end, adhesive := cellEnd(first), first.AtEnd.AdhesiveC
	soft, passes := first.Soft, first.PassesLimit
	cooling, ok := w.cooling()
	if !ok {
		return nil
	}
	worth := first.Worth
	for _, c := range w.courses[1:] {
		end, adhesive = either(end, cellEnd(c)), either(adhesive, c.AtEnd.AdhesiveC)
		soft, passes = eitherPassage(soft, c.Soft), eitherPassage(passes, c.PassesLimit)
		if worth != c.Worth {
			worth = heat.WorthOpen
		}
	}
	out := &Window{
		SetPointC: Range{three(w.set.Low), three(w.set.High)}, CellEndC: band(end), AdhesiveEndC: band(adhesive),
		AdhesiveSoftMin: within(soft, minutes), CellLimitMin: within(passes, math.Inf(1)), CoolingMin: coolingBand(cooling),
		WorthIt: string(worth),
		Source:  "one-dimensional conduction (Incropera et al., chapters 3 and 5), layers by common practice unless stated",
	}
	return out
}

// cellEnd is the cell at the end of the warming: its colder face at the low end,
// its hotter at the high end, the far face in the middle.
func cellEnd(c heat.Course) hazards.Estimate {
	near, far := c.AtEnd.CellNearC, c.AtEnd.CellFarC
	return hazards.Estimate{Low: min(near.Low, far.Low), Middle: far.Middle, High: max(near.High, far.High)}
}

// eitherPassage is what may happen on either of two stacks.
func eitherPassage(a, b heat.Passage) heat.Passage {
	if b.Earliest.Reached && (!a.Earliest.Reached || b.Earliest.Minutes < a.Earliest.Minutes) {
		a.Earliest = b.Earliest
	}
	if !b.Latest.Reached || a.Latest.Reached && b.Latest.Minutes > a.Latest.Minutes {
		a.Latest = b.Latest
	}
	return a
}

func higher(a, b heat.Level) heat.Level {
	if !a.Exists || !b.Exists {
		return heat.Level{}
	}
	return heat.Level{C: max(a.C, b.C), Exists: true}
}

// within is a passage as minutes, nil where it does not come in the time. What
// only comes after the time, or after what was followed, prints as that time.
func within(p heat.Passage, minutes float64) *Band {
	if !p.Earliest.Reached || p.Earliest.Minutes > minutes {
		return nil
	}
	end := min(minutes, heat.Outlook)
	at := func(m heat.Moment) float64 {
		if !m.Reached {
			return end
		}
		return min(m.Minutes, end)
	}
	b := band(hazards.Estimate{Low: at(p.Earliest), Middle: at(p.Middle), High: at(p.Latest)})
	return &b
}

// followedMin is how long a cooling is followed, min.
const followedMin = 120

// coolingBand has no least: nobody should touch on the strength of one.
func coolingBand(wait heat.Wait) Band {
	at := func(m heat.Moment) float64 {
		if !m.Reached {
			return followedMin
		}
		return m.Minutes
	}
	high := at(wait.Latest)
	return band(hazards.Estimate{Middle: min(at(wait.Middle), high), High: high})
}

// longer is the longer of two waits, bound for bound.
func longer(a, b heat.Wait) heat.Wait {
	later := func(a, b heat.Moment) heat.Moment {
		if !a.Reached || b.Reached && a.Minutes > b.Minutes {
			return a
		}
		return b
	}
	return heat.Wait{Middle: later(a.Middle, b.Middle), Latest: later(a.Latest, b.Latest)}
}

// suggestion says which set-point is worth it, whatever the stack turns out to be.
func (w warming) suggestion(limitC, minutes float64) string {
	from, most := w.courses[0].SoftFrom, limitC
	for _, c := range w.courses {
		from = higher(from, c.SoftFrom)
		if c.SureUnder.Exists {
			most = min(most, c.SureUnder.C)
		}
	}
	if !from.Exists || math.Ceil(from.C) > most {
		return fmt.Sprintf("no set-point up to %s °C is sure to soften it in %s min: try after each warming, three at most", number(most), number(minutes))
	}
	return fmt.Sprintf("from %s °C on it is sure to be soft in %s min; never over %s °C", number(math.Ceil(from.C)), number(minutes), number(math.Floor(most)))
}

// commonRecipe says what the recipe of the trade would do to this cell.
func (w *writer) commonRecipe(stacks []heat.Stack, cellLimitC float64) []Line {
	common, ok := w.courses(stacks, exactly(commonPadC), commonMinutes, cellLimitC)
	if !ok {
		return nil
	}
	end := cellEnd(common.courses[0])
	for _, c := range common.courses[1:] {
		end = either(end, cellEnd(c))
	}
	return []Line{{
		Text: fmt.Sprintf("Not the common %d °C for %d minutes: that brings the whole cell to about %s °C (%s to %s), over the %s °C it may have.",
			commonPadC, commonMinutes, whole(end.Middle), whole(end.Low), whole(end.High), number(cellLimitC)),
		Source: "one-dimensional conduction through this stack; the recipe is common practice",
	}}
}

// rimFigures adds to an opening what warming the rim does.
func (w *writer) rimFigures(out *Opening) {
	if out == nil || out.May == "no" || out.TimeLimitMin <= 0 || !w.mayBe("bench.heat_source", "pad") || w.certainly(w.cat, "bench.heat_source", "none") {
		return
	}
	name := "phone-rim"
	switch kinds := w.wordsOfFact("device.kind"); {
	case len(kinds) != 1:
		return
	case kinds[0] == "tablet":
		name = "tablet-rim"
	case kinds[0] != "phone":
		return
	}
	stack, err := heat.StackNamed(name)
	if err != nil {
		return
	}
	r := heat.NewRecipe(stack, exactly(out.SurfaceLimitC), w.airC(-20, out.SurfaceLimitC), out.TimeLimitMin, out.SurfaceLimitC)
	r.StartC, r.FilmWM2K = w.startC(out.SurfaceLimitC), heat.RimSink()
	rim, err := rimOf(r)
	if err != nil {
		return
	}
	text := fmt.Sprintf("Rim at %s °C for %s min: its adhesive ends at %s to %s °C", number(out.SurfaceLimitC), number(out.TimeLimitMin),
		whole(rim.AdhesiveAtEndC.Low), whole(rim.AdhesiveAtEndC.High))
	if soft := within(rim.Soft, out.TimeLimitMin); soft != nil {
		text += fmt.Sprintf(", soft after %s min at the earliest", number(math.Ceil(soft.Low*2)/2))
	}
	text += fmt.Sprintf("; the cover %d mm further in stays at %s °C or less.", rimDistanceMM, whole(rim.CoverOverCellC.High))
	out.Steps = append(out.Steps, Step{Number: len(out.Steps) + 1, Text: text,
		Source: "conduction through the rim (Incropera et al., chapters 3 and 5), layers by common practice"})
}

// rimDistanceMM is from the heated strip to the cell's edge (common practice).
const rimDistanceMM = 10

// rimOf follows the rim; a variable for the same reason as assess.
var rimOf = func(r heat.Recipe) (heat.RimCourse, error) { return r.Rim(rimDistanceMM) }

func whole(x float64) string { return number(math.Round(x)) }
