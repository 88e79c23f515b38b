package battery

import "fmt"

// Spread is a low, a middle and a high value of one quantity.
type Spread struct{ Low, Middle, High float64 }

// Range returns the spread as an interval.
func (s Spread) Range() Interval { return Interval{s.Low, s.High} }

// MeanVoltage returns the mean resting voltage in V per cell while the charge
// runs from one value to a lower one (both in %), over every candidate table:
// the energy of that span is the mean times the capacity in it. Under load the
// voltage is lower by current times resistance. It refuses a cell without a
// table. Label voltages are of the whole battery in V.
func MeanVoltage(fromPercent, toPercent float64, cs ChemistrySet, nominalV, limitV Maybe, series Interval) (Interval, error) {
	if !finite(fromPercent) || !finite(toPercent) || toPercent < 0 || fromPercent > 100 || toPercent >= fromPercent {
		return Interval{}, fmt.Errorf("battery: cannot discharge from %v %% to %v %%; give 100 %% at most, falling", fromPercent, toPercent)
	}
	if err := checkLabel(nominalV, limitV, series); err != nil {
		return Interval{}, err
	}
	s := shipped.candidates.of(cs, labelOf(nominalV, limitV, series))
	if s&noTable != 0 {
		return Interval{}, fmt.Errorf("battery: no voltage table for %s cells; their mean voltage is not known", cs.orAll())
	}
	out, first := Interval{}, true
	for i := range shipped.tables {
		if s&(1<<i) == 0 {
			continue
		}
		v := Exact(shipped.tables[i].meanBetween(toPercent, fromPercent))
		if first {
			out, first = v, false
		}
		out = out.Hull(v)
	}
	return out, nil
}

// PhoneCellResistance returns the resistance of one phone-size cell in ohm, as
// slow discharge sees it: 0.06 to 0.16 new at 25 degC (gauge tables of five
// cells), more when cold, twice as much when aged (common practice). airC is
// -10 to 60 degC.
func PhoneCellResistance(airC float64, aged bool) (Spread, error) {
	if !finite(airC) || airC < -10 || airC > 60 {
		return Spread{}, fmt.Errorf("battery: air temperature is %v degC; resistance is known from -10 to 60 degC", airC)
	}
	r, cold, old := shipped.resistance["phone-cell-new-25c"], Spread{1, 1, 1}, Spread{1, 1, 1}
	switch {
	case airC < 10:
		cold = shipped.resistance["factor-0c"]
	case airC < 20:
		cold = shipped.resistance["factor-10c"]
	}
	if aged {
		old = shipped.resistance["factor-aged"]
	}
	const ohmPerMilliohm = 1e-3
	return Spread{
		r.Low * cold.Low * old.Low * ohmPerMilliohm,
		r.Middle * cold.Middle * old.Middle * ohmPerMilliohm,
		r.High * cold.High * old.High * ohmPerMilliohm,
	}, nil
}
