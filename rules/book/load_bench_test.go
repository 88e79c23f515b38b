package book_test

import (
	"testing"

	"loosecell/rules/book"
)

// What a process pays before it can answer: reading and compiling the shipped
// rulebook.
func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := book.With(); err != nil {
			b.Fatal(err)
		}
	}
}
