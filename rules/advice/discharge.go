package advice

import (
	"loosecell/rules/derive"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Targets of a discharge before work: 25 % up to 20 Wh, 5 % above (common
// practice; pierced phone cells smoked at 25 % and flamed at 100 %, a laptop
// pack at 25 % still burned). The rulebook's table answers; this is what holds
// if a shop's book has none.
const strictTarget = 5.0

// dischargeTarget is the charge to come down to, in %: the rulebook's table,
// or the strictest of its rows that can hold, never above a cap. loosest is the
// highest that can hold: above that a discharge is due whatever the rest says.
func (o *outcome) dischargeTarget() (strictest, loosest float64) {
	strictest, loosest = strictTarget, strictTarget
	if rows := o.q.Candidates("discharge.target"); len(rows) > 0 {
		row, _ := o.q.Choose("discharge.target")
		strictest = percent(row.Value, strictTarget)
		loosest = strictest
		for _, c := range rows {
			loosest = max(loosest, percent(c.Row.Value, strictTarget))
		}
	}
	if capped, _, ok := o.q.Cap("discharge.target"); ok {
		strictest = min(strictest, capped)
	}
	return strictest, max(strictest, loosest)
}

// percent reads a table's value that is a number of percent.
func percent(v any, otherwise float64) float64 {
	switch x := v.(type) {
	case int:
		return float64(x)
	case float64:
		return x
	case string:
		if low, high, err := parsePercent(x); err == nil && low == high {
			return low
		}
	}
	return otherwise
}

// dischargeDue tells whether the charge lies above the target. On a sound, dry
// cell the gauge decides, unless the volts certainly speak against it; a primary
// cell has no charge to bring down.
func (o *outcome) dischargeDue(a *adviser) string {
	gauge := o.values["battery.gauge_charge"]
	switch {
	case o.charge.High <= o.target || o.certainly(a.cat, "battery.chemistry", "li-metal"):
		return "no"
	case o.charge.Low > o.loosest:
		return "yes"
	case gauge.State != facts.Stated || !o.soundAndDry():
		return "unknown"
	case gauge.High > o.loosest || o.chargeByVolts() > o.loosest:
		return "yes"
	case gauge.High > o.target || o.chargeByVolts() > o.target:
		return "unknown"
	}
	return "no"
}

// soundAndDry tells that nothing takes the word of the device's gauge away.
func (o *outcome) soundAndDry() bool {
	for _, sign := range derive.UnsoundSigns {
		if o.full.At(o.full.Layout.MustSlot(sign)).Words != 1 {
			return false
		}
	}
	return true
}

// chargeByVolts is the least charge, in %, that the volts alone leave possible.
func (o *outcome) chargeByVolts() float64 {
	b := o.full.Clone()
	b.MarkAbsent(b.Layout.MustSlot("battery.gauge_charge"))
	return b.At(b.Layout.MustSlot("derived.state_of_charge")).Low
}

// dischargeMay is whether any way of discharging is permitted.
func (o *outcome) dischargeMay() expression.Truth {
	device, resistor := o.may["discharge.in-device"], o.may["discharge.resistor"]
	switch {
	case device == expression.True || resistor == expression.True:
		return expression.True
	case device == expression.False && resistor == expression.False:
		return expression.False
	}
	return expression.Open
}

// dischargeAction is what to do about the charge.
func (o *outcome) dischargeAction() string {
	switch {
	case o.dischargeMay() == expression.False:
		return "forbidden"
	case o.due == "no":
		return "none"
	case o.due == "unknown":
		return "measure-first"
	case o.may["discharge.in-device"] == expression.True:
		return "in-device"
	case o.may["discharge.resistor"] == expression.True:
		return "resistor"
	}
	return "measure-first"
}
