package battery

import "fmt"

// A label gives two voltages, the nominal one and the charge limit, and
// together they tell kinds of cell apart better than a name does: 3.85 V is a
// 4.40 V cobalt cell, 3.6 V is a 4.20 V cell of any layered oxide, 3.2 V is
// iron phosphate.

// class is a kind of cell as its label shows it, by rising voltage. At the same
// resting voltage a higher class holds less charge.
type class uint8

const (
	titanate     class       = iota // 2.3 to 2.4 V, charged to 2.7 or 2.8 V
	phosphate                       // 3.2 to 3.3 V, charged to 3.65 V
	limit4V20                       // 3.6 to 3.75 V
	limit4V35                       // 3.80 to 3.82 V
	limit4V40                       // 3.83 to 3.85 V
	limit4V45                       // 3.86 V and more
	limit4V48                       // charged further than any measured table
	classCount                      // number of classes by limit
	nominalCount = limit4V48        // the nominal voltage cannot tell the last two apart
)

// The borders lie between the values that labels print.
var (
	nominalEdges = [nominalCount - 1]float64{2.8, 3.5, 3.785, 3.825, 3.855}
	limitEdges   = [classCount - 1]float64{3.1, 3.85, 4.275, 4.375, 4.425, 4.465}
	// classLimits are the charge limits in V per cell.
	classLimits = [classCount]float64{2.70, 3.60, 4.20, 4.35, 4.40, 4.45, 4.48}
	// classCeilings are the highest on sale; a nominal voltage of 3.86 V and
	// more does not tell 4.45 V from 4.50 V.
	classCeilings = [classCount]float64{2.80, 3.70, 4.20, 4.35, 4.40, 4.50, 4.50}
)

func classBy(edges []float64, volts float64) class {
	k := class(0)
	for int(k) < len(edges) && volts >= edges[k] {
		k++
	}
	return k
}

// label is the part of the plane of label voltages that is possible.
type label struct {
	nominalFrom, nominalTo class
	limitFrom, limitTo     class
}

// labelOf places whole-battery voltages, divided by the cells in series, on
// that plane. Not given is the whole axis.
func labelOf(nominalV, limitV Maybe, series Interval) label {
	l := label{0, nominalCount - 1, 0, classCount - 1}
	if nominalV.Given {
		l.nominalFrom = classBy(nominalEdges[:], snap(nominalV.Low/series.High))
		l.nominalTo = classBy(nominalEdges[:], snap(nominalV.High/series.Low))
	}
	if limitV.Given {
		l.limitFrom = classBy(limitEdges[:], snap(limitV.Low/series.High))
		l.limitTo = classBy(limitEdges[:], snap(limitV.High/series.Low))
	}
	return l
}

// classOf is the lowest class a chemistry is sold in.
func classOf(c Chemistry) class {
	switch c {
	case LTO:
		return titanate
	case LFP, SodiumIon, LithiumMetal:
		return phosphate
	}
	return limit4V20
}

// joint is the class where name, nominal voltage and limit point to different
// ones: the highest. It is the only choice with which each of them alone still
// tells cells apart (a "li-ion" of 3.85 V is no iron phosphate cell) while
// leaving one out never narrows an answer. LabelFits tells when it hides
// a contradiction.
func joint(c Chemistry, nominal, limit class) class { return max(classOf(c), nominal, limit) }

// LabelFits reports whether what is stated of a cell can be so: some possible
// chemistry is sold with such voltages on its label (no iron phosphate cell is
// charged to 4.45 V), and the two go together (3.85 V does not go with 4.20 V; a
// limit one class above the nominal voltage is ordinary). Whole battery volts and
// cells in series; what is not given fits.
func LabelFits(cs ChemistrySet, nominalV, limitV Maybe, series Interval) (bool, error) {
	if err := checkLabel(nominalV, limitV, series); err != nil {
		return false, err
	}
	l := labelOf(nominalV, limitV, series)
	if limitV.Given && nominalV.Given && (l.limitTo < l.nominalFrom || l.limitFrom > l.nominalTo+1) {
		return false, nil
	}
	for c := range chemistryCount {
		if cs.orAll().Has(c) && meets(nominalV, series, c.printed(nominalOf, nominalSpread, nominalSpread)) &&
			meets(limitV, series, c.printed(limitOf, keptBelow, chargedOver)) {
			return true, nil
		}
	}
	return false, nil
}

// SeriesByLabel returns the span of the counts of cells in series, among those
// that are possible, with which a label fits; ok is false if none does. Whole
// battery volts; among from 1.
func SeriesByLabel(cs ChemistrySet, nominalV, limitV Maybe, among Interval) (span Interval, ok bool, err error) {
	for n := among.Low; n <= among.High; n++ {
		fits, err := LabelFits(cs, nominalV, limitV, Exact(n))
		switch {
		case err != nil:
			return Interval{}, false, err
		case !fits:
		case ok:
			span.High = n
		default:
			span, ok = Exact(n), true
		}
	}
	return span, ok, nil
}

func meets(volts Maybe, series, may Interval) bool {
	if !volts.Given {
		return true
	}
	cell := volts.dividedBy(series).snapped()
	return cell.Low <= may.High && cell.High >= may.Low
}

// Labels print a nominal voltage a little beside the sheets read, and a limit up
// to half a volt lower where a maker wants the cell to live long (4.1 V for
// 4.2 V), all in V per cell (common practice).
const (
	nominalSpread = 0.2
	keptBelow     = 0.4
	chargedOver   = 0.1
)

func nominalOf(l *Limits) Interval { return l.Nominal }
func limitOf(l *Limits) Interval   { return l.ChargeLimit }

// printed returns the voltages, in V per cell, that a label may print for a
// chemistry. The layered oxides share theirs, as their names are mixed up.
func (c Chemistry) printed(of func(*Limits) Interval, below, over float64) Interval {
	own := Chemistries(c)
	if LayeredOxide.Has(c) {
		own = LayeredOxide
	}
	out := Interval{highestLimit, 0}
	for i := range shipped.limits {
		if l := &shipped.limits[i]; own.Has(l.Chemistry) {
			out = out.Hull(of(l))
		}
	}
	return Interval{out.Low - below, out.High + over}
}

// checkLabel refuses label voltages and counts that are not possible.
func checkLabel(nominalV, limitV Maybe, series Interval) error {
	if err := nominalV.check("nominal voltage", "V", smallestVolts, mostVolts); err != nil {
		return err
	}
	if err := limitV.check("charge limit", "V", smallestVolts, mostVolts); err != nil {
		return err
	}
	return checkSeries(series)
}

func checkSeries(series Interval) error {
	if err := Given(series).check("number of cells in series", "", 1, MostSeriesCells); err != nil {
		return err
	}
	if series.Low != float64(int(series.Low)) || series.High != float64(int(series.High)) {
		return fmt.Errorf("battery: number of cells in series is %s; give whole numbers", series)
	}
	return nil
}
