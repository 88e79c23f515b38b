package proof_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
	"loosecell/rules/proof"
)

// sampled is how many faults of a class are tried; LOOSECELL_FAULTS=all tries
// every one, which takes minutes.
const sampled = 24

// TestSeededFaultsAreKilled seeds faults into the shipped rules and looks whether
// the loader, the published dates, the cases with expected answers, the published
// cases of carriage, the proof or the printed sheets notice. At least 95 % of each class do, and
// each fault that nothing notices is listed with the reason why it changes
// nothing (testdata/survivors.txt).
func TestSeededFaultsAreKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("takes most of a minute")
	}
	files, err := book.ShippedFiles()
	if err != nil {
		t.Fatal(err)
	}
	byClass := map[string][]mutant{}
	for _, m := range mutants(t, files) {
		byClass[m.class] = append(byClass[m.class], m)
	}
	h := newHarness(t, files)
	excused := survivors(t)
	for _, i := range []int{0, len(files) / 2, len(files) - 1} {
		if by := h.judge(unchanged(t, files, i)); by != "" {
			t.Fatalf("%s notices a fault where there is none, in %s", by, files[i].Name)
		}
	}
	for _, class := range classes {
		all := byClass[class]
		chosen := all
		if os.Getenv("LOOSECELL_FAULTS") != "all" {
			chosen = spread(all, sampled)
		}
		verdicts := h.judgeAll(chosen)
		alive := 0
		by := map[string]int{}
		for i, m := range chosen {
			by[verdicts[i]]++
			if verdicts[i] != "" {
				continue
			}
			alive++
			if excused[class+" "+m.what] == "" {
				t.Errorf("nothing notices: %s %s", class, m.what)
			}
		}
		t.Logf("%s: %d of %d tried, %d survive, killed by %v", class, len(chosen), len(all), alive, by)
		if alive*20 > len(chosen) {
			t.Errorf("%s: %d of %d survive, more than one in twenty", class, alive, len(chosen))
		}
	}
}

// unchanged is a file written anew without a fault.
func unchanged(t *testing.T, files []book.File, i int) mutant {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal(files[i].Data, &doc); err != nil {
		t.Fatal(err)
	}
	data, err := yaml.Marshal(&doc)
	if err != nil {
		t.Fatal(err)
	}
	return mutant{what: files[i].Name, file: i, data: data}
}

// spread takes n of a list at equal distances.
func spread(all []mutant, n int) []mutant {
	if len(all) <= n {
		return all
	}
	var out []mutant
	for i := range n {
		out = append(out, all[i*len(all)/n])
	}
	return out
}

func survivors(t *testing.T) map[string]string {
	t.Helper()
	data, err := os.ReadFile("testdata/survivors.txt")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for line := range strings.Lines(string(data)) {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		what, why, ok := strings.Cut(line, " | ")
		if !ok || why == "" {
			t.Fatalf("survivors.txt: %q gives no reason after a |", line)
		}
		out[what] = why
	}
	return out
}

// harness holds what the unchanged rules answer.
type harness struct {
	files    []book.File
	cases    []*facts.Case
	expected []map[string]any // by case; nil: nothing is expected
	sheets   []string         // by case
	speaks   []map[string]expression.Truth
	parcels  []parcel
	dates    map[string]string
}

// parcel is one published case of carriage.
type parcel struct {
	facts *facts.Case
	row   map[string]string
}

var opts = advice.Options{On: "2026-11-24", Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)}

