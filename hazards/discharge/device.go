package discharge

import (
	"cmp"
	"fmt"
	"slices"

	"loosecell/hazards"
)

// DeviceTask is a battery to be run down in its own device.
type DeviceTask struct {
	Device    string           // device kind, see Loads
	EnergyWh  hazards.Estimate // energy of the full battery, above 0
	NowPct    hazards.Estimate // charge now, 0 to 100
	TargetPct float64          // charge wanted, 0 up to 100
}

// Way is one way to run a device down. Hours is zero throughout when the target is already met.
type Way struct {
	Load  Load
	Hours hazards.Estimate
}

// InDevice gives the hours each load of the device needs from the charge now to the target, the
// quickest first; loads that warm the battery much come last, however quick.
//
//	hours = energy · (now - target)/100 / power
//
// Energy is taken as even over the charge; the upper half of a real cell holds a few percent more,
// which is small beside the spread of the loads. Source: energy balance; loads common practice.
// Errors: ErrDevice, or a value that is not finite or outside its range.
func InDevice(task DeviceTask) ([]Way, error) {
	if err := energyAbove0("battery energy in Wh", task.EnergyWh); err != nil {
		return nil, err
	}
	if err := checkCharge(task.NowPct, task.TargetPct); err != nil {
		return nil, err
	}
	loads, err := Loads(task.Device)
	if err != nil {
		return nil, err
	}
	ways := make([]Way, 0, len(loads))
	for _, l := range loads {
		hours, err := hazards.New(
			hoursAt(task.EnergyWh.Low, task.NowPct.Low, task.TargetPct, l.Watts.High),
			hoursAt(task.EnergyWh.Middle, task.NowPct.Middle, task.TargetPct, l.Watts.Middle),
			hoursAt(task.EnergyWh.High, task.NowPct.High, task.TargetPct, l.Watts.Low))
		if err != nil {
			return nil, fmt.Errorf("discharge: hours of %q: %w", l.Activity, err)
		}
		ways = append(ways, Way{l, hours})
	}
	slices.SortStableFunc(ways, func(a, b Way) int {
		return cmp.Or(cmp.Compare(muchLast(a), muchLast(b)), cmp.Compare(b.Load.Watts.Middle, a.Load.Watts.Middle))
	})
	return ways, nil
}

func muchLast(w Way) int {
	if w.Load.Warmth == WarmthMuch {
		return 1
	}
	return 0
}

func hoursAt(energyWh, nowPct, targetPct, watts float64) float64 {
	return energyWh * max(0, nowPct-targetPct) / 100 / watts
}

// checkCharge refuses charges outside 0 to 100 %.
func checkCharge(now hazards.Estimate, targetPct float64) error {
	for _, pct := range []float64{now.Low, now.Middle, now.High} {
		if !finite(pct) || pct < 0 || pct > 100 {
			return fmt.Errorf("discharge: charge now %g %%, want 0 to 100", pct)
		}
	}
	if now.Low > now.Middle || now.Middle > now.High {
		return fmt.Errorf("discharge: charge now runs %g, %g, %g %%, want ascending", now.Low, now.Middle, now.High)
	}
	if !finite(targetPct) || targetPct < 0 || targetPct > 100 {
		return fmt.Errorf("discharge: target charge %g %%, want 0 to 100", targetPct)
	}
	return nil
}

// energyAbove0 refuses an estimate that is not ascending, finite and above 0.
func energyAbove0(what string, e hazards.Estimate) error {
	for _, x := range []float64{e.Low, e.Middle, e.High} {
		if !positive(x) {
			return fmt.Errorf("discharge: %s %g, want above 0", what, x)
		}
	}
	if e.Low > e.Middle || e.Middle > e.High {
		return fmt.Errorf("discharge: %s runs %g, %g, %g, want ascending", what, e.Low, e.Middle, e.High)
	}
	return nil
}
