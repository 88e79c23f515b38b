package consign

import (
	"strings"
	"testing"
)

// A critical cell is not packed, whatever the law of a mode would allow, before a
// competent person has judged it: ADR SP 376 wants the judgement, and no hands go
// to a cell that smells, leaks, is warm or is open (the stricter reading for the
// United States, where 49 CFR 173.185 (f) asks for none). A row that is set aside
// says why and what comes next.
func TestCriticalCellsAreSetAside(t *testing.T) {
	const columns = "job.id,battery.chemistry,battery.series_cells,battery.parallel_cells,battery.rated_energy [Wh],battery.mass [g],battery.looked," +
		"battery.history_asked,battery.terminals,battery.test_summary,dispatch.purpose,dispatch.destination,dispatch.discarded_by,bench.air_temperature [degC]," +
		"battery.rest_voltage [V],battery.volts_at,battery.odour,battery.leakage,battery.puncture,battery.temperature [degC],battery.off_time [min],battery.swelling,battery.assessed,battery.assessed_by,battery.assessed_on\n"
	const judged = "not-critical,the maker's engineer,2026-05-20"
	for _, c := range []struct {
		name, signs, place string
		packed             bool
		why                string
	}{
		{"sound", ",,,,,,,,", "us", true, ""},
		{"swollen", ",,,,,slight,,,", "us", true, ""},
		{"smelling", "yes,,,,,,,,", "us", false, "smell"},
		{"smelling", "yes,,,,,,,,", "eu", false, ""},
		{"smelling and judged", "yes,,,,,," + judged, "eu", true, ""},
		{"smelling and judged by nobody", "yes,,,,,,not-critical,,2026-05-20", "eu", false, ""},
		{"smelling and judged long ago", "yes,,,,,,not-critical,the maker's engineer,2026-01-20", "eu", false, ""},
		{"leaking, cold", ",confirmed,,,,,,,", "us", false, "critical"},
		{"leaking, cold", ",confirmed,,,,,,,", "eu", false, "critical"},
		{"leaking, cold, and judged", ",confirmed,,,,," + judged, "eu", true, ""},
		{"pierced", ",,confirmed,,,,,,", "us", false, "critical"},
		{"warm at rest", ",,,32,60,,,,", "us", false, "warm"},
		{"warm just after use", ",,,27,5,,,,", "us", false, "warm"},
		{"warm at rest and judged", ",,,32,60,," + judged, "us", false, "warm"},
		{"warm at rest and judged", ",,,32,60,," + judged, "eu", false, "warm"},
	} {
		t.Run(c.name+" "+c.place, func(t *testing.T) {
			list := columns + "a,lco,1,1,15,60,both-faces,yes,covered,yes,recycle,recycler,business,20,3.6,cell," + c.signs + "\n"
			out := packed(t, list, road(c.place))
			if got := out.Counts.Packed == 1; got != c.packed {
				t.Fatalf("packed: %v; set aside %+v", got, out.SetAside)
			}
			if c.packed {
				return
			}
			aside := out.SetAside[0]
			if aside.Reason == "" || len(aside.Next) == 0 || !strings.Contains(aside.Reason, c.why) {
				t.Errorf("%+v", aside)
			}
		})
	}
}

// The collection box to the sorter holds damaged ones, and no critical one.
func TestCriticalCellsStayOutOfTheCollectionBox(t *testing.T) {
	list := "job.id,battery.chemistry,battery.series_cells,battery.parallel_cells,battery.rated_energy [Wh],battery.mass [g],battery.looked,battery.history_asked," +
		"battery.rest_voltage [V],battery.volts_at,battery.terminals,dispatch.purpose,dispatch.destination,dispatch.discarded_by,battery.leakage\n" +
		"a,lco,1,1,15,60,both-faces,yes,3.6,cell,covered,recycle,sorter,business,none\n" +
		"b,lco,1,1,15,60,both-faces,yes,3.6,cell,covered,recycle,sorter,business,confirmed\n"
	out := packed(t, list, road("eu"))
	if out.Collection == nil || out.Collection.Cells != 1 {
		t.Errorf("%+v", out.Collection)
	}
}
