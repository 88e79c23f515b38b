package runaway_test

import (
	"testing"

	"loosecell/hazards/runaway"
)

func BenchmarkReckon(b *testing.B) {
	f := phone()
	for b.Loop() {
		if _, err := runaway.Reckon(f); err != nil {
			b.Fatal(err)
		}
	}
}
