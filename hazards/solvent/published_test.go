package solvent

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"loosecell/hazards"
)

// published reads a table of testdata/published by column name.
func published(t *testing.T, file string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/published/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	reader := csv.NewReader(f)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		out = append(out, row)
	}
	return out
}

func number(t *testing.T, row map[string]string, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(row[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return x
}

func exact(x float64) hazards.Estimate { return hazards.Estimate{Low: x, Middle: x, High: x} }

func near(t *testing.T, got, want, tolerancePercent float64, source string) {
	t.Helper()
	if math.Abs(got-want) > math.Abs(want)*tolerancePercent/100 {
		t.Errorf("got %.5g, %s has %.5g (within %g %%)", got, source, want, tolerancePercent)
	}
}

func find(t testing.TB, name string) Liquid {
	t.Helper()
	l, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestPropertyTable(t *testing.T) {
	for _, row := range published(t, "solvent-property.csv") {
		t.Run(row["liquid"]+" "+row["quantity"]+" "+row["temperature_c"], func(t *testing.T) {
			l := find(t, row["liquid"])
			read := map[string]func(hazards.Estimate) (hazards.Estimate, error){
				"pressure": l.VapourPressurePa, "density": l.Density,
				"viscosity": l.Viscosity, "tension": l.SurfaceTension,
			}[row["quantity"]]
			got, err := read(exact(number(t, row, "temperature_c")))
			if err != nil {
				t.Fatal(err)
			}
			near(t, got.Middle, number(t, row, "expected"), number(t, row, "tolerance_percent"), row["source"])
		})
	}
}

func TestWickingTable(t *testing.T) {
	for _, row := range published(t, "solvent-wicking.csv") {
		t.Run(row["case"], func(t *testing.T) {
			eta, gamma := number(t, row, "viscosity_pa_s"), number(t, row, "tension_n_m")
			gap, length := number(t, row, "gap_m"), number(t, row, "length_m")
			angle, seconds := number(t, row, "angle_deg"), number(t, row, "seconds")
			var got float64
			var err error
			want := seconds
			switch row["form"] {
			case "plate":
				got, err = PlateWickSeconds(eta, gamma, gap, length, angle)
			case "tube":
				got, err = TubeWickSeconds(eta, gamma, gap, length, angle)
			case "length":
				got, err = PlateWickLengthM(eta, gamma, gap, seconds, angle)
				want = length
			}
			if err != nil {
				t.Fatal(err)
			}
			near(t, got, want, number(t, row, "tolerance_percent"), row["source"])
		})
	}
}

func TestEvaporationTable(t *testing.T) {
	ipa := find(t, "isopropanol-99")
	middle := func(e hazards.Estimate, err error) (float64, error) { return e.Middle, err }
	reckon := map[string]func() (float64, error){
		"pool form U 0.2 d 0.1 Sc 1.5":     func() (float64, error) { return PoolMassTransferMPerS(0.2, 0.1, 1.5) },
		"EPA form U 0.2 M 60.1":            func() (float64, error) { return MassTransferMPerS(0.2, 60.1) },
		"isopropanol rate 20 degC U 0.2":   func() (float64, error) { return middle(ipa.Evaporation(exact(0.2), exact(20))) },
		"isopropanol 1 mL on 20 cm2 U 0.2": func() (float64, error) { return middle(ipa.FilmMinutes(exact(1), exact(20), exact(0.2), exact(20))) },
		"isopropanol 1 mL on 20 cm2 U 0.5": func() (float64, error) { return middle(ipa.FilmMinutes(exact(1), exact(20), exact(0.5), exact(20))) },
		"isopropanol rate 20 degC U 1 by the guidance in pounds and feet": func() (float64, error) {
			return middle(ipa.Evaporation(exact(1), exact(20)))
		},
		"isopropanol trapped 35 mm 20 degC": func() (float64, error) {
			e, err := ipa.TrappedDays(exact(35), exact(20))
			return e.Middle * 86400, err
		},
	}
	for _, row := range published(t, "solvent-evaporation.csv") {
		t.Run(row["case"], func(t *testing.T) {
			f, ok := reckon[row["case"]]
			if !ok {
				t.Fatal("no such case in the test")
			}
			got, err := f()
			if err != nil {
				t.Fatal(err)
			}
			near(t, got, number(t, row, "expected"), number(t, row, "tolerance_percent"), row["source"])
		})
	}
}

func TestVapourTable(t *testing.T) {
	for _, row := range published(t, "solvent-vapour.csv") {
		t.Run(row["liquid"]+" "+row["quantity"]+" "+row["dose_ml"], func(t *testing.T) {
			l, warm := find(t, row["liquid"]), exact(number(t, row, "temperature_c"))
			got, err := l.VapourLitres(exact(number(t, row, "dose_ml")), warm)
			if row["quantity"] == "saturation" {
				got, err = l.SaturationPpm(warm)
				got.Middle /= 1e4
			}
			if err != nil {
				t.Fatal(err)
			}
			near(t, got.Middle, number(t, row, "expected"), number(t, row, "tolerance_percent"), row["source"])
		})
	}
}

func TestREDTable(t *testing.T) {
	for _, row := range published(t, "solvent-red.csv") {
		t.Run(row["liquid"]+" "+row["polymer"], func(t *testing.T) {
			got, err := RED(row["liquid"], row["polymer"])
			if err != nil {
				t.Fatal(err)
			}
			if want := number(t, row, "red"); math.Abs(got-want) > number(t, row, "tolerance") {
				t.Errorf("got %.3f, want %.2f by %s", got, want, row["source"])
			}
		})
	}
}

func TestLimitsTable(t *testing.T) {
	for _, row := range published(t, "solvent-limits.csv") {
		t.Run(row["liquid"]+" "+row["quantity"], func(t *testing.T) {
			l := find(t, row["liquid"])
			got := map[string]float64{
				"idlh": l.Limits.IDLHPpm, "day": l.Limits.DayPpm, "short": l.Limits.ShortTermPpm,
				"flash": l.Fire.FlashLowC, "lfl": l.Fire.LFLLow,
			}[row["quantity"]]
			if want := number(t, row, "expected"); got != want {
				t.Errorf("got %g, %s has %g", got, row["source"], want)
			}
		})
	}
}
