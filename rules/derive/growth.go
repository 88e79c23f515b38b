package derive

import "loosecell/rules/expression"

// thicknessGrowth is how much thicker the cell is than when new, in %.
func thicknessGrowth(l *expression.Layout) expression.Derive {
	now, then := l.MustSlot("battery.thickness"), l.MustSlot("battery.nominal_thickness")
	return func(b *expression.Box) expression.Range {
		t, n := b.At(now), b.At(then)
		return expression.Range{Low: 100 * (t.Low - n.High) / n.High, High: 100 * (t.High - n.Low) / n.Low}
	}
}

// excessOverRoom is how much warmer the cell's surface is than the air, in K.
func excessOverRoom(l *expression.Layout) expression.Derive {
	cell, air := l.MustSlot("battery.temperature"), l.MustSlot("bench.air_temperature")
	return func(b *expression.Box) expression.Range {
		c, a := b.At(cell), b.At(air)
		return expression.Range{Low: c.Low - a.High, High: c.High - a.Low}
	}
}
