package rules_test

import (
	"math/rand/v2"
	"testing"

	"github.com/expr-lang/expr/vm"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/expression"
)

// inputs is how many random cases the benchmarks go through: with fewer the
// processor learns the branches of the hand-written code by heart.
const inputs = 4096

func shipped(t testing.TB) *rules.Book {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// near are values around which the rules change their mind; facts without an
// entry take any word, or their unremarkable number.
var near = map[string][]float64{
	"battery.gauge_charge": {5, 25, 30, 31, 72}, "battery.rest_voltage": {1.4, 2.3, 3.1, 3.5, 3.6, 3.7, 3.9, 4.5},
	"battery.series_cells": {1, 1, 1, 2}, "battery.nominal_voltage": {3.6, 3.8, 3.85}, "battery.charge_limit": {4.2, 4.35, 4.4},
	"battery.rest_time": {10, 200, 2000}, "bench.air_temperature": {10, 20, 22}, "battery.temperature": {18, 21, 22, 24, 46},
	"battery.temperature_rate": {0, 0, 0, 0.5}, "battery.off_time": {5, 60}, "battery.rest_drop": {0, 0, 0.06},
	"battery.thickness": {5, 5.2, 5.6}, "battery.nominal_thickness": {5}, "job.warmings": {0, 1, 3},
	"adhesive.solvent_volume": {0, 1, 2}, "bench.heat_setpoint": {50, 60, 70}, "bench.release_voltage": {12, 24},
}

// randomBox draws a case of which everything is known; most signs are absent,
// or hardly anything would be permitted.
func randomBox(r *rand.Rand, l *expression.Layout) *expression.Box {
	b := expression.NewBox(l)
	for i := range l.Slots {
		s := &l.Slots[i]
		f := s.Fact
		switch {
		case f.Derived || f.Stage != "":
		case s.Finite && (f.Sign || f.History) && r.IntN(12) > 0:
			b.Set(i, expression.Word(0))
		case s.Finite && s.Member >= 0:
			b.Set(i, expression.Word(r.IntN(2)))
		case s.Name == "battery.chemistry":
			b.Set(i, expression.Word(3+r.IntN(5)))
		case s.Finite:
			b.Set(i, expression.Word(min(r.IntN(len(f.Words)), r.IntN(len(f.Words)))))
		case near[s.Name] != nil:
			b.Set(i, expression.Exactly(near[s.Name][r.IntN(len(near[s.Name]))]))
		default:
			b.Set(i, expression.Exactly(f.Unseen.Number))
		}
	}
	return b
}

func randomBoxes(l *expression.Layout) []*expression.Box {
	r := rand.New(rand.NewPCG(1, 2))
	out := make([]*expression.Box, inputs)
	for i := range out {
		out[i] = randomBox(r, l)
	}
	return out
}

// The hand-written rules are the same rules: on every known case they permit
// exactly what the engine says is certain.
func TestHandWrittenRulesAgree(t *testing.T) {
	b := shipped(t)
	q := b.Ask(nil, nil)
	given := map[string]int{}
	for i, box := range randomBoxes(b.Layout) {
		f := benchOf(box)
		may := byHand(&f)
		q.About(box, box)
		for bit, names := range handNames {
			for _, name := range names {
				got := q.May(rules.Permission(name)) == expression.True
				if got != (may&bit != 0) {
					t.Fatalf("case %d, %s: engine %v, by hand %v\n%+v", i, name, got, may&bit != 0, f)
				}
				if got {
					given[name]++
				}
			}
		}
	}
	t.Log(given)
}

func BenchmarkDecide(b *testing.B) {
	rulebook := shipped(b)
	boxes := randomBoxes(rulebook.Layout)
	work := expression.NewBox(rulebook.Layout)

	b.Run("every-rule-and-permission", func(b *testing.B) {
		q := rulebook.Ask(work, work)
		var d rules.Decision
		i := 0
		b.ReportAllocs()
		for b.Loop() {
			work.CopyFrom(boxes[i%inputs])
			q.Decide(&d)
			i++
		}
		b.ReportMetric(float64(len(rulebook.Rules())), "rules")
	})
	b.Run("every-rule-eight-unknown", func(b *testing.B) {
		open := withUnknown(rulebook.Layout, boxes, 8)
		q := rulebook.Ask(work, work)
		var d rules.Decision
		i := 0
		b.ReportAllocs()
		for b.Loop() {
			work.CopyFrom(open[i%inputs])
			q.Decide(&d)
			i++
		}
	})
	b.Run("work-permissions", func(b *testing.B) {
		refs := workConditions(rulebook)
		sweep := expression.NewSweep(rulebook.Arena, refs...)
		i, yes := 0, 0
		b.ReportAllocs()
		for b.Loop() {
			work.CopyFrom(boxes[i%inputs])
			sweep.On(work)
			for _, r := range refs {
				if sweep.Value(r) == expression.True {
					yes++
				}
			}
			i++
		}
	})
	b.Run("work-permissions-by-hand", func(b *testing.B) {
		cases := make([]bench, inputs)
		for i := range cases {
			cases[i] = benchOf(boxes[i])
		}
		i, yes := 0, 0
		b.ReportAllocs()
		for b.Loop() {
			yes += int(byHand(&cases[i%inputs]))
			i++
		}
	})
	// The machine is spared the derived facts: its structs come ready-made.
	machine := func(which func(*rules.Rule) bool) func(*testing.B) {
		return func(b *testing.B) {
			oracle := expression.NewOracle(rulebook.Layout)
			var programs []*vm.Program
			for _, r := range rulebook.Rules() {
				if !which(&r) {
					continue
				}
				p, err := oracle.Program(r.When)
				if err != nil {
					b.Fatal(err)
				}
				programs = append(programs, p)
			}
			known := make([]any, inputs)
			for i := range known {
				known[i] = pointIn(oracle, boxes[i])
			}
			var m vm.VM
			i := 0
			b.ReportAllocs()
			for b.Loop() {
				for _, p := range programs {
					if _, err := m.Run(p, known[i%inputs]); err != nil {
						b.Fatal(err)
					}
				}
				i++
			}
			b.ReportMetric(float64(len(programs)), "rules")
		}
	}
	b.Run("machine-every-rule", machine(func(r *rules.Rule) bool { return true }))
	b.Run("machine-work-rules", machine(func(r *rules.Rule) bool {
		return permitsWork(r.Permit) || r.Restrict != nil && permitsWork(r.Restrict.Forbid)
	}))
}

func workPermissions() []rules.Permission {
	var out []rules.Permission
	for _, names := range handNames {
		for _, n := range names {
			out = append(out, rules.Permission(n))
		}
	}
	return out
}

func workConditions(b *rules.Book) []expression.Ref {
	var out []expression.Ref
	for _, p := range workPermissions() {
		out = append(out, b.May(p))
	}
	return out
}

func permitsWork(list []rules.Permission) bool {
	for _, p := range list {
		for _, w := range workPermissions() {
			if p == w {
				return true
			}
		}
	}
	return false
}

// pointIn gives the machine a point of a box: derived ranges at their low end,
// answers at their first word.
func pointIn(o *expression.Oracle, box *expression.Box) any {
	b := box.Clone()
	for i := range b.Layout.Slots {
		if r := b.At(i); b.Layout.Slots[i].Finite {
			b.Narrow(i, expression.Range{Words: r.Words & -r.Words})
		} else {
			b.Narrow(i, expression.Exactly(r.Low))
		}
	}
	known, _ := o.Facts(b)
	return known
}

// withUnknown forgets n facts of each case.
func withUnknown(l *expression.Layout, boxes []*expression.Box, n int) []*expression.Box {
	r := rand.New(rand.NewPCG(3, 4))
	var facts []int
	for i := range l.Slots {
		if l.Slots[i].Fact.Statable() {
			facts = append(facts, i)
		}
	}
	out := make([]*expression.Box, len(boxes))
	for i, b := range boxes {
		out[i] = b.Clone()
		for range n {
			s := facts[r.IntN(len(facts))]
			out[i].Set(s, l.Slots[s].Domain)
		}
	}
	return out
}

// Each May is explored over all completions; leaves are what the splitting ends
// in.
func BenchmarkExplore(b *testing.B) {
	rulebook := shipped(b)
	boxes := randomBoxes(rulebook.Layout)
	for _, c := range []struct {
		name    string
		unknown int
	}{{"4-unknown", 4}, {"8-unknown", 8}, {"16-unknown", 16}, {"64-unknown", 64}} {
		b.Run(c.name, func(b *testing.B) {
			open := withUnknown(rulebook.Layout, boxes, c.unknown)
			explore := expression.NewExplorer(rulebook.Arena)
			work := expression.NewBox(rulebook.Layout)
			i := 0
			b.ReportAllocs()
			for b.Loop() {
				work.CopyFrom(open[i%inputs])
				for _, p := range rules.Permissions {
					explore.Truth(rulebook.May(p), work)
				}
				i++
			}
			b.ReportMetric(float64(explore.Leaves)/float64(b.N), "leaves/op")
			b.ReportMetric(float64(explore.Leaves)/b.Elapsed().Seconds(), "leaves/s")
		})
	}
	b.Run("everything-unknown", func(b *testing.B) {
		explore := expression.NewExplorer(rulebook.Arena)
		work, everything := expression.NewBox(rulebook.Layout), expression.NewBox(rulebook.Layout)
		b.ReportAllocs()
		for b.Loop() {
			work.CopyFrom(everything)
			for _, p := range rules.Permissions {
				explore.Truth(rulebook.May(p), work)
			}
		}
		b.ReportMetric(float64(explore.Leaves)/b.Elapsed().Seconds(), "leaves/s")
	})
}
