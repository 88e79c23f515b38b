package advice

import (
	"fmt"
	"strings"

	"loosecell/hazards"
	"loosecell/hazards/solvent"
	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/source"
)

// solventFigures puts the plan into the answer: choice, dose, soak, vapour,
// drying and why every other bottle at the bench was passed over.
func (w *writer) solventFigures(out *Solvent) {
	if w.pick == "already-out" || w.pick == "leave-in-and-refer" {
		return
	}
	p := w.planSolvent()
	if p == nil {
		return
	}
	out.Choice = p.choice.Name
	dose, soak := band(p.dose), band(p.soak)
	left := three(p.leftML)
	out.DoseML, out.SoakMin, out.DoseLeftML = &dose, &soak, &left
	if !w.mayNeed("solvent") {
		return
	}
	out.Vapour = w.vapour(p)
	out.Drying = w.drying(p)
	w.ruledOutAtBench(out, p.choice)
	if w.pick != "solvent" {
		return
	}
	for _, c := range p.choice.Cautions {
		out.Notes = append(out.Notes, Line{Text: sentenceOf(c.Text), Source: named(c.Source)})
	}
}

// ruledOutAtBench lists the bottles at hand that are not to be used here.
func (w *writer) ruledOutAtBench(out *Solvent, choice solvent.Choice) {
	stated, atHand := w.members("bench.solvents")
	if len(stated) == 0 {
		return // nobody named a bottle
	}
	for _, other := range choice.Others {
		if other.Standing == solvent.NotAtBench || !contains(atHand, other.Name) {
			continue
		}
		var why []string
		for _, r := range other.Reasons {
			why = append(why, r.Text)
		}
		out.RuledOut = append(out.RuledOut, RuledOut{Solvent: other.Name, Why: sentenceOf(strings.Join(why, "; "))})
	}
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// physicalBar is why the models take a permission back that the rulebook gives.
func (o *outcome) physicalBar(p rules.Permission) []string {
	if p == "solvent" || p == "rung.solvent" {
		return o.solventBar
	}
	return nil
}

// solventWords are the placeholders about the liquid; without a plan they are
// what common practice says.
type solventWords struct{ name, dose, left, edge, soak string }

func (o *outcome) solventWords() solventWords {
	p := o.planSolvent()
	if p == nil {
		left := o.solventLeft(estimate(o.at("adhesive.solvent_volume"), 0, 100).High)
		return solventWords{"solvent", number(left), number(left), "0.3 to 0.5", "2 to 5"}
	}
	span := func(e hazards.Estimate) string { return span(expression.Range{Low: e.Low, High: e.High}) }
	return solventWords{lowerFirst(p.choice.Title), number(p.dose.High), number(p.leftML), span(p.edge), span(p.soak)}
}

// vapour holds the dose against the breathing limits and a quarter of the lower
// flammable limit.
func (w *writer) vapour(p *solventPlan) *Vapour {
	e, err := p.liquid.Exposure(w.box(), p.dose, w.airC(-10, 60))
	if err != nil {
		return nil
	}
	over := "no"
	switch limit := p.liquid.Limits.ShortTermPpm; {
	case e.RoomPpm.High > limit:
		over = "yes"
	case e.NearWorkPpm.High > limit:
		over = "near the work"
	}
	return &Vapour{
		RoomPPM: band(e.RoomPpm), NearPPM: band(e.NearWorkPpm), LimitPPM: p.liquid.Limits.ShortTermPpm,
		LimitName:     "short-term exposure limit, 15 minutes",
		QuarterLFLPct: three(e.LFLSharePercent.High / quarter), OverLimit: over,
		Source: "box model of a room, CDC guidelines of 1994, table S3-1; limit: " + named(p.liquid.Limits.ShortTermOrigin.Source),
	}
}

// quarter of the lower flammable limit is the line that vapour stays under
// (NFPA 30, as quoted by OSHA in 1991).
const quarter = 0.25

// benchAir is the air over a bench without a fan, m/s (common practice).
var benchAir = hazards.Estimate{Low: 0.1, Middle: 0.2, High: 0.5}

// drying says when the seat is dry, and how long it would stay wet under a cell
// that is not lifted.
func (w *writer) drying(p *solventPlan) *Drying {
	b := p.bond
	// A dose spreads over 20 to 40 cm2 a millilitre (assumption, as for its vapour).
	wet := hazards.Estimate{Low: 20 * p.dose.High, Middle: 30 * p.dose.High, High: 40 * p.dose.High}
	// Liquid under the cell leaves by the nearer edges: half the shorter side to all of it.
	short := func(a, b float64) float64 { return min(a, b) }
	depth := hazards.Estimate{Low: short(b.LengthMM.Low, b.WidthMM.Low) / 2,
		Middle: short(b.LengthMM.Middle, b.WidthMM.Middle) / 2, High: min(200, short(b.LengthMM.High, b.WidthMM.High))}
	d, err := p.liquid.DryBeforePower(exactly(p.dose.High), wet, depth, benchAir, w.airC(10, 60))
	if err != nil {
		return nil
	}
	return &Drying{
		OpenMin: band(d.FilmMinutes), TrappedDays: band(d.TrappedDays),
		Text: fmt.Sprintf("Cell out, seat wiped: air it %s before power or closing. Left under a closed cell the liquid stays for %s: never count on drying in place.",
			minutesText(d.PowerMinutes), daysText(d.TrappedDays)),
		Source: "evaporation of EPA 550-B-99-009, appendix D, within a factor of 3; Stefan tube for what is trapped",
	}
}

// minutesText says a length of time as people do, rounded up.
func minutesText(minutes float64) string {
	switch {
	case minutes <= 5:
		return "5 minutes"
	case minutes <= 90:
		return number(ceilTo(minutes, 5)) + " minutes"
	case minutes <= 36*60:
		return number(ceilTo(minutes/60, 1)) + " hours"
	}
	return number(ceilTo(minutes/60/24, 1)) + " days"
}

func ceilTo(x, step float64) float64 {
	n := float64(int64(x / step))
	if n*step < x {
		n++
	}
	return n * step
}

func daysText(d hazards.Estimate) string {
	if d.High < 1 {
		return "hours, up to " + number(ceilTo(d.High*24, 1))
	}
	return "days, up to " + number(ceilTo(d.High, 1))
}

// named turns the keys of documents into their titles.
func named(keys string) string {
	var out []string
	for _, key := range strings.Fields(keys) {
		if c, err := source.Shipped().Resolve(key); err == nil {
			out = append(out, c.String())
			continue
		}
		out = append(out, key)
	}
	return strings.Join(out, "; ")
}
