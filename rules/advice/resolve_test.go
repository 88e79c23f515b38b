package advice

import (
	"testing"

	"loosecell/rules/facts"
)

// SP 376 and P908 of ADR speak of an assessment by somebody who can be named; a
// word alone, a day to come, or a day more than 90 days ago (common practice:
// it is judged for this consignment), opens nothing (the stricter reading).
func TestJudgementCountsWithNameAndDay(t *testing.T) {
	w := newWorld(t)
	for _, c := range []struct {
		name, more string
		counts     bool
	}{
		{"signed and dated", ", assessed_by: the maker's engineer, assessed_on: 2026-11-20", true},
		{"dated today", ", assessed_by: the maker's engineer, assessed_on: 2026-11-24", true},
		{"nobody named", ", assessed_on: 2026-11-20", false},
		{"no day", ", assessed_by: the maker's engineer", false},
		{"90 days ago", ", assessed_by: the maker's engineer, assessed_on: 2026-08-26", true},
		{"91 days ago", ", assessed_by: the maker's engineer, assessed_on: 2026-08-25", false},
		{"years ago", ", assessed_by: the maker's engineer, assessed_on: 2020-01-01", false},
		{"a day to come", ", assessed_by: the maker's engineer, assessed_on: 2026-12-24", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := w.resolved(t, "battery: {assessed: not-critical"+c.more+"}\ndispatch: {date: 2026-11-24}\n")
			f, _ := facts.Shipped().Lookup("battery.assessed")
			word, _ := f.Word("not-critical")
			if got := r.values["battery.assessed"].Has(word); got != c.counts {
				t.Errorf("it counts: %v", got)
			}
			if got := Judged(r.input, r.date); got != c.counts {
				t.Errorf("it is judged: %v", got)
			}
		})
	}
}

// The stand-in of the fact: printed volts near 3.8 are one cell, near 7.6 two,
// near 11.4 three (common practice).
func TestLabelNarrowsTheUsualSeries(t *testing.T) {
	w := newWorld(t)
	for _, c := range []struct {
		name, text string
		low, high  float64
	}{
		{"nothing printed", "device: {kind: tablet}", 1, 2},
		{"tablet of 3.8 V", "device: {kind: tablet}\nbattery: {nominal_voltage: 3.8 V}", 1, 1},
		{"tablet of 7.6 V", "device: {kind: tablet}\nbattery: {nominal_voltage: 7.6 V}", 2, 2},
		{"tablet charged to 8.7 V", "device: {kind: tablet}\nbattery: {charge_limit: 8.7 V}", 2, 2},
		{"laptop of 11.4 V, cobalt", "device: {kind: laptop}\nbattery: {nominal_voltage: 11.4 V, chemistry: lco}", 3, 3},
		{"11.4 V may be four of sodium ion", "device: {kind: laptop}\nbattery: {nominal_voltage: 11.4 V}", 3, 4},
		{"7.2 V of cells nobody knows, two or three", "device: {kind: laptop}\nbattery: {nominal_voltage: 7.2 V}", 2, 3},
		{"stated all the same", "device: {kind: laptop}\nbattery: {nominal_voltage: 11.4 V, series_cells: 3}", 3, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := w.resolved(t, c.text).values["battery.series_cells"]
			if got.Low != c.low || got.High != c.high {
				t.Errorf("%v to %v cells, want %v to %v", got.Low, got.High, c.low, c.high)
			}
		})
	}
}

// resolved is the case of a text, resolved on its day.
func (w *testWorld) resolved(t *testing.T, text string) *resolved {
	t.Helper()
	kase, err := facts.ParseCase(facts.Shipped(), "x", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	date, err := dateOf(kase, w.opts)
	if err != nil {
		t.Fatal(err)
	}
	return resolve(w.book.Layout, kase, date)
}

// 11.1 V at rest under a label of 11.4 V are three cobalt cells at 3.70 V, 4.35 V
// cells by their nominal 3.8 V, or four that are all but empty: both lie under
// 30 %, though a span of three to four cells mixes in a kind that does not.
func TestChargeIsReckonedForEachCount(t *testing.T) {
	w := newWorld(t)
	r := w.resolved(t, "device: {kind: laptop}\nbattery: {chemistry: lmo | nmc | nca | lco, series_cells: 3..4, nominal_voltage: 11.4 V, rest_voltage: 11.1 V, rest_time: 1 h, volts_at: cell}\nbench: {air_temperature: 22 degC}")
	if got := r.full.At(w.book.Layout.MustSlot("derived.state_of_charge")); got.High > 30 {
		t.Errorf("%v to %v %%", got.Low, got.High)
	}
}
