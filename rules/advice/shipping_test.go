package advice_test

import (
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/advice"
	"loosecell/rules/advice/carriagetest"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// fatal is what the helpers here need of a test.
type fatal interface{ Fatalf(string, ...any) }

// parcel is the sound parcel with changes laid over it.
func parcel(t fatal, changes string) *facts.Case {
	c, err := carriagetest.Parcel(changes)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return c
}

// carried answers the carriage of a case by the shipped rules.
func carried(t fatal, c *facts.Case) map[string]advice.Shipping {
	b, err := book.Shipped()
	if err != nil {
		t.Fatalf("%v", err)
	}
	got, err := carriagetest.Carried(b, c)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return got
}

// chosen lets a property test do the choosing.
func chosen(t *rapid.T) carriagetest.Chooser {
	return func(of string, n int) int { return rapid.IntRange(0, n-1).Draw(t, of) }
}

// TestPublishedCarriage asks every worked case of the published rules, letters
// and answers that the facts can express, with its clause.
func TestPublishedCarriage(t *testing.T) {
	rows, err := carriagetest.Published("../../testdata/published")
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		t.Run(row.Table+"/"+strconv.Itoa(i+1)+" "+row.Case, func(t *testing.T) {
			for _, miss := range row.Misses(carried(t, parcel(t, row.Facts))[row.Mode]) {
				t.Errorf("%s: %s", row.Source, miss)
			}
		})
	}
}

// TestCarriageAgainstTheLaw compares the rulebook with the law written down a
// second time, in both directions: neither bolder than the law nor stricter
// where all is stated.
func TestCarriageAgainstTheLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := parcel(t, carriagetest.DrawPlain(chosen(t)))
		for _, miss := range carriagetest.Misses(carriagetest.Law(c), carried(t, c)) {
			t.Errorf("%s", miss)
		}
	})
}

// The sample that faults are judged by agrees with the law as well.
func TestSampledCarriageAgainstTheLaw(t *testing.T) {
	for _, changes := range carriagetest.Sample(carriagetest.Usual) {
		c := parcel(t, changes)
		for _, miss := range carriagetest.Misses(carriagetest.Law(c), carried(t, c)) {
			t.Errorf("%s\n%s", changes, miss)
		}
	}
}

// notExpressible lists the published cases that the facts of a case file cannot
// say, and why; everything else of those collections is in the tables.
var notExpressible = map[string]string{
	"old battery beside the repaired phone, by air": "whether it counts as the phone's spare set is not a fact; the sheet prints the rule of two spare sets",
	"hybrid of primary and rechargeable cells":      "one battery has one chemistry here; SP 387 is for a specialist",
	"sodium ion shorted by a visible bar":           "no fact says that a battery is shorted on purpose; SP 400 is not offered",
	"sodium ion with aqueous alkali electrolyte":    "the electrolyte is no fact; such batteries are UN 2795",
	"mark of 90 x 70 mm":                            "the size of a mark is no fact; the sheet prints the sizes that hold",
	"owner drives the own battery to a collection":  "a case is told by a bench; private carriage (1.1.3.1 (a)) is not asked about",
	"marks on shrink-wrap (letter 20-0048)":         "where on the load a mark sits is no fact",
	"UN 38.3 meaning of battery (letter 98-0383)":   "a definition; it is what cells and batteries are counted by",
	"spent alkaline batteries (letter 09-0160)":     "no lithium: outside the catalogue of chemistries",
	"wet batteries beside lithium (letter 14-0003)": "another class of goods on the vehicle",
	"storage unit UN 3536 (letter 21-0099)":         "a cargo transport unit",
	"batteries of 12 kg and more (24-0064 08-0161)": "the strong case of a heavy battery is no fact; out of scope",
	"changes after the test (letter 15-0146)":       "a rebuilt battery states test_summary: no",
	"two chemistries in one device":                 "one case is one battery; each is asked for on its own",
	"three packages, one with a battery":            "packages without batteries are not counted apart; dispatch.packages: 3 gives the cautious answer",
	"word OVERPACK":                                 "overpacks are no fact",
	"damaged by road in Canada":                     "no such jurisdiction in the contract",
	"staff training, household batteries taken in":  "about waste and training, not carriage",
}

func TestCasesThatCannotBeStated(t *testing.T) {
	for name, why := range notExpressible {
		if name == "" || len(why) < 20 {
			t.Errorf("%q is left out without a reason", name)
		}
	}
}
