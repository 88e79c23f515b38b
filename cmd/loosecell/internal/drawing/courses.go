package drawing

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"loosecell/rules/advice"
)

// Heat is the warming: adhesive and cell against the minutes on the pad, with
// the cell's limit and the time after which the pad comes off.
func Heat(h *advice.HeatPicture) (Picture, error) {
	c := newChart("minutes on the pad", "°C")
	var softLow, softMid, softHigh, cellLow, cellMid, cellHigh plotter.XYs
	top, bottom, end := h.CellLimitC, h.SoftC, h.LimitMin
	for _, p := range h.Points {
		if !finite(p.Minutes, p.Cell.Low, p.Cell.High, p.AdhesiveC.Low, p.AdhesiveC.High) {
			return Picture{}, fmt.Errorf("drawing: the course of the heat holds a number that cannot be drawn")
		}
		softLow, softMid, softHigh = append(softLow, at(p.Minutes, p.AdhesiveC.Low)), append(softMid, at(p.Minutes, p.AdhesiveC.Middle)), append(softHigh, at(p.Minutes, p.AdhesiveC.High))
		cellLow, cellMid, cellHigh = append(cellLow, at(p.Minutes, p.Cell.Low)), append(cellMid, at(p.Minutes, p.Cell.Middle)), append(cellHigh, at(p.Minutes, p.Cell.High))
		top, bottom = max(top, max(p.Cell.High, p.AdhesiveC.High)), min(bottom, min(p.Cell.Low, p.AdhesiveC.Low))
		end = max(end, p.Minutes)
	}
	c.X.Min, c.X.Max, c.Y.Min, c.Y.Max = 0, end, math.Floor(bottom/5)*5, math.Ceil((top+4)/5)*5
	err := firstError(
		func() error { return c.band(softLow, softHigh, bandColour) },
		func() error { return c.band(cellLow, cellHigh, deepBand) },
		func() error { return c.curve(softMid, 1, 2) },
		func() error { return c.curve(cellMid, 0, 2) },
		func() error {
			return c.rule(at(0, h.CellLimitC), at(end, h.CellLimitC), 0, "cell limit "+whole(h.CellLimitC)+" °C")
		},
		func() error {
			return c.rule(at(0, h.SoftC), at(end, h.SoftC), 2, "adhesive soft from "+whole(h.SoftC)+" °C")
		},
		func() error {
			return c.curve(plotter.XYs{at(h.LimitMin, c.Y.Min), at(h.LimitMin, c.Y.Max)}, 3, 1.4)
		},
		func() error { return c.say(at(h.LimitMin, c.Y.Min), "pad off", draw.XLeft, 4) },
	)
	if err != nil {
		return Picture{}, err
	}
	last := lastWithin(h.Points, h.LimitMin)
	desc := fmt.Sprintf("Pad at %s °C. When it comes off after %s minutes the adhesive is at %s to %s °C and the cell at %s to %s °C; the cell may have %s °C.",
		whole(h.SetPointC), short(h.LimitMin), whole(last.AdhesiveC.Low), whole(last.AdhesiveC.High), whole(last.Cell.Low), whole(last.Cell.High), whole(h.CellLimitC))
	return c.picture("heat", "Warming: adhesive and cell against time", desc,
		desc+" Dashed line and light band: adhesive. Full line and dark band: cell. Right of “pad off” is what forgetting it would do.")
}

func lastWithin(points []advice.HeatPoint, minutes float64) advice.HeatPoint {
	var out advice.HeatPoint
	for _, p := range points {
		if p.Minutes <= minutes+1e-9 {
			out = p
		}
	}
	return out
}

// Charge is the charge against the hours of its discharge, one line a way.
func Charge(d *advice.DischargePicture) (Picture, error) {
	c := newChart("hours", "charge, %")
	low, _, high, end, err := chargeCourses(d)
	if err != nil {
		return Picture{}, err
	}
	c.X.Min, c.X.Max, c.Y.Min, c.Y.Max = 0, end, 0, min(100, math.Ceil((high[0].Y+12)/10)*10)
	now := d.Points[0].ChargePct.Middle
	steps := []func() error{
		func() error { return c.band(low, high, bandColour) },
		func() error {
			return c.rule(at(0, d.TargetPct), at(end, d.TargetPct), 2, "target "+whole(d.TargetPct)+" % or less")
		},
	}
	told := ""
	for i, way := range d.Ways {
		if way.Hours <= 0 {
			continue
		}
		line := plotter.XYs{at(0, now), at(min(way.Hours, end), d.TargetPct)}
		steps = append(steps,
			func() error { return c.curve(line, i, 2) },
			func() error {
				return c.say(at(line[1].X, d.TargetPct), string(rune('A'+i)), draw.XLeft, -13)
			})
		told += fmt.Sprintf(" %c: %s, likely %s h.", 'A'+i, way.Name, short(way.Hours))
	}
	if err := firstError(steps...); err != nil {
		return Picture{}, err
	}
	desc := fmt.Sprintf("From %s %% now to %s %%.%s Between the quickest and the slowest lie up to %s h.", span(d.Points[0].ChargePct), whole(d.TargetPct), told, short(end))
	return c.picture("charge", "Discharge: charge against time", desc, desc)
}

