package runaway

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"loosecell/battery"
	"loosecell/hazards"
)

//go:embed yields.csv
var yieldsCSV string

// Quantity names a row of the yield table.
type Quantity string

// The quantities of the yield table, with their unit.
const (
	StoredHeat         Quantity = "stored-heat"           // kJ/Wh
	HeatNoFlame        Quantity = "heat-no-flame"         // kJ/Wh
	HeatWithFlame      Quantity = "heat-with-flame"       // kJ/Wh
	PeakHeat           Quantity = "peak-heat"             // W/Wh
	VentGas            Quantity = "vent-gas"              // L/Wh
	CarbonMonoxide     Quantity = "carbon-monoxide"       // % of the vent gas
	HydrogenFluoride   Quantity = "hydrogen-fluoride"     // mg/Wh
	PhosphorylFluoride Quantity = "phosphoryl-fluoride"   // mg/Wh
	FlammableLimit     Quantity = "lower-flammable-limit" // % of air
	RadiativeFraction  Quantity = "radiative-fraction"    // 1
)

// Yield is one row of the table: a figure for one Wh of rated energy (or a share), for a family of
// chemistries at a charge, with how it is known (read, secondary, memory, practice) and the keys of
// its documents.
type Yield struct {
	Quantity  Quantity
	Unit      string
	Family    string
	ChargePct float64
	Value     hazards.Estimate
	Known     string
	Sources   []string
}

var yieldTable = sync.OnceValues(func() ([]Yield, error) {
	return readTable("yields.csv", yieldsCSV, func(r *row) Yield {
		y := Yield{Quantity: Quantity(r.text("quantity")), Unit: r.text("unit"), Family: r.text("family"),
			ChargePct: r.number("charge_pct"), Known: r.text("known"), Sources: strings.Fields(r.text("source"))}
		value, err := hazards.New(r.number("low"), r.number("middle"), r.number("high"))
		if err != nil && r.err == nil {
			r.err = fmt.Errorf("runaway: yields.csv: %s: %w", y.Quantity, err)
		}
		y.Value = value
		return y
	})
})

// yieldRows holds the rows of each quantity and family by ascending charge, so that a reckoning
// need not search the table.
var yieldRows = sync.OnceValues(func() (map[yieldKey][]Yield, error) {
	all, err := yieldTable()
	out := map[yieldKey][]Yield{}
	for _, y := range all {
		families := []string{y.Family}
		if y.Family == "any" {
			families = []string{"layered", "lfp"}
		}
		for _, f := range families {
			out[yieldKey{y.Quantity, f}] = append(out[yieldKey{y.Quantity, f}], y)
		}
	}
	return out, err
})

type yieldKey struct {
	quantity Quantity
	family   string
}

// Yields lists the whole table in its own order, for a page of sources.
func Yields() ([]Yield, error) {
	all, err := yieldTable()
	return slices.Clone(all), err
}

// YieldOf gives a yield for the chemistries the cell may have and its charge in percent, 0 to 150
// (above 100: overcharged): the hull over the set. The empty set means unknown and counts as all.
// A chemistry without data of its own (lto, na-ion, li-metal) counts as layered oxide, the stricter
// family. Errors: ErrDomain for a charge outside the range, a quantity that is not in the table.
func YieldOf(q Quantity, chemistries battery.ChemistrySet, chargePct hazards.Estimate) (hazards.Estimate, error) {
	if err := checkCharge(chargePct); err != nil {
		return hazards.Estimate{}, err
	}
	table, err := yieldRows()
	if err != nil {
		return hazards.Estimate{}, err
	}
	hull := hazards.Estimate{Low: math.Inf(1), Middle: math.Inf(-1), High: math.Inf(-1)}
	for _, family := range families(chemistries) {
		rows := table[yieldKey{q, family}]
		if len(rows) == 0 {
			return hazards.Estimate{}, fmt.Errorf("runaway: quantity %q is not in the table of yields", q)
		}
		hull.Low = min(hull.Low, atCharge(rows, chargePct.Low).Low)
		hull.Middle = max(hull.Middle, atCharge(rows, chargePct.Middle).Middle)
		hull.High = max(hull.High, atCharge(rows, chargePct.High).High)
	}
	return hazards.New(hull.Low, hull.Middle, hull.High)
}

// families gives the rows of the table that a set of chemistries may need.
func families(chemistries battery.ChemistrySet) []string {
	switch chemistries & battery.AllChemistries {
	case 0:
		return []string{"layered", "lfp"}
	case battery.Chemistries(battery.LFP):
		return []string{"lfp"}
	}
	if chemistries.Has(battery.LFP) {
		return []string{"layered", "lfp"}
	}
	return []string{"layered"}
}

// atCharge reads rows of ascending charge: straight lines between, flat outside.
func atCharge(rows []Yield, chargePct float64) hazards.Estimate {
	for i, y := range rows {
		if chargePct > y.ChargePct {
			continue
		}
		if i == 0 {
			return y.Value
		}
		before := rows[i-1]
		w := (chargePct - before.ChargePct) / (y.ChargePct - before.ChargePct)
		mix := func(a, b float64) float64 { return a + w*(b-a) }
		return hazards.Estimate{Low: mix(before.Value.Low, y.Value.Low),
			Middle: mix(before.Value.Middle, y.Value.Middle), High: mix(before.Value.High, y.Value.High)}
	}
	return rows[len(rows)-1].Value
}
