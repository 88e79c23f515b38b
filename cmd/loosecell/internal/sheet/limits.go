package sheet

import (
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// limits prints charge, heat and solvent, each as an answer and its numbers.
func limits(p *page.Page, n *notes, a *advice.Advice) {
	p.Rows("LIMITS", limitRows(a, n))
	notesOf := append(append(append([]advice.Line{}, a.Discharge.Notes...), a.Heat.Notes...), a.Solvent.Notes...)
	for _, text := range citeAll(n, notesOf) {
		p.Item(page.Plain, "-", 2, text)
	}
	quickWays(p, n, a.Discharge)
	resistor(p, n, a.Discharge.Resistor)
}

// limitRows are charge, heat and solvent in a line each. A cell that is out has
// nothing left to loosen: a yes to heat or solvent there would only invite.
func limitRows(a *advice.Advice, n *notes) []page.Row {
	rows := []page.Row{{"Charge", charge(a.Discharge, n)}}
	if isOut(a) {
		return rows
	}
	return append(rows, page.Row{"Heat", heat(a.Heat, n)}, page.Row{"Solvent", solvent(a.Solvent, n)})
}

// isOut tells that the cell was removed before this sheet.
func isOut(a *advice.Advice) bool { return a.Removal.Pick == "already-out" }

var actionWords = map[string]string{
	"forbidden":     "do not discharge it",
	"none":          "no discharge needed",
	"measure-first": "measure first, then decide",
	"in-device":     "discharge it in the device",
	"resistor":      "discharge it through a resistor",
}

func charge(d advice.Discharge, n *notes) string {
	text := actionWords[d.Action]
	if text == "" {
		text = plain(d.Action)
	}
	if d.Action == "measure-first" && d.Due == "yes" {
		text = "it has to come down, but how is not settled yet"
	}
	if c := d.ChargePct; c != nil {
		text = "now " + wholePercent(*c) + "; " + text
	}
	if d.TargetSoCPct > 0 && d.Action != "forbidden" {
		text += ", target " + number(d.TargetSoCPct) + unitOf("%") + " or less"
	}
	if d.TimeH != nil && d.Due != "no" {
		text += ", " + hours(*d.TimeH)
	}
	return n.withReasons(capital(text), d.Why)
}

func heat(h advice.Heat, n *notes) string {
	text := heatCaps(h, n)
	if w := h.Window; w != nil {
		text += " " + window(*w) + n.mark(w.Source)
	}
	return text
}

// heatCaps is the permission with its limits, without what warming would do.
func heatCaps(h advice.Heat, n *notes) string {
	text := may(h.May)
	if h.May != "no" {
		var caps []string
		if h.SurfaceLimitC != nil {
			caps = append(caps, "surface at most "+number(*h.SurfaceLimitC)+unitOf("degC"))
		}
		if h.CellLimitC != nil {
			caps = append(caps, "cell at most "+number(*h.CellLimitC)+unitOf("degC"))
		}
		if h.TimeLimitMin != nil {
			caps = append(caps, "at most "+minutes(*h.TimeLimitMin))
		}
		if len(caps) > 0 {
			text += ": " + strings.Join(caps, ", ")
		}
	}
	return n.withReasons(text, h.Why)
}

// window says what a computed warming would do.
func window(w advice.Window) string {
	text := "At " + between(w.SetPointC.Low, w.SetPointC.High, "degC") + " the adhesive "
	if w.AdhesiveSoftMin != nil {
		text += "is soft after " + between(w.AdhesiveSoftMin.Low, w.AdhesiveSoftMin.High, "min")
	} else {
		text += "does not soften in the time"
	}
	text += ", the cell reaches " + band(w.CellEndC, "degC")
	if w.CellLimitMin != nil {
		text += " and its limit after " + between(w.CellLimitMin.Low, w.CellLimitMin.High, "min")
	}
	text += "."
	switch w.WorthIt {
	case "no":
		text += " Not worth it."
	case "yes":
		text += " Worth it."
	}
	if w.Suggestion != "" {
		text += " " + sentence(capital(w.Suggestion))
	}
	return text
}

func solvent(s advice.Solvent, n *notes) string {
	return solventDose(s, n) + solventEffects(s, n)
}

// solventDose is the permission with liquid, dose and soak.
func solventDose(s advice.Solvent, n *notes) string {
	text := may(s.May)
	var facts []string
	if s.Choice != "" && s.May != "no" {
		facts = append(facts, page.Clean(s.Choice))
	}
	if s.DoseML != nil {
		facts = append(facts, between(s.DoseML.Low, s.DoseML.High, "mL")+" in all")
	}
	if s.DoseLeftML != nil {
		facts = append(facts, number(*s.DoseLeftML)+unitOf("mL")+" left of the most this job may use")
	}
	if s.SoakMin != nil {
		facts = append(facts, "soak "+between(s.SoakMin.Low, s.SoakMin.High, "min"))
	}
	if len(facts) > 0 {
		text += ": " + strings.Join(facts, ", ")
	}
	return n.withReasons(text, s.Why)
}

// solventEffects is what the dose does to air and device, and what is not to be
// used.
func solventEffects(s advice.Solvent, n *notes) string {
	text := ""
	if v := s.Vapour; v != nil {
		text += " Vapour: room " + band(v.RoomPPM, "ppm") + ", near the work " + band(v.NearPPM, "ppm") +
			", limit " + number(v.LimitPPM) + unitOf("ppm") + " (" + page.Clean(v.LimitName) + ")." + n.mark(v.Source)
	}
	if d := s.Drying; d != nil {
		text += " " + drying(*d) + n.mark(d.Source)
	}
	for _, r := range s.RuledOut {
		text += " Not " + page.Clean(r.Solvent) + ": " + sentence(r.Why)
	}
	return text
}

func drying(d advice.Drying) string {
	if d.Text != "" {
		return sentence(d.Text)
	}
	return "Dries in " + between(d.OpenMin.Low, d.OpenMin.High, "min") + " in the open, in " +
		between(d.TrappedDays.Low, d.TrappedDays.High, "days") + " where it is covered."
}

func quickWays(p *page.Page, n *notes, d advice.Discharge) {
	if d.Due == "no" {
		return
	}
	for _, q := range d.QuickWays {
		p.Item(page.Plain, "-", 2, capital(page.Clean(q.Way))+": "+hours(q.Hours)+n.mark(q.Source))
	}
}

func resistor(p *page.Page, n *notes, r *advice.Resistor) {
	if r != nil {
		p.Item(page.Plain, "-", 2, resistorText(r, n))
	}
}

func resistorText(r *advice.Resistor, n *notes) string {
	if r == nil {
		return ""
	}
	text := "Resistor: " + number(r.Ohms) + unitOf("ohm") + " (" + page.Clean(r.Series) + "), rated " + number(r.RatingW) +
		unitOf("W") + " or more, draws " + band(r.CurrentA, "A") + " for " + hours(r.TimeH) + " and gets to " +
		band(r.SurfaceC, "degC") + ". Stop at " + number(r.StopLoadedV) + unitOf("V") + " under load; it should rest at " +
		number(r.StopRestedV) + unitOf("V") + ". Measure again after " + sentence(r.RecheckAfter)
	return text + n.mark(r.Source)
}
