package discharge_test

import (
	"math"
	"testing"

	"loosecell/battery"
	"loosecell/hazards"
	"loosecell/hazards/discharge"
)

func tableCurve(t *testing.T, name string) discharge.Curve {
	t.Helper()
	table, err := battery.TableNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return discharge.FromTable(table)
}

// Only the iron-phosphate tables are too flat to read a charge from: 20 to 95 % spans about 100 mV
// (open pseudo-OCV data, IEEE Trans. Instrum. Meas. 2025).
func TestFlatTables(t *testing.T) {
	for _, table := range battery.Tables() {
		flat, err := discharge.FromTable(table).Flat()
		if err != nil || flat != (table.Chemistry == battery.LFP) {
			t.Errorf("%s: flat %v (%v)", table.Name, flat, err)
		}
	}
}

func TestEveryTableGivesAPlan(t *testing.T) {
	for _, table := range battery.Tables() {
		task := soundPhone(t)
		task.Curves[0] = discharge.FromTable(table)
		task.CutOffV = table.LimitV.Low * 0.6
		task.ChargeLimitV = table.LimitV.High
		p := mustPlan(t, task)
		if !p.Due || p.Hours.Low < 3 || p.Hours.High > 12 {
			t.Errorf("%s: due %v, %v h, want a working day at C/10", table.Name, p.Due, p.Hours)
		}
	}
}

// A cell that may be any of several kinds stops at the lowest voltage of them all, so that the
// charge is at the target whichever it is, and the time covers each of them.
func TestSeveralPossibleCurves(t *testing.T) {
	var plans []discharge.ResistorPlan
	var curves []discharge.Curve
	for _, name := range []string{"phone-4.40-after-discharge", "nmc-21700-measured", "nca-model"} {
		curves = append(curves, tableCurve(t, name))
		task := soundPhone(t)
		task.Curves, task.ResistorOhm = curves[len(curves)-1:], 15
		plans = append(plans, mustPlan(t, task))
	}
	task := soundPhone(t)
	task.Curves, task.ResistorOhm = curves, 15
	task.InternalOhm = hazards.Estimate{Low: 0.06, Middle: 0.09, High: 0.16}
	all := mustPlan(t, task)
	if math.Abs(all.StopRestV-3.433) > 1e-9 { // nca-model at 25 %
		t.Errorf("stop at %g V rested, want 3.433 V", all.StopRestV)
	}
	for i, c := range curves {
		if got, err := c.SocAt(all.StopRestV); err != nil || got > 25+1e-9 {
			t.Errorf("curve %d: %g %% at the stop (%v)", i, got, err)
		}
		if all.Hours.High < plans[i].Hours.High {
			t.Errorf("curve %d alone may take %g h, all together %g h", i, plans[i].Hours.High, all.Hours.High)
		}
	}
}
