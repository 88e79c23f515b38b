package book_test

import (
	"os"
	"path/filepath"
	"testing"

	"loosecell/rules/book"
)

// No rule file makes the loader panic or hang; what has problems gives no book.
func FuzzLoad(f *testing.F) {
	for _, pattern := range []string{"shipped/*.yaml", "../../testdata/badrules/*.yaml"} {
		names, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			if len(data) < 20_000 {
				f.Add(data)
			}
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := book.Load([]book.File{{Name: "fuzz.yaml", Data: data}}, nil)
		if (b == nil) == (err == nil) {
			t.Fatalf("book %v, error %v", b != nil, err)
		}
	})
}
