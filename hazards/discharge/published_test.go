package discharge_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"loosecell/hazards"
	"loosecell/hazards/discharge"
)

// published reads a table of testdata/published; each line is a map by heading.
func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, line := range lines[1:] {
		m := map[string]string{}
		for i, heading := range lines[0] {
			m[heading] = line[i]
		}
		out = append(out, m)
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// linear builds a curve of straight pieces.
func linear(pct, volts []float64) discharge.Curve {
	return discharge.Curve{Breakpoints: pct, Volts: func(x float64) float64 {
		for i := 1; i < len(pct); i++ {
			if x <= pct[i] {
				return volts[i-1] + (volts[i]-volts[i-1])*(x-pct[i-1])/(pct[i]-pct[i-1])
			}
		}
		return volts[len(volts)-1]
	}}
}

func constant(v float64) discharge.Curve { return linear([]float64{0, 100}, []float64{v, v}) }

func listCurve(t *testing.T) discharge.Curve {
	var pct, volts []float64
	for _, r := range published(t, "discharge-curve.csv") {
		pct, volts = append(pct, number(t, r["soc_pct"])), append(volts, number(t, r["volts"]))
	}
	return linear(pct, volts)
}

func exact(x float64) hazards.Estimate { return hazards.Estimate{Low: x, Middle: x, High: x} }

type inputs map[string]float64

func planOf(c discharge.Curve, in inputs) (discharge.ResistorPlan, error) {
	return discharge.ThroughResistor(discharge.ResistorTask{
		Curves: []discharge.Curve{c}, SeriesCells: 1, CapacityAh: exact(in["capacity_ah"]), NowPct: exact(in["from"]), TargetPct: in["to"],
		InternalOhm: exact(0.1), ChargeLimitV: in["limit"], CutOffV: 3.0, ResistorOhm: in["ohm"], AmbientC: 20,
	})
}

var quantities = map[string]func(discharge.Curve, inputs) (float64, error){
	"hours-through": func(c discharge.Curve, in inputs) (float64, error) {
		return discharge.HoursThrough(c, in["capacity_ah"], in["total_ohm"], in["from"], in["to"])
	},
	"plan-power-high": func(c discharge.Curve, in inputs) (float64, error) {
		p, err := planOf(c, in)
		return p.PowerW.High, err
	},
	"plan-current-high": func(c discharge.Curve, in inputs) (float64, error) {
		p, err := planOf(c, in)
		return p.CurrentA.High, err
	},
	"plan-ohm": func(c discharge.Curve, in inputs) (float64, error) {
		p, err := planOf(c, in)
		return p.ResistorOhm, err
	},
	"least-ohm": func(_ discharge.Curve, in inputs) (float64, error) {
		return discharge.LeastOhm(in["volts"], in["capacity_ah"], in["rate"])
	},
	"device-energy": func(_ discharge.Curve, in inputs) (float64, error) {
		ways, err := discharge.InDevice(discharge.DeviceTask{Device: "phone", EnergyWh: exact(in["energy_wh"]),
			NowPct: exact(in["from"]), TargetPct: in["to"]})
		if err != nil {
			return 0, err
		}
		return ways[0].Hours.Middle * ways[0].Load.Watts.Middle, nil
	},
	"surface-rise": func(_ discharge.Curve, in inputs) (float64, error) {
		e, err := discharge.SurfaceRise(in["watts"], in["area_cm2"])
		return e.Middle, err
	},
	"brine-mol": func(_ discharge.Curve, in inputs) (float64, error) {
		b, err := discharge.BrineLimit(in["capacity_ah"])
		return b.HydrogenMol, err
	},
	"brine-litres": func(_ discharge.Curve, in inputs) (float64, error) {
		b, err := discharge.BrineLimit(in["capacity_ah"])
		return b.HydrogenL, err
	},
	"brine-chlorine": func(_ discharge.Curve, in inputs) (float64, error) {
		b, err := discharge.BrineLimit(in["capacity_ah"])
		return b.ChlorineG, err
	},
}

func TestPublishedChecks(t *testing.T) {
	for _, r := range published(t, "discharge-checks.csv") {
		t.Run(r["check"], func(t *testing.T) {
			var curve discharge.Curve
			switch r["curve"] {
			case "":
			case "list":
				curve = listCurve(t)
			default:
				curve = constant(number(t, r["curve"]))
			}
			in := inputs{}
			for _, pair := range strings.Fields(r["inputs"]) {
				key, value, _ := strings.Cut(pair, "=")
				in[key] = number(t, value)
			}
			reckon, known := quantities[r["quantity"]]
			if !known {
				t.Fatalf("no quantity %q", r["quantity"])
			}
			got, err := reckon(curve, in)
			if err != nil {
				t.Fatal(err)
			}
			want := number(t, r["expected"])
			if math.Abs(got-want) > want*number(t, r["tolerance_pct"])/100 {
				t.Errorf("%g %s, want %g within %s %% (%s)", got, r["unit"], want, r["tolerance_pct"], r["source"])
			}
		})
	}
}

func TestPreferredSeries(t *testing.T) {
	for _, r := range published(t, "discharge-iec-60063.csv") {
		for decade := -2; decade <= 6; decade++ {
			for _, field := range strings.Fields(r["values"]) {
				want := number(t, fmt.Sprintf("%se%d", field, decade))
				for _, ask := range []float64{want, want * 0.999} {
					if got, err := discharge.Preferred(r["series"], ask); err != nil || got != want {
						t.Errorf("%s at or above %g: %g, %v, want %g", r["series"], ask, got, err, want)
					}
				}
			}
		}
	}
}
