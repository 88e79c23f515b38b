package heat

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// published reads a check table of testdata/published: values from outside this code,
// each with its source beside it.
func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		out = append(out, row)
	}
	return out
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// inputs are the key=value pairs of a row; resistances keep their order.
type inputs struct {
	of          map[string]float64
	resistances []float64
}

func parseInputs(t *testing.T, text string) inputs {
	t.Helper()
	in := inputs{of: map[string]float64{}}
	for _, pair := range strings.Fields(text) {
		key, value, _ := strings.Cut(pair, "=")
		switch thickness, k, layer := strings.Cut(value, "/"); {
		case layer:
			r, err := LayerResistance(number(t, thickness), number(t, k))
			if err != nil {
				t.Fatal(err)
			}
			in.resistances = append(in.resistances, r)
		case key == "film":
			in.resistances = append(in.resistances, 1/number(t, value))
			in.of[key] = number(t, value)
		case key == "contact":
			in.resistances = append(in.resistances, number(t, value))
		default:
			in.of[key] = number(t, value)
		}
	}
	return in
}

func closedForm(t *testing.T, form string, in inputs) (float64, error) {
	v := in.of
	switch form {
	case "flux-times-area":
		q, err := SeriesFlux(v["hot"], v["cold"], in.resistances...)
		return q * v["area"], err
	case "after-first":
		q, err := SeriesFlux(v["hot"], v["cold"], in.resistances...)
		return v["hot"] - q*in.resistances[0], err
	case "thickness-of-contact":
		return v["k"] / v["film"], nil
	case "junction": // heat leaves by two paths: the film above, and contact, plate and film below
		up, errUp := SeriesFlux(1, 0, in.resistances[0])
		down, errDown := SeriesFlux(1, 0, in.resistances...)
		return v["ambient"] + v["flux"]/(up+down), firstError(errUp, errDown)
	case "lumped-constant-sphere":
		return LumpedTimeConstantS(v["density"], v["cp"], v["diameter"]/6, v["film"])
	case "lumped-time":
		return LumpedTimeS(v["start"], v["ambient"], v["target"], v["constant"])
	case "lumped-time-sphere":
		tau, err := LumpedTimeConstantS(v["density"], v["cp"], v["diameter"]/6, v["film"])
		if err != nil {
			return 0, err
		}
		return LumpedTimeS(v["start"], v["ambient"], v["target"], tau)
	case "eigenvalue":
		return Eigenvalue(v["biot"], int(v["n"]))
	case "amplitude":
		z, err := Eigenvalue(v["biot"], 1)
		return amplitude(z), err
	case "one-term":
		left, err := OneTerm(v["biot"], v["fourier"], v["place"])
		return v["ambient"] + left*(v["start"]-v["ambient"]), err
	case "fixed":
		return SemiInfiniteFixedC(v["start"], v["face"], v["depth"], v["time"], v["alpha"])
	case "fixed-depth":
		return SemiInfiniteFixedDepthM(v["start"], v["face"], v["target"], v["time"], v["alpha"])
	case "flux":
		return SemiInfiniteFluxC(v["start"], v["flux"], v["depth"], v["time"], v["k"], v["alpha"])
	case "convection":
		return SemiInfiniteConvectionC(v["start"], v["ambient"], v["film"], v["depth"], v["time"], v["k"], v["alpha"])
	case "time-to-share":
		return timeToShare(v["biot"], v["alpha"], v["length"], v["place"], v["left"])
	case "wlf":
		return WLFShift(v["temperature"], v["reference"], v["glass"])
	case "force":
		ratio, err := ForceRatio(v["temperature"])
		return ratio.Middle, err
	}
	t.Fatalf("unknown form %q", form)
	return 0, nil
}

// timeToShare inverts the one-term solution for time.
func timeToShare(biot, alpha, length, place, left float64) (float64, error) {
	low, high := MinOneTermFourier, 1e3
	for range 100 {
		mid := (low + high) / 2
		share, err := OneTerm(biot, mid, place)
		if err != nil {
			return 0, err
		}
		if share > left {
			low = mid
		} else {
			high = mid
		}
	}
	return low * length * length / alpha, nil
}

func TestClosedFormsAgainstPublishedExamples(t *testing.T) {
	for _, row := range published(t, "heat-closed-forms.csv") {
		t.Run(row["name"], func(t *testing.T) {
			got, err := closedForm(t, row["form"], parseInputs(t, row["inputs"]))
			if err != nil {
				t.Fatal(err)
			}
			want, tolerance := number(t, row["want"]), number(t, row["tolerance"])
			if !(math.Abs(got-want) <= tolerance) {
				t.Errorf("got %.6g, want %g within %g (%s)", got, want, tolerance, row["source"])
			}
		})
	}
}

func TestTouchLimits(t *testing.T) {
	for _, row := range published(t, "heat-touch.csv") {
		t.Run(row["name"], func(t *testing.T) {
			got, err := TouchLimitC(Surface(row["surface"]), number(t, row["contact_s"]))
			if err != nil {
				t.Fatal(err)
			}
			if got != number(t, row["want_c"]) {
				t.Errorf("got %g, want %s (%s)", got, row["want_c"], row["source"])
			}
		})
	}
}

// cellAlone is the 5 mm pouch cell of the check table, at its middle properties.
func cellAlone(t *testing.T) Wall {
	t.Helper()
	m, err := MaterialNamed("pouch-cell")
	if err != nil {
		t.Fatal(err)
	}
	return Wall{{ThicknessM: 5e-3, Conductivity: m.Conductivity.Middle, VolumetricHeat: m.Density * m.SpecificHeat.Middle}}
}

func TestSolverOnThePhoneStack(t *testing.T) {
	far := Place{Sheet: 0, Back: true}
	for _, row := range published(t, "heat-phone-stack.csv") {
		t.Run(row["name"], func(t *testing.T) {
			r := number(t, row["resistance_m2kw"])
			insulated, room := Side{Insulated: true}, Side{TemperatureC: 20, ResistanceM2: 0.1}
			var got float64
			switch row["quantity"] {
			case "t90", "share600":
				run, err := Conduct(cellAlone(t), Side{TemperatureC: 1, ResistanceM2: r}, insulated, 0, 600, DefaultGrid, far)
				if err != nil {
					t.Fatal(err)
				}
				got = run.TempC[0][len(run.TimesS)-1]
				if row["quantity"] == "t90" {
					got = 60 * firstAtLeast(run.TimesS, 0.9, run.TempC[0]).Minutes
				}
			case "steady70":
				temps, err := Steady(cellAlone(t), Side{TemperatureC: 70, ResistanceM2: r}, room)
				if err != nil {
					t.Fatal(err)
				}
				got = temps[1]
			case "at600":
				run, err := Conduct(cellAlone(t), Side{TemperatureC: 70, ResistanceM2: r}, room, 20, 600, DefaultGrid, far)
				if err != nil {
					t.Fatal(err)
				}
				got = run.TempC[0][len(run.TimesS)-1]
			default:
				t.Fatalf("unknown quantity %q", row["quantity"])
			}
			want, tolerance := number(t, row["want"]), number(t, row["tolerance"])
			if !(math.Abs(got-want) <= tolerance) {
				t.Errorf("got %.6g, want %g within %g (%s)", got, want, tolerance, row["source"])
			}
		})
	}
}
