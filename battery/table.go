package battery

import (
	"fmt"
	"strings"
)

// tableRows is the number of steps of every voltage table: each 5 %, and finer
// near the ends, where the curves bend hardest.
const tableRows = 29

// Table is the resting voltage of one new cell against its charge, at 25 degC.
// It rises strictly, so that it can be read both ways.
type Table struct {
	Name          string
	Chemistry     Chemistry // of the cell it was taken from
	LimitV        Interval  // charge limit of such cells, V per cell
	How           string    // measured, model, assumed
	Indicative    bool      // rests on an assumption or on one laboratory cell
	PublishedMean float64   // V, mean over 0 to 100 % as given with the data
	Source, Note  string

	soc, volts [tableRows]float64
}

// Tables returns a copy of all voltage tables. Each names its source; the
// values are facts taken over on a grid of our own.
func Tables() []Table { return append([]Table(nil), shipped.tables...) }

// TableNamed returns the table of that name.
func TableNamed(name string) (Table, error) {
	names := make([]string, len(shipped.tables))
	for i, t := range shipped.tables {
		if t.Name == name {
			return t, nil
		}
		names[i] = t.Name
	}
	return Table{}, fmt.Errorf("battery: no voltage table %q; there are %s", name, strings.Join(names, ", "))
}

// Voltage returns the resting voltage in V per cell at a charge in % (0 to
// 100), straight between the rows.
func (t *Table) Voltage(socPercent float64) (float64, error) {
	if !finite(socPercent) || socPercent < 0 || socPercent > 100 {
		return 0, fmt.Errorf("battery: a charge of %v %% is not possible; give 0 to 100 %%", socPercent)
	}
	return straight(&t.soc, &t.volts, socPercent), nil
}

// Charge returns the charge in % at a resting voltage in V per cell. Below the
// table it is 0 and above it 100. The voltage must be finite.
func (t *Table) Charge(voltsPerCell float64) (float64, error) {
	if !finite(voltsPerCell) {
		return 0, fmt.Errorf("battery: a voltage of %v is not possible; give a finite number of volts per cell", voltsPerCell)
	}
	return t.charge(voltsPerCell), nil
}

// charge is Charge for a voltage known to be finite.
func (t *Table) charge(v float64) float64 { return straight(&t.volts, &t.soc, v) }

// straight interpolates between rows and holds the end values outside.
func straight(x, y *[tableRows]float64, at float64) float64 {
	if at <= x[0] {
		return y[0]
	}
	if at >= x[tableRows-1] {
		return y[tableRows-1]
	}
	below, above := 0, tableRows-1
	for above-below > 1 {
		middle := int(uint(below+above) / 2)
		if x[middle] <= at {
			below = middle
		} else {
			above = middle
		}
	}
	return y[below] + (at-x[below])*(y[above]-y[below])/(x[above]-x[below])
}

// meanBetween returns the mean voltage from charge a to charge b, both in %
// and a < b: the area under the straight pieces over their length.
func (t *Table) meanBetween(a, b float64) float64 {
	area, x, y := 0.0, a, straight(&t.soc, &t.volts, a)
	step := func(toX, toY float64) {
		area += (toX - x) * (toY + y) / 2
		x, y = toX, toY
	}
	for i, s := range t.soc {
		if s > a && s < b {
			step(s, t.volts[i])
		}
	}
	step(b, straight(&t.soc, &t.volts, b))
	return area / (b - a)
}
