package derive

import (
	"math"

	"loosecell/rules/expression"
)

// Isopropanol, which every bench starts from: 0.314 L of vapour a millilitre at
// 20 degC, short-term exposure limit 500 ppm (NIOSH Pocket Guide).
const (
	vapourLitresPerML = 0.314
	shortTermPPM      = 500
)

// solventVapour is the vapour of the solvent used so far, well mixed in the
// room with no air change, as a fraction of the short-term limit. Air changes
// only lower it, so leaving them out keeps it on the safe side.
func solventVapour(l *expression.Layout) expression.Derive {
	used, room := l.MustSlot("adhesive.solvent_volume"), l.MustSlot("bench.room_volume")
	return func(b *expression.Box) expression.Range {
		v, r := b.At(used), b.At(room)
		ppm := func(mL, m3 float64) float64 {
			if m3 <= 0 {
				return math.MaxFloat32
			}
			return mL * vapourLitresPerML / m3 * 1000
		}
		return expression.Range{Low: ppm(v.Low, r.High) / shortTermPPM, High: ppm(v.High, r.Low) / shortTermPPM}
	}
}
