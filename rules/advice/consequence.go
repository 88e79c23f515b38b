package advice

import (
	"fmt"
	"math"

	"loosecell/battery"
	"loosecell/hazards"
	"loosecell/hazards/runaway"
	"loosecell/rules"
)

// mostFailureWh is beyond every battery at a bench: above it the energy is as
// good as not known, and nothing is reckoned from it.
const mostFailureWh = 2000

// closedRoom is the air change that even a shut room has, 1/h (common practice):
// with none at all no gas would ever clear.
const closedRoom = 0.1

// consequence is what happens in this room if the cell fails here; nil where the
// energy is not known.
func (w *writer) consequence() *Consequence {
	energy := w.at("derived.rated_energy")
	if energy.High > mostFailureWh || energy.High <= 0 {
		return nil
	}
	box := w.failureRoom()
	c, err := runaway.Reckon(runaway.Failure{
		RatedWh: scale(energy, 0.001, mostFailureWh), ChargePct: estimate(w.charge, 0, 100),
		Chemistries: battery.ChemistrySet(w.at("battery.chemistry").Words), Room: &box,
	})
	if err != nil || c.Air == nil {
		return nil
	}
	limit, err := runaway.DangerLimit(runaway.GasHydrogenFluoride)
	if err != nil {
		return nil
	}
	lfl, err := runaway.YieldOf(runaway.FlammableLimit, battery.ChemistrySet(w.at("battery.chemistry").Words), estimate(w.charge, 0, 100))
	if err != nil {
		return nil
	}
	released := hazards.Estimate{Low: c.Heat.NoFlameKJ.Low, Middle: c.Heat.NoFlameKJ.Middle, High: c.Heat.WithFlameKJ.High}
	released.Middle = hold(c.Heat.WithFlameKJ.Middle, released.Low, released.High)
	mg := hazards.Estimate{Low: c.Gas.HydrogenFluorideG.Low * 1000, Middle: c.Gas.HydrogenFluorideG.Middle * 1000, High: c.Gas.HydrogenFluorideG.High * 1000}
	out := &Consequence{
		StoredKJ: band(c.Heat.StoredKJ), ReleasedKJ: band(released), GasL: band(c.Gas.VentL), GasLFLPct: band(lfl), HFMg: band(mg),
		HFPPM: band(c.Air.HydrogenFluoride.PeakPPM), HFLimitPPM: limit.PPM, PurgeMin: band(c.Air.ReentryMinutes),
		PainM: band(c.PeopleM), IgnitionM: band(c.LitterM),
		Source: "fire tests of Larsson et al. 2014 and 2017; box model of CDC 1994, air mixed 1 to 10 times worse than well; point source of heat, EPA 550-B-99-009",
	}
	for _, b := range c.Beds {
		switch b.Medium.Name {
		case "sand":
			out.SandKg = band(b.Kg)
		case "water-cool":
			out.WaterL = band(b.Litres)
		}
	}
	if w.verdict != "evacuate" {
		out.Text = w.consequenceText(c, out)
	}
	return out
}

// consequenceText says it plainly: two or three lines for an ordinary cell, what
// to bed and cool it with as soon as damage is not ruled out.
func (w *writer) consequenceText(c runaway.Consequence, out *Consequence) []Line {
	lines := []Line{
		{Text: smokeText(out), Source: "Larsson et al., toxic fluoride gas emissions from lithium-ion battery fires, Scientific Reports 7:10018, doi 10.1038/s41598-017-09784-z; limit of NIOSH, 1994"},
		{Text: reentryText(c.Air.ReentryMinutes), Source: "CDC guidelines of 1994, table S3-1; lowest short-term limits of each gas; common practice"},
		{Text: fmt.Sprintf("Keep paper, card and wood %s m clear of it and bystanders %s m: burning parts fly.",
			number(ceilTo(c.KeepLitterM, 0.5)), number(ceilTo(c.KeepPeopleM, 0.5))), Source: "point source of heat, EPA 550-B-99-009; common practice"},
	}
	if w.graded.Condition < rules.Unproven {
		return lines
	}
	lines = append(lines, Line{
		Text: fmt.Sprintf("Ready beside it: %s kg of dry sand to hold it, %s L of water to cool it. Sand does not cool it and gas comes through it.",
			number(math.Ceil(out.SandKg.High)), number(math.Ceil(out.WaterL.High))),
		Source: "heat balance for the heat set free without flame",
	})
	if out.GasL.High > 10 {
		lines = append(lines, Line{
			Text:   fmt.Sprintf("Its gas, %s to %s L, burns: no drawer, no closed box, no airtight lid.", number(out.GasL.Low), number(out.GasL.High)),
			Source: "vent gas as measured; Le Chatelier's rule",
		})
	}
	return lines
}

