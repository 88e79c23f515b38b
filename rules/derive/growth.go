package derive

import (
	"math"

	"loosecell/rules/expression"
)

// thicknessGrowth is how much thicker the cell is than when new, in %.
func thicknessGrowth(l *expression.Layout) expression.Derive {
	now, then := l.MustSlot("battery.thickness"), l.MustSlot("battery.nominal_thickness")
	return func(b *expression.Box) expression.Range {
		t, n := b.At(now), b.At(then)
		return snapped(100*(t.Low-n.High)/n.High, 100*(t.High-n.Low)/n.Low)
	}
}

// excessOverRoom is how much warmer the cell's surface is than the air, in K.
func excessOverRoom(l *expression.Layout) expression.Derive {
	cell, air := l.MustSlot("battery.temperature"), l.MustSlot("bench.air_temperature")
	return func(b *expression.Box) expression.Range {
		c, a := b.At(cell), b.At(air)
		return snapped(c.Low-a.High, c.High-a.Low)
	}
}

// snapped is a range without the last digits that binary fractions add, so that
// 4.40 mm over 4.00 mm is ten percent and no more.
func snapped(low, high float64) expression.Range {
	const grain = 1e9
	return expression.Range{Low: math.Round(low*grain) / grain, High: math.Round(high*grain) / grain}
}