func newHarness(t *testing.T, files []book.File) *harness {
	t.Helper()
	h := &harness{files: files, parcels: published(t), dates: publishedDates(t)}
	b := shippedBook(t)
	data, err := os.ReadFile("../../testdata/cases/expected.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var expected map[string]map[string]any
	if err := yaml.Unmarshal(data, &expected); err != nil {
		t.Fatal(err)
	}
	names, err := filepath.Glob("../../testdata/cases/[0-9]*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shop := readCase(t, "../../testdata/shops/harbour-lane.yaml", facts.ParseShop)
	for _, name := range names {
		c := readCase(t, name, facts.ParseCase)
		base := strings.TrimSuffix(filepath.Base(name), ".yaml")
		if strings.HasPrefix(base, "9") {
			c = c.Over(shop)
		}
		h.cases = append(h.cases, c)
		h.expected = append(h.expected, expected[base])
		h.sheets = append(h.sheets, sheetOf(b, c))
		h.speaks = append(h.speaks, speaking(b, c))
	}
	return h
}

func readCase(t *testing.T, name string, read func(*facts.Catalogue, string, []byte) (*facts.Case, error)) *facts.Case {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	c, err := read(facts.Shipped(), filepath.Base(name), data)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// published reads the published cases of carriage, which are changes to a sound
// cell (see package advice).
func published(t *testing.T) []parcel {
	t.Helper()
	names, err := filepath.Glob("../../testdata/published/transport-*.csv")
	if err != nil || len(names) == 0 {
		t.Fatal("no published cases of carriage", err)
	}
	var out []parcel
	for _, name := range names {
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		r := csv.NewReader(f)
		r.Comment, r.TrimLeadingSpace = '#', true
		lines, err := r.ReadAll()
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range lines[1:] {
			row := map[string]string{}
			for i, key := range lines[0] {
				row[key] = strings.TrimSpace(line[i])
			}
			c := facts.NewCase(facts.Shipped(), "parcel")
			for part := range strings.SplitSeq(soundLoose+";"+row["facts"], ";") {
				name, value, _ := strings.Cut(strings.TrimSpace(part), "=")
				if name == "" {
					continue
				}
				if strings.TrimSpace(value) == "" {
					c.Unset(name)
				} else if err := c.SetText(facts.Shipped(), name, value); err != nil {
					t.Fatal(err)
				}
			}
			out = append(out, parcel{c, row})
		}
	}
	return out
}

// judgeAll judges faults on all processors.
func (h *harness) judgeAll(list []mutant) []string {
	out := make([]string, len(list))
	var wg sync.WaitGroup
	work := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range work {
				out[i] = h.judge(list[i])
			}
		})
	}
	for i := range list {
		work <- i
	}
	close(work)
	wg.Wait()
	return out
}

// judge says what notices a fault first; "" if nothing does.
func (h *harness) judge(m mutant) string {
	files := slices.Clone(h.files)
	files[m.file].Data = m.data
	b, err := book.Load(files, nil)
	if err != nil {
		return "loader"
	}
	if !maps.Equal(h.dates, lawDates(b)) && m.class == "date" {
		return "published dates"
	}
	var changed []int
	for i, c := range h.cases {
		if differs(h.speaks[i], speaking(b, c)) {
			changed = append(changed, i)
		}
	}
	for _, i := range changed {
		if h.expected[i] != nil && !h.asExpected(b, i) {
			return "expected answers"
		}
	}
	for _, i := range changed {
		if sheetOf(b, h.cases[i]) != h.sheets[i] {
			return "sheets"
		}
	}
	if strings.HasPrefix(m.what, "transport") || strings.HasPrefix(m.what, "grading") || strings.HasPrefix(m.what, "define") {
		for _, p := range h.parcels {
			if !p.right(b) {
				return "published carriage"
			}
		}
	}
	for _, laws := range [][]string{{proof.LawInvariant}, {proof.LawDead, proof.LawMasked, proof.LawDates}, {proof.LawMonotone, proof.LawUnknown}} {
		report, err := proof.Prove(b, proof.Options{OnlyLaws: laws, Workers: 1})
		if err != nil || report.Status() != proof.Proved {
			return "proof"
		}
	}
	if m.class == "effect" {
		for i, c := range h.cases {
			if sheetOf(b, c) != h.sheets[i] {
				return "sheets"
			}
		}
	}
	return ""
}

// sheetOf is everything a sheet can print of a case.
func sheetOf(b *rules.Book, c *facts.Case) string {
	a, err := advice.Advise(b, c, opts)
	if err != nil {
		return err.Error()
	}
	a.Trace = nil
	data, err := json.Marshal(a)
	if err != nil {
		return err.Error()
	}
	return string(data)
}