// Volts is the resting voltage of one cell while it is discharged; ok is false
// where no voltage table speaks of it.
func Volts(d *advice.DischargePicture) (picture Picture, ok bool, err error) {
	_, _, _, end, err := chargeCourses(d)
	if err != nil {
		return Picture{}, false, err
	}
	var low, mid, high plotter.XYs
	for _, p := range d.Points {
		if p.Volts == nil || !finite(p.Volts.Low, p.Volts.Middle, p.Volts.High) {
			return Picture{}, false, nil
		}
		low, mid, high = append(low, at(p.Hours, p.Volts.Low)), append(mid, at(p.Hours, p.Volts.Middle)), append(high, at(p.Hours, p.Volts.High))
	}
	c := newChart("hours", "V")
	c.X.Min, c.X.Max = 0, end
	c.Y.Min, c.Y.Max = math.Floor(low[len(low)-1].Y*10-0.5)/10, math.Ceil(high[0].Y*10+0.5)/10
	steps := []func() error{
		func() error { return c.band(low, high, bandColour) },
		func() error { return c.curve(mid, 0, 2) },
	}
	lastVolts := d.Points[len(d.Points)-1].Volts
	desc := fmt.Sprintf("One cell at rest reads %s V now and %s V at the target, by the voltage tables of the chemistries it may be.", spanOf(*d.Points[0].Volts, 2), spanOf(*lastVolts, 2))
	if d.StopRestedV > 0 {
		steps = append(steps, func() error {
			return c.rule(at(0, d.StopRestedV), at(end, d.StopRestedV), 2, "stop: "+fixed(d.StopRestedV, 2)+" V at rest")
		})
		desc += fmt.Sprintf(" Stop where it rests at %s V.", fixed(d.StopRestedV, 2))
	}
	if err := firstError(steps...); err != nil {
		return Picture{}, false, err
	}
	picture, err = c.picture("volts", "Discharge: volts against time", desc, desc)
	return picture, err == nil, err
}

func chargeCourses(d *advice.DischargePicture) (low, mid, high plotter.XYs, end float64, err error) {
	for _, p := range d.Points {
		if !finite(p.Hours, p.ChargePct.Low, p.ChargePct.High) {
			return nil, nil, nil, 0, fmt.Errorf("drawing: the course of the discharge holds a number that cannot be drawn")
		}
		low, mid, high = append(low, at(p.Hours, p.ChargePct.Low)), append(mid, at(p.Hours, p.ChargePct.Middle)), append(high, at(p.Hours, p.ChargePct.High))
		end = max(end, p.Hours)
	}
	if len(high) == 0 || end <= 0 {
		return nil, nil, nil, 0, fmt.Errorf("drawing: the course of the discharge is empty")
	}
	return low, mid, high, end, nil
}

// Gas is hydrogen fluoride in the room after a failure, on a scale of tenfolds,
// with the limits and the time to go back in.
func Gas(g *advice.GasPicture) (Picture, error) {
	unit, per := "minutes", 1.0
	if n := len(g.Points); n > 0 && g.Points[n-1].Minutes > 150 {
		unit, per = "hours", 60.0
	}
	c := newChart(unit+" after the failure", "ppm")
	c.Y.Scale, c.Y.Tick.Marker = plot.LogScale{}, decades{}
	const least, most = 0.1, 1e5
	var low, mid, high plotter.XYs
	top, end := g.DangerPPM*10, 0.0
	for _, p := range g.Points {
		if !finite(p.Minutes, p.PPM.Low, p.PPM.High) {
			return Picture{}, fmt.Errorf("drawing: the course of the gas holds a number that cannot be drawn")
		}
		x := p.Minutes / per
		hold := func(v float64) float64 { return max(least, min(most, v)) }
		low, mid, high = append(low, at(x, hold(p.PPM.Low))), append(mid, at(x, hold(p.PPM.Middle))), append(high, at(x, hold(p.PPM.High)))
		top, end = max(top, hold(p.PPM.High)), max(end, x)
	}
	c.X.Min, c.X.Max, c.Y.Min, c.Y.Max = 0, end, least, math.Pow(10, math.Ceil(math.Log10(top)))
	steps := []func() error{
		func() error { return c.band(low, high, bandColour) },
		func() error { return c.curve(mid, 0, 2) },
		func() error {
			return c.rule(at(0, g.DangerPPM), at(end, g.DangerPPM), 1, "danger to life "+whole(g.DangerPPM)+" ppm")
		},
		func() error {
			return c.rule(at(0, g.ReenterPPM), at(end, g.ReenterPPM), 2, "nobody back above "+whole(g.ReenterPPM)+" ppm")
		},
	}
	back := g.BackMin.Middle / per
	if back > 0 && back < end {
		steps = append(steps,
			func() error { return c.curve(plotter.XYs{at(back, least), at(back, c.Y.Max)}, 3, 1.4) },
			func() error { return c.say(at(back, least), "stay out at least", draw.XRight, 5) })
	}
	if err := firstError(steps...); err != nil {
		return Picture{}, err
	}
	first := g.Points[0].PPM
	desc := fmt.Sprintf("If it failed here the room's air would hold %s ppm of hydrogen fluoride at first, likely %s; danger to life is %s ppm. Stay out at least %s, in bad air up to %s, and go in only when the fire service agrees.",
		span(first), short(first.Middle), whole(g.DangerPPM), howLong(g.BackMin.Middle), howLong(g.BackMin.High))
	return c.picture("gas", "Gas in the room if the cell failed", desc, desc+" Each line up is tenfold. Near the cell it is more.")
}

func at(x, y float64) plotter.XY { return plotter.XY{X: x, Y: y} }

// firstError runs the steps until one fails.
func firstError(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}
