package triage_test

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"loosecell/rules/advice"
	"loosecell/rules/triage"
)

// intake is a day's intake at random: no two rows alike, much of it unknown.
func intake(rows int) string {
	rnd := rand.New(rand.NewPCG(1, 2))
	pick := func(words ...string) string { return words[rnd.IntN(len(words))] }
	var b strings.Builder
	b.WriteString("job.id,device.kind,battery.place,battery.chemistry,battery.series_cells,battery.rated_energy [Wh],battery.rest_voltage [V]," +
		"battery.looked,battery.history_asked,battery.swelling,battery.puncture,battery.leakage,battery.odour,battery.wetted,battery.gauge_charge [%],adhesive.kind,adhesive.pull_tab\n")
	for i := range rows {
		fmt.Fprintf(&b, "J%d,%s,%s,%s,%s,%.2f,%.3f,%s,%s,%s,%s,%s,%s,%s,%d,%s,%s\n", i,
			pick("phone", "phone", "phone", "tablet", "earbud", ""), pick("removed", "in-open-device", "in-closed-device"),
			pick("lco", "nmc", "li-ion", ""), pick("1", ""), 0.5+30*rnd.Float64(), 3.2+1.15*rnd.Float64(),
			pick("both-faces", "opened", "closed", "no", ""), pick("yes", "no", ""), pick("none", "none", "none", "slight", "severe", ""),
			pick("none", "none", "none", "suspected", ""), pick("none", "none", ""), pick("no", "no", "no", "yes", ""), pick("no", "no", "yes", ""),
			rnd.IntN(101), pick("stretch-strip", "lift-film", "plain-tape", "liquid-glue", ""), pick("intact", "torn", "short", ""))
	}
	return b.String()
}

// Rows a second over the whole road from text to text, by what is asked.
func BenchmarkRows(b *testing.B) {
	const rows = 2000
	text := intake(rows)
	for name, ask := range map[string][]string{
		"condition": {"condition", "transport_state", "storage.class"},
		"default":   triage.DefaultAnswers,
		"shipping":  {"verdict", "storage.class", "ship.road"},
	} {
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/%d", name, workers), func(b *testing.B) {
				o := triage.Options{Name: "cells", Answers: answers(b, ask...), Workers: workers, Advice: advice.Options{Now: today},
					Bad: func(bad triage.Bad) error { return fmt.Errorf("%v", bad) }}
				rulebook := shipped(b)
				b.ReportAllocs()
				for b.Loop() {
					if _, err := triage.Run(context.Background(), rulebook, strings.NewReader(text), io.Discard, o); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(rows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
			})
		}
	}
}
