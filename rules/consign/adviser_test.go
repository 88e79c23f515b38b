package consign

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"loosecell/rules/book"
	"loosecell/rules/facts"
)

func adviser(t testing.TB, on string) Adviser {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return Adviser{Book: b, On: on}
}

// packed reads and packs a CSV list with the shipped rulebook.
func packed(t testing.TB, list string, q Request) *Consignment {
	t.Helper()
	rows, err := Read(facts.Shipped(), "list.csv", []byte(list))
	if err != nil {
		t.Fatal(err)
	}
	out, err := Build(rows, q, adviser(t, q.On))
	if err != nil {
		t.Fatal(err)
	}
	lawful(t, rows, out)
	return out
}

const header = "job.id,count,device.kind,battery.chemistry,battery.series_cells,battery.parallel_cells,battery.rated_energy [Wh],battery.mass [g]," +
	"battery.looked,battery.history_asked,battery.swelling,battery.rest_voltage [V],battery.volts_at,battery.terminals,battery.test_summary," +
	"battery.wh_printed,battery.lithium_content [g],battery.gauge_charge [%],dispatch.purpose,dispatch.destination,dispatch.discarded_by\n"

// cell is one row of a list: sound and tested unless said otherwise.
func cell(id string, count int, wh, grams float64, change ...string) string {
	f := map[string]string{"kind": "phone", "chem": "lco", "s": "1", "p": "1", "looked": "both-faces", "asked": "yes", "swelling": "none",
		"v": "3.6", "summary": "yes", "purpose": "reuse", "destination": "customer", "by": "business"}
	for _, c := range change {
		k, v, _ := strings.Cut(c, "=")
		f[k] = v
	}
	energy := fmt.Sprint(wh)
	if wh == 0 {
		energy = ""
	}
	return strings.Join([]string{id, fmt.Sprint(count), f["kind"], f["chem"], f["s"], f["p"], energy, fmt.Sprint(grams), f["looked"], f["asked"],
		f["swelling"], f["v"], "cell", "covered", f["summary"], "yes", f["li"], f["gauge"], f["purpose"], f["destination"], f["by"]}, ",") + "\n"
}

func road(place string) Request {
	return Request{Mode: "road", On: "2026-06-01", Jurisdiction: place, Packing: "by-itself"}
}

