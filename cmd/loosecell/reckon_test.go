package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"loosecell/cmd/loosecell/internal/reckoning"
)

// reckonChecks reads the table of published and worked values; lines that begin
// with # are remarks.
func reckonChecks(t *testing.T) []map[string]string {
	t.Helper()
	f, err := os.Open(testdata("published", "reckon.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// reckonJSON runs one command line of reckon.
func reckonJSON(t *testing.T, args ...string) reckoning.Report {
	t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), append(append([]string{"reckon"}, args...), "--format", "json"), strings.NewReader(""), &out, &errs); code != exitAdvice {
		t.Fatalf("reckon %v: exit code %d\n%s", args, code, errs.String())
	}
	var report reckoning.Report
	if err := json.Unmarshal(out.Bytes(), &report); err != nil {
		t.Fatal(err)
	}
	return report
}

func find(t *testing.T, r reckoning.Report, name, which string) float64 {
	t.Helper()
	var names []string
	for _, res := range r.Results {
		names = append(names, res.Name)
		if res.Name != name || res.Low == nil {
			continue
		}
		return map[string]float64{"low": *res.Low, "middle": *res.Middle, "high": *res.High}[which]
	}
	t.Fatalf("no number %q among %v", name, names)
	return 0
}

func TestReckonAgainstPublishedValues(t *testing.T) {
	for _, row := range reckonChecks(t) {
		t.Run(row["check"], func(t *testing.T) {
			args := strings.Fields(row["command"])
			for i, a := range args {
				args[i] = strings.ReplaceAll(a, "|", ",") // commas of a curve, which the table cannot hold
			}
			want, err := strconv.ParseFloat(row["expected"], 64)
			if err != nil {
				t.Fatal(err)
			}
			tolerance, err := strconv.ParseFloat(row["tolerance_pct"], 64)
			if err != nil {
				t.Fatal(err)
			}
			got := find(t, reckonJSON(t, args...), row["result"], row["which"])
			if !(math.Abs(got-want) <= math.Abs(want)*tolerance/100+1e-12) {
				t.Errorf("%s is %v, %s has %v within %v %%", row["result"], got, row["source"], want, tolerance)
			}
		})
	}
}

// moments are results that are one end of something.
var moments = regexp.MustCompile(`_(earliest|expected|latest|set_point|at_most)$`)

// TestReckonWidensWithItsInputs: a range in place of a number gives a range that
// holds the number's answer.
func TestReckonWidensWithItsInputs(t *testing.T) {
	for _, c := range []struct{ name, model, exact, wide string }{
		{"energy", "energy", "--volts 3.85V --ah 4.5Ah --charge 30%", "--volts 3.7..3.9V --ah 4..5Ah --charge 20..40%"},
		{"wicking", "solvent", "--solvent isopropanol-99 --gap 0.1mm --length 30mm", "--solvent isopropanol-99 --gap 0.05..0.2mm --length 20..40mm"},
		{"dose", "solvent", "--length 90mm --width 60mm --gap 0.05mm", "--length 80..100mm --width 50..70mm --gap 0.03..0.1mm"},
		{"vapour", "solvent", "--solvent isopropanol-99 --dose 1mL --room-volume 30m3 --air-changes 1/h", "--solvent isopropanol-99 --dose 0.5..2mL --room-volume 20..50m3 --air-changes 0.5..2/h"},
		{"failure", "room", "--wh 15Wh --charge 50% --chemistry nmc --room-volume 30m3 --air-changes 1/h", "--wh 10..20Wh --charge 20..80% --room-volume 20..50m3 --air-changes 0.5..2/h"},
		{"warming", "heat", "--stack phone-back-glass --set-point 60degC --minutes 2min --temperature 20degC", "--stack phone-back-glass --set-point 55..60degC --minutes 2min --temperature 15..25degC"},
		{"device", "discharge", "--device phone --wh 15Wh --from 80% --to 25%", "--device phone --wh 10..20Wh --from 60..90% --to 25%"},
		{"resistor", "discharge", "--ah 3Ah --from 80% --to 25% --resistor 20ohm --table phone-4.40-after-discharge", "--ah 2.9..3.1Ah --from 70..90% --to 25% --resistor 20ohm --table phone-4.40-after-discharge"},
	} {
		t.Run(c.name, func(t *testing.T) {
			narrow := reckonJSON(t, append([]string{c.model}, strings.Fields(c.exact)...)...)
			wide := map[string]reckoning.Result{}
			for _, r := range reckonJSON(t, append([]string{c.model}, strings.Fields(c.wide)...)...).Results {
				wide[r.Name] = r
			}
			for _, r := range narrow.Results {
				w, ok := wide[r.Name]
				if r.Low == nil || !ok || w.Low == nil || moments.MatchString(r.Name) {
					continue // a moment is one end of a passage by itself
				}
				if slack := 1e-9 * (1 + math.Abs(*r.High)); *w.Low > *r.Low+slack || *w.High < *r.High-slack {
					t.Errorf("%s: %v..%v from ranges does not hold %v..%v from numbers", r.Name, *w.Low, *w.High, *r.Low, *r.High)
				}
			}
		})
	}
}
