package room

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

func TestPurgeTable(t *testing.T) {
	for _, row := range published(t, "room-purge.csv") {
		for column, remaining := range map[string]float64{"minutes_90": 0.1, "minutes_99": 0.01, "minutes_999": 0.001} {
			t.Run(row["air_changes_per_hour"]+" "+column, func(t *testing.T) {
				got, err := PurgeMinutes(exact(number(t, row, "air_changes_per_hour")), remaining, exact(1))
				if err != nil {
					t.Fatal(err)
				}
				if want := number(t, row, column); math.Abs(got.Middle-want) > 0.501 {
					t.Errorf("got %.2f min, the CDC table has %g", got.Middle, want)
				}
			})
		}
	}
	got, err := PurgeMinutes(exact(6), 0.01, MixingFactor())
	if err != nil {
		t.Fatal(err)
	}
	near(t, got.Middle, 46.05, 0.2, "check value")
	near(t, got.High, 460.5, 0.2, "CDC mixing factor of 10")
}

func TestBoxTable(t *testing.T) {
	for _, row := range published(t, "room-box.csv") {
		t.Run(row["case"], func(t *testing.T) {
			box, err := NewBox(exact(number(t, row, "volume_m3")), exact(number(t, row, "air_changes_per_hour")))
			if err != nil {
				t.Fatal(err)
			}
			release := Release{exact(number(t, row, "litres")), exact(number(t, row, "release_min"))}
			got, err := box.Ppm(release, number(t, row, "minutes"))
			if err != nil {
				t.Fatal(err)
			}
			near(t, got.Middle, number(t, row, "expected_ppm"), number(t, row, "tolerance_percent"), row["source"])
		})
	}
}

func TestConversionTable(t *testing.T) {
	for _, row := range published(t, "room-conversion.csv") {
		t.Run(row["gas"], func(t *testing.T) {
			molar := number(t, row, "molar_mass")
			got, err := MgPerM3FromPpm(1, molar, 25)
			if err != nil {
				t.Fatal(err)
			}
			near(t, got, number(t, row, "mg_m3_a_ppm"), number(t, row, "tolerance_percent"), row["source"])
			back, err := PpmFromMgPerM3(got, molar, 25)
			if err != nil {
				t.Fatal(err)
			}
			near(t, back, 1, 1e-9, "the inverse")
		})
	}
}

func TestAirTable(t *testing.T) {
	quarterLFL, err := QuarterOfLFL(2)
	if err != nil {
		t.Fatal(err)
	}
	steady := exact(0.628 * 6) // L/h
	box := Box{exact(30), exact(0.5)}
	reckon := map[string]func() (hazards.Estimate, error){
		"steady ppm of 2 mL isopropanol each 10 min in 30 m3 at 0.5 an hour": func() (hazards.Estimate, error) { return box.SteadyPpm(steady) },
		"air for that at a quarter of 2 %":                                   func() (hazards.Estimate, error) { return MinimumAirM3PerHour(steady, quarterLFL) },
		"air for that at 400 ppm":                                            func() (hazards.Estimate, error) { return MinimumAirM3PerHour(steady, 400) },
		"litres of air 1 mL isopropanol brings to 2 %":                       func() (hazards.Estimate, error) { return AirToLFLLitres(exact(0.314), 2) },
		"ppm of 1.5 g hydrogen fluoride in 40 m3":                            func() (hazards.Estimate, error) { x, err := PpmFromMgPerM3(37.5, 20.006, 25); return exact(x), err },
		"minutes from 45.8 to 3 ppm at 4 an hour":                            func() (hazards.Estimate, error) { return ClearMinutes(exact(45.8), 3, exact(4), exact(1)) },
		"minutes from 45.8 to 1 ppm at 4 an hour":                            func() (hazards.Estimate, error) { return ClearMinutes(exact(45.8), 1, exact(4), exact(1)) },
		"office of 100 m2 by 2.7 m": func() (hazards.Estimate, error) {
			x, err := DesignAirChanges(2.5, 0.3, 0.05, 2.7)
			return exact(x), err
		},
		"workshop of 100 m2 by 3 m": func() (hazards.Estimate, error) { x, err := DesignAirChanges(5, 0.9, 0.2, 3); return exact(x), err },
	}
	for _, row := range published(t, "room-air.csv") {
		t.Run(row["case"], func(t *testing.T) {
			f, ok := reckon[row["case"]]
			if !ok {
				t.Fatal("no such case in the test")
			}
			got, err := f()
			if err != nil {
				t.Fatal(err)
			}
			near(t, got.Middle, number(t, row, "expected"), number(t, row, "tolerance_percent"), row["source"])
		})
	}
}
