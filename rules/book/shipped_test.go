package book_test

import (
	"testing"

	"loosecell/rules/book"
)

func TestShippedBookLoads(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Rules()) < 100 {
		t.Errorf("the shipped book has %d rules", len(b.Rules()))
	}
}