// What lies in how many packages, on what basis. Published: ADR 2025 SP 188 (a)
// and (h), SP 376, SP 377, SP 636, P908, P909; PI 965-IB (10 kg net) and 968-IB
// (2.5 kg net); 49 CFR 173.185(c), (d) and (f).
func TestPackagesByLaw(t *testing.T) {
	recycle := []string{"purpose=recycle", "destination=sorter"}
	air := Request{Mode: "air-cargo", On: "2026-06-01", Jurisdiction: "un", Packing: "by-itself"}
	for name, c := range map[string]struct {
		list     string
		q        Request
		packages int
		aside    int
		scheme   string
		basis    string
	}{
		"20.0 Wh is small":                     {cell("a", 10, 20, 90), road("eu"), 1, 0, "small", "SP 188"},
		"20.1 Wh is not":                       {cell("a", 10, 20.1, 90), road("eu"), 1, 0, "full", "P903"},
		"3S 100.0 Wh is small":                 {cell("a", 1, 100, 600, "s=3", "v=10.8", "kind=laptop"), road("eu"), 1, 0, "small", "SP 188"},
		"3S 100.1 Wh is not":                   {cell("a", 1, 100.1, 600, "s=3", "v=10.8", "kind=laptop"), road("eu"), 1, 0, "full", "P903"},
		"30 kg gross: 452 cells of 60 g":       {cell("a", 452, 15, 60), road("eu"), 1, 0, "small", "SP 188"},
		"and one more":                         {cell("a", 453, 15, 60), road("eu"), 2, 0, "small", "SP 188"},
		"swollen: P908":                        {cell("a", 3, 15, 60, "swelling=slight"), road("eu"), 1, 0, "damaged", "P908"},
		"swollen in the US: one a package":     {cell("a", 3, 15, 60, "swelling=slight"), road("us"), 3, 0, "us-damaged", "173.185(f)"},
		"sound and swollen apart":              {cell("a", 3, 15, 60) + cell("b", 3, 15, 60, "swelling=slight"), road("eu"), 2, 0, "", ""},
		"to the sorter: SP 636":                {cell("a", 3, 15, 60, recycle...), road("eu"), 1, 0, "collection", "SP 636"},
		"500 g to the sorter":                  {cell("a", 1, 15, 500, recycle...), road("eu"), 1, 0, "collection", "SP 636"},
		"501 g to the sorter: SP 377":          {cell("a", 1, 15, 501, recycle...), road("eu"), 1, 0, "waste", "SP 377"},
		"to a recycler: SP 377":                {cell("a", 3, 15, 60, "purpose=recycle", "destination=recycler"), road("eu"), 1, 0, "waste", "SP 377"},
		"US recycling by motor vehicle":        {cell("a", 3, 15, 60, "purpose=recycle", "destination=recycler"), road("us"), 1, 0, "us-recycling", "173.185(d)"},
		"US 60 Wh cell by road":                {cell("a", 1, 60, 300), road("us"), 1, 0, "small", "173.185(c)"},
		"US 60.1 Wh cell by road":              {cell("a", 1, 60.1, 300), road("us"), 1, 0, "full", "173.185(b)"},
		"waste by sea":                         {cell("a", 3, 15, 60, recycle...), Request{Mode: "sea", On: "2026-06-01", Jurisdiction: "un", Packing: "by-itself"}, 1, 0, "waste", "SP 377"},
		"waste by air: no":                     {cell("a", 3, 15, 60, recycle...), air, 0, 3, "", ""},
		"swollen by air: never":                {cell("a", 3, 15, 60, "swelling=slight", "gauge=20"), air, 0, 3, "", ""},
		"air at 30 %":                          {cell("a", 3, 15, 60, "gauge=30"), air, 1, 0, "air-small", "PI 965-IB"},
		"air at 31 %":                          {cell("a", 3, 15, 60, "gauge=31"), air, 0, 3, "", ""},
		"air, 10 kg net: 166 of 60 g":          {cell("a", 166, 15, 60, "gauge=20"), air, 1, 0, "air-small", "PI 965-IB"},
		"air, 167 of 60 g":                     {cell("a", 167, 15, 60, "gauge=20"), air, 2, 0, "air-small", "PI 965-IB"},
		"no loose ion with passengers":         {cell("a", 1, 15, 60, "gauge=20"), Request{Mode: "air-passenger", On: "2026-06-01", Jurisdiction: "un", Packing: "by-itself"}, 0, 1, "", ""},
		"untested, not waste":                  {cell("a", 1, 15, 60, "summary=no"), road("eu"), 0, 1, "", ""},
		"lithium metal apart from lithium ion": {cell("a", 3, 15, 60, recycle...) + cell("b", 3, 0, 3, append([]string{"chem=li-metal", "li=0.1", "v=3", "kind=other"}, recycle...)...), road("eu"), 2, 0, "", ""},
		"household's apart from business's":    {cell("a", 3, 15, 60, recycle...) + cell("b", 3, 15, 60, append([]string{"by=household"}, recycle...)...), road("eu"), 2, 0, "", ""},
		"waste apart from what is reused":      {cell("a", 3, 15, 60) + cell("b", 3, 15, 60, recycle...), road("eu"), 2, 0, "", ""},
		"far over its limit: critical":         {cell("a", 1, 15, 60, "swelling=severe", "v=9"), road("eu"), 0, 1, "", ""},
		"no place said: nothing goes by road":  {cell("a", 1, 15, 60), Request{Mode: "road", On: "2026-06-01", Packing: "by-itself"}, 0, 1, "", ""},
		"air law is no law of the road":        {cell("a", 1, 15, 60), road("un"), 0, 1, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			out := packed(t, header+c.list, c.q)
			if out.Counts.Packages != c.packages || out.Counts.SetAside != c.aside {
				t.Fatalf("%d packages and %d set aside, want %d and %d: %+v %+v", out.Counts.Packages, out.Counts.SetAside, c.packages, c.aside, out.Packages, out.SetAside)
			}
			for _, p := range out.Packages {
				if c.scheme != "" && p.Scheme != c.scheme || c.basis != "" && !slices.Contains(p.Basis, c.basis) {
					t.Errorf("packed as %s on %v, want %s on %s", p.Scheme, p.Basis, c.scheme, c.basis)
				}
			}
		})
	}
}

