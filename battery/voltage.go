package battery

import "math"

// MostSeriesCells is the largest number of cells in series that is considered.
const MostSeriesCells = 40

// VoltsPerCell returns the resting voltage in V per cell of a battery of
// restV volts and so many cells in series. It is a mean: one cell of a string
// may lie higher.
func VoltsPerCell(restV, series Interval) (Interval, error) {
	if err := checkRest(restV); err != nil {
		return Interval{}, err
	}
	if err := checkSeries(series); err != nil {
		return Interval{}, err
	}
	return restV.dividedBy(series).snapped(), nil
}

func checkRest(v Interval) error {
	return Given(v).check("rest voltage", "V", -mostVolts, mostVolts)
}

// ChargeLimits returns the range of charge limits, in V per cell, that the
// cell's own may be. A limit on the label holds as far as it fits the class
// of the cell; with none the range goes from the lowest limit that the
// chemistry and the nominal voltage leave open up to 4.50 V.
// Voltages are of the whole battery in V.
func ChargeLimits(cs ChemistrySet, nominalV, limitV Maybe, series Interval) (Interval, error) {
	if err := checkLabel(nominalV, limitV, series); err != nil {
		return Interval{}, err
	}
	const highest = 4.50
	stated := Interval{0, highest}
	if limitV.Given {
		stated = limitV.dividedBy(series).snapped().Clamp(0, highest)
	}
	l := labelOf(nominalV, Maybe{}, series)
	cs = cs.orAll()
	out := Interval{highest, 0}
	for c := range chemistryCount {
		if !cs.Has(c) {
			continue
		}
		for n := l.nominalFrom; n <= l.nominalTo; n++ {
			floor := ownLimit(c, n)
			out = out.Hull(Interval{math.Max(stated.Low, floor), math.Max(stated.High, floor)})
		}
	}
	return out, nil
}

// ownLimit is the lowest charge limit of a chemistry under a nominal voltage,
// in V per cell. For primary cells it is what a fresh one shows at rest, and
// for sodium cells the lower of the windows on sale (both from memory).
func ownLimit(c Chemistry, nominal class) float64 {
	switch {
	case c == LithiumMetal && nominal <= phosphate:
		return 3.40
	case c == LithiumMetal && nominal == limit4V20:
		return 3.70
	case c == SodiumIon && nominal <= phosphate:
		return 3.90
	case c == SodiumIon && nominal == limit4V20:
		return 4.17
	}
	return classLimits[joint(c, nominal, 0)]
}

// VoltsOverLimit returns how far the resting cell lies above its own charge
// limit, in V per cell, over all candidates: High counts from the lowest
// limit that may be the cell's own. Negative is below. No allowance is taken
// off.
func VoltsOverLimit(restV Interval, cs ChemistrySet, nominalV, limitV Maybe, series Interval) (Interval, error) {
	limits, err := ChargeLimits(cs, nominalV, limitV, series)
	if err != nil {
		return Interval{}, err
	}
	cell, err := VoltsPerCell(restV, series)
	if err != nil {
		return Interval{}, err
	}
	return cell.Sub(limits).snapped(), nil
}

// VoltsUnderCutOff returns how far the resting cell lies below its own normal
// discharge cut-off, in V per cell, over the possible chemistries. Negative is
// above.
func VoltsUnderCutOff(restV Interval, cs ChemistrySet, series Interval) (Interval, error) {
	cell, err := VoltsPerCell(restV, series)
	if err != nil {
		return Interval{}, err
	}
	return CutOffVolts(cs).Sub(cell).snapped(), nil
}

// SeriesCells returns how many cells in series a battery may have by the
// voltages on its label (whole battery, V): 7.6 V is two cobalt cells, 11.1 V
// is three. The nominal voltage is used if it is given, else the limit; with
// neither the answer is 1..40.
func SeriesCells(cs ChemistrySet, nominalV, limitV Maybe) (Interval, error) {
	if err := checkLabel(nominalV, limitV, Exact(1)); err != nil {
		return Interval{}, err
	}
	return inferSeries(cs, nominalV, limitV), nil
}

// inferSeries is SeriesCells for checked input.
func inferSeries(cs ChemistrySet, nominalV, limitV Maybe) Interval {
	const ordinaryNominal, ordinaryLimit = 3.7, 4.2
	switch {
	case nominalV.Given:
		return fitSeries(cs.orAll(), nominalV.Interval, ordinaryNominal, false)
	case limitV.Given:
		return fitSeries(cs.orAll(), limitV.Interval, ordinaryLimit, true)
	}
	return Interval{1, MostSeriesCells}
}

// fitSeries finds the counts for which the volts of one cell fit a row of the
// chemistries' limits within 2 %. A chemistry that fits no count takes the
// nearest count of ordinary cells, so that the answer is never empty and a
// wider voltage never has fewer counts.
func fitSeries(cs ChemistrySet, volts Interval, ordinary float64, byLimit bool) Interval {
	const slack = 0.02
	nearest := Interval{math.Round(volts.Low / ordinary), math.Round(volts.High / ordinary)}
	out := Interval{math.Inf(1), math.Inf(-1)}
	var fitted ChemistrySet
	for i := range shipped.limits {
		row := &shipped.limits[i]
		if !cs.Has(row.Chemistry) {
			continue
		}
		cell := row.Nominal
		if byLimit {
			cell = row.ChargeLimit
		}
		fit := Interval{math.Ceil(volts.Low / (cell.High * (1 + slack))), math.Floor(volts.High / (cell.Low * (1 - slack)))}
		if fit.Low <= fit.High && fit.High >= 1 {
			out = out.Hull(fit)
			fitted |= 1 << row.Chemistry
		}
	}
	if fitted != cs || !volts.IsExact() {
		out = out.Hull(nearest)
	}
	return out.Clamp(1, MostSeriesCells)
}
