package advice

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// Carry is Advise without the work at the bench: where both speak, they agree.
func TestCarryAgreesWithAdvise(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "cases", "[0-9]*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	if testing.Short() {
		files = files[:5]
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		c, err := facts.ParseCase(facts.Shipped(), file, data)
		if err != nil {
			t.Fatal(err)
		}
		if err := c.SetText(c.Catalogue(), "dispatch.jurisdiction", "eu"); err != nil {
			t.Fatal(err)
		}
		o := Options{On: "2026-11-24", Now: time.Unix(0, 0)}
		whole, err := Advise(b, c, o)
		if err != nil {
			t.Fatal(err)
		}
		part, err := Carry(b, c, o)
		if err != nil {
			t.Fatal(err)
		}
		if part.Verdict != whole.Verdict || part.Condition != whole.Condition || part.TransportState != whole.TransportState ||
			!reflect.DeepEqual(part.Shipping, whole.Shipping) {
			t.Errorf("%s: Carry says %s, %s, %s; Advise says %s, %s, %s, or they differ on shipping", file,
				part.Verdict, part.Condition, part.TransportState, whole.Verdict, whole.Condition, whole.TransportState)
		}
	}
}
