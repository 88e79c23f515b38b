package proof_test

import (
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

// harness holds what the unchanged rules answer.
type harness struct {
	files    []book.File
	cases    []*facts.Case
	expected []map[string]any // by case; nil: nothing is expected
	sheets   []string         // by case
	speaks   []map[string]expression.Truth
	dates    map[string]string
	carriage *carriageJudge
}

var opts = advice.Options{On: "2026-11-24", Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)}

func newHarness(t *testing.T, files []book.File) *harness {
	t.Helper()
	h := &harness{files: files, dates: publishedDates(t), carriage: newCarriageJudge(t)}
	b := shippedBook(t)
	data, err := os.ReadFile("../../testdata/expected/cases.yaml")
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

// judge says what notices a fault first; "" if nothing does. What is quick and
// what is likely come before the rest.
func (h *harness) judge(m mutant) string {
	files := slices.Clone(h.files)
	files[m.file].Data = m.data
	b, err := book.Load(files, nil)
	if err != nil {
		return "loader"
	}
	if m.class == "date" && !maps.Equal(h.dates, lawDates(b)) {
		return "published dates"
	}
	judges := []func(*rules.Book, mutant) string{h.judgeCases, h.carriage.judge, proved}
	if m.carriage() {
		judges[0], judges[1] = judges[1], judges[0]
	}
	for _, judge := range judges {
		if by := judge(b, m); by != "" {
			return by
		}
	}
	return ""
}

// judgeCases holds the shipped cases against their expected answers and against
// the sheets of the unchanged rules. A case in which the same rules speak as
// before says something else only if what a rule does was changed.
func (h *harness) judgeCases(b *rules.Book, m mutant) string {
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
	if m.class == "effect" {
		changed = changed[:0]
		for i := range h.cases {
			changed = append(changed, i)
		}
	}
	for _, i := range changed {
		if sheetOf(b, h.cases[i]) != h.sheets[i] {
			return "sheets"
		}
	}
	return ""
}

// proved asks for the proof, the quickest laws first.
func proved(b *rules.Book, _ mutant) string {
	for _, laws := range [][]string{{proof.LawInvariant}, {proof.LawDead, proof.LawMasked, proof.LawDates}, {proof.LawMonotone, proof.LawUnknown}} {
		report, err := proof.Prove(b, proof.Options{OnlyLaws: laws, Workers: 1})
		if err != nil || report.Status() != proof.Proved {
			return "proof"
		}
	}
	return ""
}

// dated are the options for a case: the day it states, else the common one.
func dated(c *facts.Case) advice.Options {
	o := opts
	if c.Get("dispatch.date").State == facts.Stated {
		o.On = ""
	}
	return o
}

// sheetOf is everything a sheet can print of a case.
func sheetOf(b *rules.Book, c *facts.Case) string {
	a, err := advice.Advise(b, c, dated(c))
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
	d, err := advice.Decide(b, c, dated(c))
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
