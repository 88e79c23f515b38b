package battery

import (
	"embed"
	"encoding/csv"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

//go:embed data/*.csv
var dataFiles embed.FS

// dataset is everything the CSV files hold, with the indexes made from it.
type dataset struct {
	tables     []Table
	limits     []Limits
	densities  []Density
	resistance map[string]Spread
	candidates *candidateLookup
}

// shipped is read once at start; a mistake in the embedded data is a broken
// build and stops the program.
var shipped = mustLoad()

func mustLoad() *dataset {
	d, err := load()
	if err != nil {
		panic(err)
	}
	return d
}

func load() (*dataset, error) {
	d := &dataset{resistance: map[string]Spread{}}
	for _, step := range []func(*dataset) error{loadTables, loadVoltages, loadLimits, loadDensities, loadResistance} {
		if err := step(d); err != nil {
			return nil, err
		}
	}
	var err error
	d.candidates, err = newCandidateLookup(d.tables)
	return d, err
}

func loadTables(d *dataset) error {
	return eachRow("tables", func(r row) error {
		c, err := ParseChemistry(r.text("chemistry"))
		if err != nil {
			return err
		}
		d.tables = append(d.tables, Table{
			Name:          r.text("name"),
			Chemistry:     c,
			LimitV:        Interval{r.number("limit_low_v"), r.number("limit_high_v")},
			How:           r.text("how"),
			Indicative:    r.yes("indicative"),
			PublishedMean: r.number("mean_v"),
			Source:        r.text("source"),
			Note:          r.text("note"),
		})
		return nil
	})
}

// loadVoltages fills the tables' columns and insists that they rise strictly:
// looking a charge up by its voltage needs that.
func loadVoltages(d *dataset) error {
	n := 0
	err := eachRow("ocv", func(r row) error {
		if n >= tableRows {
			return fmt.Errorf("more than %d rows", tableRows)
		}
		for i := range d.tables {
			t := &d.tables[i]
			t.soc[n], t.volts[n] = r.number("soc_percent"), r.number(t.Name)
			if n > 0 && (t.volts[n] <= t.volts[n-1] || t.soc[n] <= t.soc[n-1]) {
				return fmt.Errorf("%s does not rise at %g %%", t.Name, t.soc[n])
			}
		}
		n++
		return nil
	})
	if err == nil && n != tableRows {
		return fmt.Errorf("battery: data/ocv.csv has %d rows, not %d", n, tableRows)
	}
	return err
}

func loadLimits(d *dataset) error {
	return eachRow("chemistries", func(r row) error {
		c, err := ParseChemistry(r.text("chemistry"))
		if err != nil {
			return err
		}
		d.limits = append(d.limits, Limits{
			Chemistry:       c,
			Label:           r.text("label"),
			Rechargeable:    r.yes("rechargeable"),
			Nominal:         Interval{r.number("nominal_low_v"), r.number("nominal_high_v")},
			ChargeLimit:     Interval{r.number("limit_low_v"), r.number("limit_high_v")},
			CutOff:          Interval{r.number("cutoff_low_v"), r.number("cutoff_high_v")},
			HarmBelow:       r.number("harm_below_v"),
			DoubtfulBelow:   r.number("doubtful_below_v"),
			NoRechargeBelow: r.number("no_recharge_below_v"),
			HowKnown:        r.text("how_known"),
			Source:          r.text("source"),
			Note:            r.text("note"),
		})
		return nil
	})
}

func loadDensities(d *dataset) error {
	return eachRow("energy_density", func(r row) error {
		fs, err := parseForms(r.text("form"))
		if err != nil {
			return err
		}
		var cs ChemistrySet
		for _, w := range strings.Fields(r.text("chemistries")) {
			c, err := ParseChemistry(w)
			if err != nil {
				return err
			}
			cs |= Chemistries(c)
		}
		d.densities = append(d.densities, Density{
			Name: r.text("name"), Forms: fs, Chemistries: cs,
			WhPerLitre: Spread{r.number("whl_low"), r.number("whl_mid"), r.number("whl_high")},
			WhPerKg:    Spread{r.number("whkg_low"), r.number("whkg_mid"), r.number("whkg_high")},
			GramsPerCC: Interval{r.number("gcm3_low"), r.number("gcm3_high")},
			HowKnown:   r.text("how_known"), Source: r.text("source"), Note: r.text("note"),
		})
		return nil
	})
}

func loadResistance(d *dataset) error {
	return eachRow("resistance", func(r row) error {
		d.resistance[r.text("what")] = Spread{r.number("low_mohm"), r.number("middle_mohm"), r.number("high_mohm")}
		return nil
	})
}

// row is one line of a CSV file, read by column name. The first thing wrong
// with it is kept in err.
type row struct {
	fields map[string]string
	err    *error
}

func (r row) text(column string) string {
	v, ok := r.fields[column]
	if !ok {
		*r.err = errors.Join(*r.err, fmt.Errorf("no column %s", column))
	}
	return v
}

func (r row) number(column string) float64 {
	v, err := strconv.ParseFloat(r.text(column), 64)
	if err != nil || !finite(v) {
		*r.err = errors.Join(*r.err, fmt.Errorf("column %s: %q is no number", column, r.fields[column]))
		return 0
	}
	return v
}

func (r row) yes(column string) bool {
	v := r.text(column)
	if v != "yes" && v != "no" {
		*r.err = errors.Join(*r.err, fmt.Errorf("column %s: %q is neither yes nor no", column, v))
	}
	return v == "yes"
}

func eachRow(name string, use func(row) error) error {
	path := "data/" + name + ".csv"
	f, err := dataFiles.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil || len(records) < 2 {
		return fmt.Errorf("battery: %s has no rows or cannot be read: %w", path, err)
	}
	for i, record := range records[1:] {
		var wrong error
		r := row{map[string]string{}, &wrong}
		for j, column := range records[0] {
			r.fields[column] = record[j]
		}
		if err := errors.Join(use(r), wrong); err != nil {
			return fmt.Errorf("battery: %s line %d: %w", path, i+2, err)
		}
	}
	return nil
}
