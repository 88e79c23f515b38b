package main

import (
	"loosecell/battery"
	"loosecell/hazards"
)

func energyModel() model {
	return model{
		name: "energy", short: "Rated and stored energy, cell or battery, lithium, size and mass",
		long: "Rated energy from a mark, from volts and ampere-hours, from size or from mass;\nwhat is stored at a charge; whether it counts as a cell or a battery for carriage.",
		example: `  loosecell reckon energy --volts '3.85 V' --ah '4.5 Ah' --charge '30 %'
  loosecell reckon energy --ah '2.6 Ah' --chemistry nmc --series 3
  loosecell reckon energy --length '60 mm' --width '37 mm' --thickness '5 mm' --form pouch
  loosecell reckon energy --volts '3.7 V' --ah '1.35 Ah' --mass '25 g'`,
		flags: []quantity{
			{name: "wh", unit: "Wh", usage: "rated energy as marked"},
			{name: "volts", unit: "V", usage: "nominal voltage of the whole battery"},
			{name: "ah", unit: "Ah", usage: "rated capacity"},
			{name: "charge", unit: "%", usage: "charge now"},
			{name: "series", usage: "cells in series"},
			{name: "parallel", usage: "cells in parallel"},
			{name: "mass", unit: "g", usage: "mass of the battery"},
			{name: "length", unit: "mm", usage: "length of the cells"},
			{name: "width", unit: "mm", usage: "width"},
			{name: "thickness", unit: "mm", usage: "thickness now"},
			{name: "nominal-thickness", unit: "mm", usage: "thickness when new"},
			{name: "chemistry", word: true, usage: "lfp, lto, na-ion, lmo, nmc, nca, lco, li-metal, several by commas, or li-ion"},
			{name: "form", word: true, usage: "cylindrical, prismatic, pouch or coin"},
			{name: "lithium", unit: "g", usage: "lithium content of a lithium-metal battery"},
		},
		sums: []sum{
			{"rated energy", [][]string{{"wh"}, {"volts", "ah"}, {"ah"}, {"length", "width", "thickness"}, {"mass"}},
				[]string{"volts", "series", "chemistry", "form", "charge"}, reckonRated},
			{"cell or battery", [][]string{{"series"}}, []string{"parallel"}, reckonUnit},
			{"density of the cell", [][]string{{"mass", "length", "width", "thickness"}}, nil, reckonDensity},
			{"growth of thickness", [][]string{{"thickness", "nominal-thickness"}}, nil, reckonGrowth},
			{"lithium content", [][]string{{"lithium"}}, []string{"chemistry"}, reckonLithium},
			{"equivalent lithium content", [][]string{{"ah", "series"}}, []string{"parallel"}, reckonEquivalent},
		},
	}
}

// given as a battery model takes it.
func (g *given) maybe(flag string) battery.Maybe {
	if !g.has(flag) {
		return battery.Maybe{}
	}
	e := g.n(flag)
	return battery.Given(battery.Interval{Low: e.Low, High: e.High})
}

func spread(iv battery.Interval) hazards.Estimate {
	return hazards.Estimate{Low: iv.Low, Middle: iv.Low + (iv.High-iv.Low)/2, High: iv.High}
}

// chemistries are those stated; none stated is unknown.
func (g *given) chemistries() battery.ChemistrySet {
	var set battery.ChemistrySet
	for _, w := range g.list("chemistry") {
		switch w {
		case "li-ion", "lipo", "polymer":
			set |= battery.LithiumIon
			continue
		}
		c, err := battery.ParseChemistry(w)
		if g.fail(err) {
			return 0
		}
		set |= battery.Chemistries(c)
	}
	return set
}

func (g *given) forms() battery.FormSet {
	var set battery.FormSet
	for _, w := range g.list("form") {
		known := false
		for f := battery.Cylindrical; f <= battery.Coin; f++ {
			if f.String() == w {
				set, known = set|battery.Forms(f), true
			}
		}
		if !known {
			g.oneOf("form", w, "cylindrical", "prismatic", "pouch", "coin")
		}
	}
	return set
}

func (g *given) ratedEnergy() (battery.Energy, error) {
	return battery.RatedEnergy(battery.EnergyFacts{
		MarkedWh: g.maybe("wh"), CapacityAh: g.maybe("ah"), NominalVolts: g.maybe("volts"), Series: g.maybe("series"),
		Chemistries: g.chemistries(), Forms: g.forms(), LengthMM: g.maybe("length"), WidthMM: g.maybe("width"),
		ThicknessMM: g.maybe("thickness"), MassG: g.maybe("mass"),
	})
}

