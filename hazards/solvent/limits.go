package solvent

import (
	"fmt"
	"math"
)

// Limits are the strictest published breathing limits of a compound, ppm by
// volume. Where bodies differ the lower figure stands.
type Limits struct {
	DayPpm       float64 // 8 h mean
	ShortTermPpm float64 // 15 min or ceiling
	IDLHPpm      float64 // immediately dangerous; 0 where nobody has set one

	// ShortTermDerived: no short-term limit was found; three times the 8 h one,
	// and no more than IDLH, stands in (common practice for excursions).
	ShortTermDerived bool
	DayOrigin        Origin
	ShortTermOrigin  Origin
}

const excursionFactor = 3

func fillLimits(l *Liquid) error {
	table, err := rows("exposure.csv")
	if err != nil {
		return err
	}
	day, short, idlh := math.Inf(1), math.Inf(1), 0.0
	for _, r := range table {
		if r.value["compound"] != l.Compound {
			continue
		}
		v, err := r.numbers("ppm")
		if err != nil {
			return err
		}
		switch kind := r.value["kind"]; kind {
		case "twa":
			if v[0] < day {
				day, l.Limits.DayOrigin = v[0], r.origin()
			}
		case "stel", "ceiling":
			if v[0] < short {
				short, l.Limits.ShortTermOrigin = v[0], r.origin()
			}
		case "idlh":
			idlh = v[0]
		default:
			return fmt.Errorf("solvent: data/exposure.csv row %d: kind %q: twa, stel, ceiling or idlh fits", r.line, kind)
		}
	}
	if math.IsInf(day, 1) {
		return fmt.Errorf("solvent: data/exposure.csv has no 8 h limit for %s", l.Compound)
	}
	if math.IsInf(short, 1) {
		short = day * excursionFactor
		l.Limits.ShortTermDerived = true
		l.Limits.ShortTermOrigin = Origin{Source: "common-practice", Known: "practice"}
	}
	if idlh > 0 {
		short = min(short, idlh)
	}
	l.Limits.DayPpm, l.Limits.ShortTermPpm, l.Limits.IDLHPpm = day, short, idlh
	return nil
}
