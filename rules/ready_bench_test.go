package rules_test

import (
	"testing"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// BenchmarkReady is the kernel on cases that are laid out and derived already,
// as the hand-written code and the machine get theirs; BenchmarkDecide pays for
// laying out and deriving as well.
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
			q.About(boxes[i%inputs], boxes[i%inputs])
			q.Decide(&d)
			i++
		}
	})
	b.Run("work-permissions", func(b *testing.B) {
		eval := expression.NewEvaluator(rulebook.Arena)
		var refs []expression.Ref
		for _, p := range workPermissions() {
			refs = append(refs, rulebook.May(p))
		}
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
