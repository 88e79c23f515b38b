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
// cell's own may be. A limit that is given is the cell's own, whatever else the
// label says; with none it is that of every possible chemistry, narrowed by the
// nominal voltage if that is given. Voltages are of the whole battery in V.
func ChargeLimits(cs ChemistrySet, nominalV, limitV Maybe, series Interval) (Interval, error) {
	if err := checkLabel(nominalV, limitV, series); err != nil {
		return Interval{}, err
	}
	if limitV.Given {
		return limitV.dividedBy(series).snapped().Clamp(lowestLimit, highestLimit), nil
	}
	cs = cs.orAll()
	out := Interval{highestLimit, 0}
	for c := range chemistryCount {
		if cs.Has(c) {
			out = out.Hull(c.ownLimits(nominalV, series))
		}
	}
	return out, nil
}

// The limits of all cells lie between these, in V per cell: titanate cells and
// the highest cobalt cells on sale.
const (
	lowestLimit  = 2.70
	highestLimit = 4.50
)

// ownLimits is what the charge limit of one chemistry can be, in V per cell. A
// nominal voltage tells the classes of cobalt cells apart; on a chemistry that
// is sold in one class only it changes nothing unless it points higher.
func (c Chemistry) ownLimits(nominalV Maybe, series Interval) Interval {
	if !nominalV.Given || c == LithiumMetal || c == SodiumIon {
		out := Interval{highestLimit, 0}
		for _, l := range shipped.limits {
			if l.Chemistry == c {
				out = out.Hull(l.ChargeLimit)
			}
		}
		return out
	}
	l := labelOf(nominalV, Maybe{}, series)
	out := Interval{highestLimit, 0}
	for n := l.nominalFrom; n <= l.nominalTo; n++ {
		k := joint(c, n, 0)
		out = out.Hull(Interval{classLimits[k], classCeilings[k]})
	}
	return out
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
