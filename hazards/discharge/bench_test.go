package discharge_test

import (
	"testing"

	"loosecell/hazards/discharge"
)

func BenchmarkThroughResistor(b *testing.B) {
	task := discharge.ResistorTask{Curves: []discharge.Curve{ironPhosphate()}, SeriesCells: 1, CapacityAh: exact(3), NowPct: exact(80),
		TargetPct: 25, InternalOhm: exact(0.1), ChargeLimitV: 3.65, CutOffV: 2.0, AmbientC: 20}
	for b.Loop() {
		if _, err := discharge.ThroughResistor(task); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkInDevice(b *testing.B) {
	task := discharge.DeviceTask{Device: "phone", EnergyWh: exact(15), NowPct: exact(72), TargetPct: 25}
	for b.Loop() {
		if _, err := discharge.InDevice(task); err != nil {
			b.Fatal(err)
		}
	}
}