func smokeText(c *Consequence) string {
	switch {
	case c.HFPPM.Low > c.HFLimitPPM:
		return fmt.Sprintf("Smoke means leave, at once: in this room it would pass the danger limit of hydrogen fluoride (%s to %s ppm, limit %s).",
			ppmText(c.HFPPM.Low), ppmText(c.HFPPM.High), number(c.HFLimitPPM))
	case c.HFPPM.High > c.HFLimitPPM:
		return fmt.Sprintf("Smoke means leave, at once: in this room it could pass the danger limit of hydrogen fluoride (up to %s ppm, limit %s).",
			ppmText(c.HFPPM.High), number(c.HFLimitPPM))
	}
	return fmt.Sprintf("Smoke means leave, at once: near the cell it is poison, though the whole room stays under the danger limit of hydrogen fluoride (up to %s ppm, limit %s).",
		ppmText(c.HFPPM.High), number(c.HFLimitPPM))
}

// ppmText keeps a huge figure readable.
func ppmText(x float64) string {
	if x >= 1000 {
		return "over 1000"
	}
	if x >= 10 {
		return whole(x)
	}
	return number(x)
}

// reentryText tells when anyone goes back, by what a person can do about it.
func reentryText(minutes hazards.Estimate) string {
	const never, aloneH = 12 * 60.0, 120.0
	switch {
	case minutes.Low > never:
		return "After smoke nobody goes back in today: the air of this room takes longer than that to clear. Let the fire service measure first."
	case minutes.High > never:
		return fmt.Sprintf("After smoke stay out. Aired well it clears in about %s, shut or badly aired not today: let the fire service measure before anyone goes back.",
			minutesText(minutes.Low))
	case minutes.High > aloneH:
		return fmt.Sprintf("After smoke air it from outside and stay out %s; then only when the fire service agrees.", minutesText(minutes.High))
	}
	return fmt.Sprintf("After smoke air it from outside and stay out at least %s; then back in only with no smell, and when the fire service agrees.", minutesText(minutes.High))
}

// consequenceFigures are the numbers of a failure, given where damage is not
// ruled out; on an ordinary cell they would only drown the others.
func (w *writer) consequenceFigures(c *Consequence) []Figure {
	if c == nil || w.graded.Condition < rules.Unproven {
		return nil
	}
	figure := func(name string, b Band, unit, basis, source string) Figure {
		middle := b.Middle
		return Figure{Name: name, Low: b.Low, Middle: &middle, High: b.High, Unit: unit, Basis: basis, Source: source}
	}
	return []Figure{
		figure("heat set free if it fails", c.ReleasedKJ, "kJ", "rated energy, without and with flame", "Larsson et al., J. Power Sources 271 (2014) 414"),
		figure("hydrogen fluoride if it fails", c.HFMg, "mg", "12 to 200 mg a watt-hour, whatever the charge", "Larsson et al., Sci. Rep. 7 (2017) 10018"),
		figure("vent gas if it fails", c.GasL, "L", "litres a watt-hour by chemistry and charge", "vent gas as measured"),
	}
}