func speaking(b *rules.Book, c *facts.Case) map[string]expression.Truth {
	d, err := advice.Decide(b, c, opts)
	if err != nil {
		return nil
	}
	out := map[string]expression.Truth{"verdict " + d.Verdict + d.Pick + fmt.Sprint(d.Graded.Condition, d.Graded.Transport): 0}
	full, carried := expression.NewEvaluator(b.Arena), expression.NewEvaluator(b.Arena)
	full.On(d.Full)
	carried.On(d.Parcel)
	for i := range b.Rules() {
		r := &b.Rules()[i]
		out[r.ID] = full.Value(r.Holds)
		if r.Choose != nil {
			for j := range r.Choose.Rows {
				out[r.Choose.Rows[j].ID] = carried.Value(r.Choose.Rows[j].Holds)
			}
		}
	}
	return out
}

func differs(a, b map[string]expression.Truth) bool {
	if len(a) != len(b) {
		return true
	}
	for id, was := range a {
		if is, ok := b[id]; !ok || is != was {
			return true
		}
	}
	return false
}

// asExpected holds a case against its expected answers.
func (h *harness) asExpected(b *rules.Book, i int) bool {
	a, err := advice.Advise(b, h.cases[i], opts)
	if err != nil {
		return false
	}
	got := map[string]any{"verdict": a.Verdict, "pick": a.Removal.Pick, "condition": a.Condition, "transport": a.TransportState,
		"discharge": a.Discharge.Action, "heat": a.Heat.May, "solvent": a.Solvent.May, "likely": a.Removal.Likely, "target": int(a.Discharge.TargetSoCPct)}
	if a.Storage != nil {
		got["storage"] = a.Storage.Class
	}
	for key, want := range h.expected[i] {
		if is, ok := got[key]; ok && fmt.Sprint(is) != fmt.Sprint(want) {
			return false
		}
	}
	return true
}

// right holds a published case against its answer and clauses.
func (p *parcel) right(b *rules.Book) bool {
	out, err := advice.Carry(b, p.facts, advice.Options{Now: opts.Now})
	if err != nil {
		return false
	}
	for _, s := range out.Shipping {
		if s.Mode != p.row["mode"] {
			continue
		}
		if s.Allowed != p.row["allowed"] || p.row["un"] != "" && s.UNNumber != p.row["un"] {
			return false
		}
		for clause := range strings.SplitSeq(p.row["clauses"], "|") {
			clause = strings.TrimSpace(clause)
			if no, is := strings.CutPrefix(clause, "not "); is && slices.Contains(s.Basis, no) || !is && clause != "" && !slices.Contains(s.Basis, clause) {
				return false
			}
		}
		return true
	}
	return false
}

// soundLoose is the battery that the published cases change: sound, tested, one
// cell of 15 Wh at 30 %, loose, in the EU, on 2026-06-01.
const soundLoose = `job.goal=ship; job.tried=[]; job.warmings=0; job.minutes=0 min; job.force_used=no;
battery.place=removed; battery.role=device; battery.chemistry=lco; battery.form=pouch; battery.series_cells=1; battery.parallel_cells=1;
battery.looked=both-faces; battery.history_asked=yes; battery.swelling=none; battery.deformation=none; battery.puncture=none;
battery.leakage=none; battery.odour=no; battery.discoloured=no; battery.terminal_corrosion=no; battery.self_heating=no; battery.venting=no;
battery.wetted=no; battery.overheated=no; battery.dropped=no; battery.wrong_charger=no; battery.recalled=no;
battery.rated_energy=15 Wh; battery.gauge_charge=30 %; battery.mass=60 g; battery.made=2023-05-01; battery.label=legible;
battery.test_summary=yes; battery.wh_printed=yes; battery.terminals=covered; battery.soldered=no;
device.kind=other; device.starts=yes; bench.air_temperature=20 degC;
dispatch.purpose=reuse; dispatch.packing=by-itself; dispatch.jurisdiction=eu; dispatch.date=2026-06-01;
dispatch.discarded_by=business; dispatch.destination=customer`
