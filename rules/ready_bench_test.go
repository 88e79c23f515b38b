package rules_test

import (
	"testing"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// nearAtHand are so few cases that the boxes stay in the processor's cache, as
// the one box does that a program fills and asks about. The hand-written code has
// all the inputs even so: its structs are a seventh of a box, and over a few
// cases the processor would learn its branches by heart.
const nearAtHand = 256

// BenchmarkReady is the kernel on cases that are laid out and derived already,
// as the machine gets its cases; BenchmarkDecide pays for laying out and deriving
// as well. The hand-written code derives what it needs itself.
func BenchmarkReady(b *testing.B) {
	rulebook := shipped(b)
	boxes := randomBoxes(rulebook.Layout)
	for _, box := range boxes {
		for slot := range rulebook.Layout.Slots {
			box.At(slot)
		}
	}
	b.Run("every-rule-and-permission", func(b *testing.B) {
		q := rulebook.Ask(boxes[0], boxes[0])
		var d rules.Decision
		i := 0
		b.ReportAllocs()
		for b.Loop() {
			q.About(boxes[i%nearAtHand], boxes[i%nearAtHand])
			q.Decide(&d)
			i++
		}
	})
	refs := workConditions(rulebook)
	swept := func(among int) func(*testing.B) {
		return func(b *testing.B) {
			sweep := expression.NewSweep(rulebook.Arena, refs...)
			i, yes := 0, 0
			b.ReportAllocs()
			for b.Loop() {
				sweep.On(boxes[i%among])
				for _, r := range refs {
					if sweep.Value(r) == expression.True {
						yes++
					}
				}
				i++
			}
		}
	}
	b.Run("work-permissions", swept(nearAtHand))
	b.Run("work-permissions-from-memory", swept(inputs))
	b.Run("work-permissions-one-by-one", func(b *testing.B) {
		eval := expression.NewEvaluator(rulebook.Arena)
		i, yes := 0, 0
		b.ReportAllocs()
		for b.Loop() {
			eval.On(boxes[i%inputs])
			for _, r := range refs {
				if eval.Value(r) == expression.True {
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
}
