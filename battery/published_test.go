package battery

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The files under testdata/published hold what documents print, each line
// with its source. A wrong line means wrong code; the files are not adjusted.

type line struct {
	t      *testing.T
	fields map[string]string
}

func published(t *testing.T, file string, check func(*testing.T, line)) {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "published", file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(records) < 2 {
		t.Fatalf("%s is empty", file)
	}
	for _, r := range records[1:] {
		fields := map[string]string{}
		for i, c := range records[0] {
			fields[c] = r[i]
		}
		t.Run(fields["name"], func(t *testing.T) {
			if fields["source"] == "" {
				t.Fatal("no source")
			}
			check(t, line{t, fields})
		})
	}
}

func (l line) number(column string) float64 {
	l.t.Helper()
	v, err := strconv.ParseFloat(l.fields[column], 64)
	if err != nil {
		l.t.Fatalf("%s: %v", column, err)
	}
	return v
}

func (l line) maybe(low, high string) Maybe {
	if l.fields[low] == "" {
		return Maybe{}
	}
	return Given(Interval{l.number(low), l.number(high)})
}

func (l line) near(got float64, expected, tolerance string) {
	l.t.Helper()
	want, off := l.number(expected), l.number(tolerance)
	if math.Abs(got-want) > off+1e-12 {
		l.t.Errorf("got %v, published %v +- %v (%s)", got, want, off, l.fields["source"])
	}
}

func (l line) table() Table {
	l.t.Helper()
	table, err := TableNamed(l.fields["table"])
	if err != nil {
		l.t.Fatal(err)
	}
	return table
}

func TestPublishedVoltages(t *testing.T) {
	published(t, "battery-voltage-tables.csv", func(t *testing.T, l line) {
		table := l.table()
		got, err := table.Voltage(l.number("soc_percent"))
		if err != nil {
			t.Fatal(err)
		}
		l.near(got, "expected_v", "tolerance_v")
	})
}

func TestPublishedCharges(t *testing.T) {
	published(t, "battery-charge-readings.csv", func(t *testing.T, l line) {
		table := l.table()
		got, err := table.Charge(l.number("rest_v"))
		if err != nil {
			t.Fatal(err)
		}
		l.near(got, "expected_percent", "tolerance_points")
	})
}

// The means printed with the tables are of the rows at each 5 %, except one
// that is of all rows; the finer rows near the ends raise a mean by up to 10 mV.
func TestPublishedMeans(t *testing.T) {
	published(t, "battery-mean-voltage.csv", func(t *testing.T, l line) {
		table := l.table()
		fine := table.meanBetween(0, 100)
		if l.fields["rows"] == "all" {
			l.near(fine, "expected_v", "tolerance_v")
			return
		}
		sum := 0.0
		for soc := 0.0; soc < 100; soc += 5 {
			a, _ := table.Voltage(soc)
			b, _ := table.Voltage(soc + 5)
			sum += (a + b) / 2 * 5
		}
		l.near(sum/100, "expected_v", "tolerance_v")
		if d := fine - sum/100; d < 0 || d > 0.010 {
			t.Errorf("mean of all rows differs by %v V from that of the 5 %% rows", d)
		}
	})
}

func TestPublishedEnergy(t *testing.T) {
	published(t, "battery-energy.csv", func(t *testing.T, l line) {
		a, b := l.number("a"), l.number("b")
		var got float64
		switch l.fields["kind"] {
		case "product":
			e, err := RatedEnergy(EnergyFacts{NominalVolts: GivenExactly(a), CapacityAh: GivenExactly(b)})
			if err != nil || !e.Wh.IsExact() || e.Basis != FromVoltsAndCapacity {
				t.Fatalf("%+v, %v", e, err)
			}
			got = e.Wh.High
		case "per_kg", "per_litre":
			got = a / b * 1000
		case "ratio":
			got = a / b
		}
		l.near(got, "expected", "tolerance")
	})
}

// The three sizes worked out in the file must lie in our density ranges.
func TestDensitiesHoldThePublishedCells(t *testing.T) {
	for _, c := range []struct {
		row             string
		whPerL, whPerKg float64 // specification sheets; 0 = not given
		gramsPerCC      float64
		source          string
	}{
		{"pouch-4.20", 450, 200, 2.25, "1350 mAh sheet, 5.0x37x60 mm, 25 g"},
		{"pouch-modern", 625, 0, 0, "2.8 Ah cell, size code 3.5x64x77 mm"},
		{"pouch-wearable", 0, 194, 0, "105 mAh sheet, 2 g"},
		{"cylinder-layered-oxide", 750, 0, 0, "Chen et al. 2020, 24.2 mL"},
		{"lfp-cylinder", 364, 142, 0, "4 Ah 26650 sheet, at most 90 g"},
		{"sodium-cell", 0, 120, 0, "1.5 Ah at 3.0 V, 37.5 g"},
	} {
		d, err := DensityNamed(c.row)
		if err != nil {
			t.Fatal(err)
		}
		if c.whPerL != 0 && !d.WhPerLitre.Range().Contains(c.whPerL) ||
			c.whPerKg != 0 && !d.WhPerKg.Range().Contains(c.whPerKg) ||
			c.gramsPerCC != 0 && !d.GramsPerCC.Contains(c.gramsPerCC) {
			t.Errorf("%s does not hold %s", c.row, c.source)
		}
	}
}

func TestPublishedUnits(t *testing.T) {
	published(t, "battery-units.csv", func(t *testing.T, l line) {
		got, err := TransportUnit(l.maybe("series_low", "series_high"), l.maybe("parallel_low", "parallel_high"))
		if err != nil {
			t.Fatal(err)
		}
		for _, u := range []Unit{UnitCell, UnitBattery} {
			if want := strings.Contains(l.fields["expected"], u.String()); got.Has(u) != want {
				t.Errorf("%s possible: %v, want %v", u, got.Has(u), want)
			}
		}
	})
}

func TestPublishedSeries(t *testing.T) {
	published(t, "battery-series.csv", func(t *testing.T, l line) {
		var cs ChemistrySet
		for _, w := range strings.Fields(l.fields["chemistries"]) {
			c, err := ParseChemistry(w)
			if err != nil {
				t.Fatal(err)
			}
			cs |= Chemistries(c)
		}
		got, err := SeriesCells(cs, l.maybe("nominal_low_v", "nominal_high_v"), l.maybe("limit_low_v", "limit_high_v"))
		if err != nil {
			t.Fatal(err)
		}
		if want := (Interval{l.number("expected_low"), l.number("expected_high")}); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	})
}
