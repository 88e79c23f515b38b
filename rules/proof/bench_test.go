package proof_test

import (
	"testing"

	"loosecell/rules/proof"
)

// BenchmarkProve proves the shipped rules whole, on all processors and on one.
func BenchmarkProve(b *testing.B) {
	rulebook := shippedBook(b)
	for name, workers := range map[string]int{"all processors": 0, "one worker": 1} {
		b.Run(name, func(b *testing.B) {
			regions := 0
			for b.Loop() {
				regions = prove(b, rulebook, proof.Options{Workers: workers}).Regions
			}
			b.ReportMetric(float64(regions), "regions")
			b.ReportMetric(float64(regions)*float64(b.N)/b.Elapsed().Seconds(), "regions/s")
		})
	}
}