func reckonRated(g *given) {
	e, err := g.ratedEnergy()
	if g.fail(err) || g.err != nil {
		return
	}
	wh := spread(e.Wh)
	manual := "UN Manual of Tests and Criteria, 38.3.2.3"
	g.put("rated_energy", "Wh", "energy = nominal volts x ampere-hours, or "+e.Basis.String(), manual)(wh, nil)
	g.put("rated_energy_kj", "kJ", "1 Wh = 3.6 kJ", "definition")(wh.Scale(3.6))
	if g.has("charge") {
		c := g.n("charge")
		if c.Low < 0 || c.High > 100 {
			g.oneOf("charge", g.word("charge"), "0 % to 100 %")
			return
		}
		stored := hazards.Estimate{Low: wh.Low * c.Low / 100, Middle: wh.Middle * c.Middle / 100, High: wh.High * c.High / 100}
		g.put("stored_energy", "Wh", "rated energy x charge", "arithmetic")(stored, nil)
		g.put("stored_energy_kj", "kJ", "1 Wh = 3.6 kJ", "definition")(stored.Scale(3.6))
	}
	if g.has("mass") && e.Basis != battery.FromMass {
		g.put("energy_by_mass", "Wh/kg", "energy / mass", "arithmetic")(over(func(x ...float64) (float64, error) {
			return positiveRatio("mass", x[0]*1000, x[1])
		}, wh, g.n("mass")))
	}
	if g.has("length", "width", "thickness") && e.Basis != battery.FromSize {
		g.put("energy_by_size", "Wh/L", "energy / (length x width x thickness)", "arithmetic")(over(func(x ...float64) (float64, error) {
			return positiveRatio("volume", x[0]*1e6, x[1]*x[2]*x[3])
		}, wh, g.n("length"), g.n("width"), g.n("thickness")))
	}
	if g.has("series") {
		iv, err := battery.EnergyPerCell(e.Wh, g.maybe("series"), g.maybe("parallel"))
		g.put("energy_per_cell", "Wh", "energy / (series x parallel)", "arithmetic")(spread(iv), err)
	}
}

func reckonUnit(g *given) {
	set, err := battery.TransportUnit(g.maybe("series"), g.maybe("parallel"))
	if g.fail(err) {
		return
	}
	text := ""
	for _, u := range []battery.Unit{battery.UnitCell, battery.UnitBattery} {
		if set.Has(u) {
			if text != "" {
				text += " or "
			}
			text += u.String()
		}
	}
	g.say("unit", text, "a battery of a single cell counts as a cell", "UN Manual of Tests and Criteria, 38.3.2.3; 49 CFR 173.185(a)(1)")
}

func reckonDensity(g *given) {
	g.put("density", "g/cm3", "mass / (length x width x thickness)", "arithmetic")(over(func(x ...float64) (float64, error) {
		return positiveRatio("volume", x[0]*1000, x[1]*x[2]*x[3])
	}, g.n("mass"), g.n("length"), g.n("width"), g.n("thickness")))
}

func reckonGrowth(g *given) {
	iv, err := battery.ThicknessGrowth(g.maybe("thickness").Interval, g.maybe("nominal-thickness").Interval)
	g.put("growth", "%", "(now - new) / new", "arithmetic")(spread(iv), err)
	if g.err == nil {
		least, most := battery.GrowthBands(iv)
		text := least.String()
		if most != least {
			text += " to " + most.String()
		}
		g.say("band", text, "up to 5 % sound, to 10 % worn, above swollen", "common practice")
	}
}

func reckonLithium(g *given) {
	iv, err := battery.LithiumContentG(g.chemistries(), g.maybe("lithium"))
	g.put("lithium_content", "g", "as stated for lithium metal; none in a rechargeable cell", "carriage rules count watt-hours instead")(spread(iv), err)
}

func reckonEquivalent(g *given) {
	cells := g.n("series")
	if g.has("parallel") {
		cells.Low, cells.Middle, cells.High = cells.Low*g.n("parallel").Low, cells.Middle*g.n("parallel").Middle, cells.High*g.n("parallel").High
	}
	if cells.Low != cells.High {
		return
	}
	parallel := 1.0
	if g.has("parallel") {
		parallel = g.n("parallel").Middle
	}
	ah := g.maybe("ah").Interval.Scale(1 / parallel)
	iv, err := battery.EquivalentLithiumG(ah, cells.Middle)
	g.put("equivalent_lithium", "g", "0.3 g x Ah of one cell x cells", "the way of counting before 2009; for information")(spread(iv), err)
}