// Devices with their battery inside. Published: SP 188 (f)(ii), counted in each
// package: two and four cells want no mark, five do. Postal rules: four cells in
// a parcel.
func TestInEquipment(t *testing.T) {
	for name, c := range map[string]struct {
		mode     string
		phones   int
		packages int
		mark     bool
	}{
		"2 phones by road": {"road", 2, 1, false},
		"4 phones by road": {"road", 4, 1, false},
		"5 phones by road": {"road", 5, 1, true},
		"4 phones by post": {"post", 4, 1, false},
		"5 phones by post": {"post", 5, 2, false},
		"5 phones by air":  {"air-passenger", 5, 1, true},
	} {
		q := Request{Mode: c.mode, On: "2026-06-01", Jurisdiction: "eu", Packing: "in-equipment"}
		out := packed(t, header+cell("a", c.phones, 15, 60, "gauge=20"), q)
		if out.Counts.Packages != c.packages || out.Counts.SetAside != 0 {
			t.Errorf("%s: %+v %+v", name, out.Counts, out.SetAside)
			continue
		}
		for _, p := range out.Packages {
			if p.UNNumber != "UN 3481" || strings.Contains(strings.Join(p.Marks, " "), "Battery mark with") != c.mark {
				t.Errorf("%s: %s, marks %q", name, p.UNNumber, p.Marks)
			}
		}
	}
}

// The line of one vehicle under SP 636 (b): 333 kg is in, more is not.
func TestCollectionLoad(t *testing.T) {
	list := func(cells int) string {
		return header + cell("a", cells, 15, 500, "purpose=recycle", "destination=sorter")
	}
	out := packed(t, list(666), road("eu"))
	if p := out.Packages[0]; p.Scheme != "collection" || out.Totals.Collection == nil || !out.Totals.Collection.Within || out.Totals.Collection.Value != 333 {
		t.Errorf("333 kg: %s, %+v", p.Scheme, out.Totals.Collection)
	}
	out = packed(t, list(667), road("eu"))
	if p := out.Packages[0]; p.Scheme != "waste" || out.Totals.Points == nil || out.Totals.Points.Within {
		t.Errorf("333.5 kg: %s, points %+v", p.Scheme, out.Totals.Points)
	}
}

// 1.1.3.6.4: 333 kg of transport category 2 is 999 points.
func TestPoints(t *testing.T) {
	for grams, within := range map[float64]bool{333: true, 334: false} {
		out := packed(t, header+cell("a", 1000, 25, grams), road("eu"))
		if p := out.Totals.Points; p == nil || p.Within != within || p.Value != 3*grams {
			t.Errorf("%g kg: %+v", grams, p)
		}
	}
}

func TestSortFindsWhatALookWouldMove(t *testing.T) {
	list := header + cell("a", 4, 15, 60, "purpose=recycle", "destination=sorter") +
		cell("b", 31, 15, 60, "purpose=recycle", "destination=sorter", "looked=", "asked=", "swelling=", "v=") +
		cell("c", 2, 15, 60, "purpose=recycle", "destination=sorter", "swelling=slight")
	out := packed(t, list, road("eu"))
	s := out.Sort
	if s == nil || s.Cells != 31 || !slices.Equal(s.Rows, []string{"b"}) || s.PackagesThen != 2 || s.AsideThen != 0 || s.Minutes != 155 {
		t.Fatalf("sort %+v", s)
	}
	if !strings.Contains(s.Text, "31 to look at") || !strings.Contains(s.Text, "2 packages") {
		t.Errorf("text %q", s.Text)
	}
	if out.Collection == nil || out.Collection.Open != "partly" {
		t.Errorf("collection %+v", out.Collection)
	}
	var records []string
	for _, a := range out.Assessments {
		records = append(records, a.Row)
	}
	if !slices.Equal(records, []string{"b", "c"}) {
		t.Errorf("assessment records for %v", records)
	}
}

func TestMassNobodyWeighed(t *testing.T) {
	out := packed(t, strings.Replace(header, "battery.mass [g],", "", 1)+strings.Replace(cell("a", 2, 15, 60), ",60,", ",", 1), road("eu"))
	// 15 Wh at 50 Wh/kg, the least that any such cell is taken to hold: 300 g.
	if m := out.Cells[0].MassG; m == nil || *m != 300 || out.Cells[0].MassFrom != "taken" || out.Packages[0].MassKnown {
		t.Errorf("mass %v from %s", m, out.Cells[0].MassFrom)
	}
	if !strings.Contains(strings.Join(out.Checks, " "), "not weighed") {
		t.Errorf("checks %q", out.Checks)
	}
}

func TestDateOfAList(t *testing.T) {
	read := func(list string) []Row {
		rows, err := Read(facts.Shipped(), "a.csv", []byte(list))
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	today := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	if day, err := Date(read("job.id,dispatch.date\na,2026-12-01\nb,\n"), today); day != "2026-12-01" || err != nil {
		t.Errorf("%s, %v", day, err)
	}
	if day, err := Date(read("job.id\na\n"), today); day != "2026-11-24" || err != nil {
		t.Errorf("%s, %v", day, err)
	}
	if _, err := Date(read("job.id,dispatch.date\na,2026-12-01\nb,2026-12-02\n"), today); err == nil || !strings.Contains(err.Error(), "a.csv:3:3: ") {
		t.Errorf("%v", err)
	}
}

// The whole rulebook under random lists: the laws hold, nothing damaged flies,
// and every package as packed is allowed.
func TestBuildWithTheRulebook(t *testing.T) {
	shipped := adviser(t, "2026-11-24")
	rapid.Check(t, func(t *rapid.T) {
		rows := drawnList(t)
		q := Request{Mode: rapid.SampledFrom(Modes).Draw(t, "mode"), On: "2026-11-24"}
		out, err := Build(rows, q, shipped)
		if err != nil {
			t.Fatal(err)
		}
		lawful(t, rows, out)
		for _, p := range out.Packages {
			if p.State != "not-damaged" && (strings.HasPrefix(q.Mode, "air") || q.Mode == "post") {
				t.Fatalf("a package that is %s goes by %s", p.State, q.Mode)
			}
			if len(p.Basis) == 0 || p.UNNumber == "" || p.Inner == "" || p.Source == "" {
				t.Fatalf("package %+v", p)
			}
		}
	})
}

// The cell that may leak counts as critical for the hands and waits; the others
// that are set aside are those nobody has looked at. The demo list of the README.
func TestHarbourLaneDay(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "cells", "harbour-lane-day.csv"))
	if err != nil {
		t.Fatal(err)
	}
	out := packed(t, string(data), Request{Mode: "road", On: "2026-11-24", Jurisdiction: "eu", Packing: "by-itself"})
	if out.Counts.Cells != 49 || out.Sort == nil || out.Sort.Cells != 31 || out.Counts.SetAside != 32 {
		t.Errorf("counts %+v, sort %+v", out.Counts, out.Sort)
	}
	data, err = json.Marshal(out)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema(t).Validate(doc); err != nil {
		t.Error(err)
	}
	for _, p := range out.Packages {
		if p.Scheme == "damaged" && !strings.Contains(strings.Join(p.Marks, " "), "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES") {
			t.Errorf("marks %q", p.Marks)
		}
	}
}

func BenchmarkBuild(b *testing.B) {
	shipped := adviser(b, "2026-11-24")
	list := header
	for i := range 100 {
		list += cell(fmt.Sprint("HL-", i), 1+i%9, 8+float64(i)/10, 40+float64(i%30))
	}
	rows, err := Read(facts.Shipped(), "list.csv", []byte(list))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Build(rows, road("eu"), shipped); err != nil {
			b.Fatal(err)
		}
	}
}
