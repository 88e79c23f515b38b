package compact

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/facts"
)

// TestTheDictionaryNeverChanges: with another dictionary every label printed so
// far would be unreadable. A new one is a new version beside this one.
func TestTheDictionaryNeverChanges(t *testing.T) {
	sum := sha256.Sum256(dictionary)
	if got, want := hex.EncodeToString(sum[:]), "2d495f3f54d02e4aad3cec052725ccce9767cd495b0e6ed281d1734965b57795"; got != want {
		t.Errorf("the dictionary of version 1 has changed: %s", got)
	}
}

// A line as it was once printed is read for ever.
func TestAPrintedLineStaysReadable(t *testing.T) {
	c, err := Decode(facts.Shipped(), "label", printed)
	if err != nil {
		t.Fatal(err)
	}
	if got := string(c.YAML()); got != printedCase {
		t.Errorf("read as\n%s\nwant\n%s", got, printedCase)
	}
}

func shippedCases(t testing.TB) map[string]*facts.Case {
	t.Helper()
	names, err := filepath.Glob("../../testdata/cases/[0-9]*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatal("no cases", err)
	}
	out := map[string]*facts.Case{}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		c, err := facts.ParseCase(facts.Shipped(), name, data)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(name)] = c
	}
	return out
}

func sameValues(a, b *facts.Case) bool {
	return string(a.YAML()) == string(b.YAML()) && len(a.Values) == len(b.Values)
}

func TestEveryShippedCaseComesBackAndFitsACode(t *testing.T) {
	for name, c := range shippedCases(t) {
		line, err := Encode(c)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		// A QR code of version 20 at error correction M holds 970 alphanumeric
		// characters (ISO/IEC 18004:2015, table 7, from memory).
		if len(line) > 970 {
			t.Errorf("%s takes %d characters", name, len(line))
		}
		back, err := Decode(facts.Shipped(), name, line)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if !sameValues(c, back) {
			t.Errorf("%s: came back as\n%s", name, back.YAML())
		}
	}
}

func TestAnyCaseComesBack(t *testing.T) {
	cat := facts.Shipped()
	var statable []*facts.Fact
	for i := range cat.Facts {
		if cat.Facts[i].Statable() {
			statable = append(statable, &cat.Facts[i])
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		c := facts.NewCase(cat, "drawn")
		for range rapid.IntRange(0, 30).Draw(t, "facts") {
			f := statable[rapid.IntRange(0, len(statable)-1).Draw(t, "fact")]
			v := facts.Value{State: facts.Stated}
			switch {
			case rapid.IntRange(0, 5).Draw(t, "unknown") == 0:
				v.State = facts.Unknown
			case len(f.Words) > 0:
				v.Words = 1 << rapid.IntRange(0, len(f.Words)-1).Draw(t, "word")
			case f.Kind == facts.Text:
				v.Text = rapid.StringMatching(`[ -~äé漢"\\:#\n]{1,40}`).Draw(t, "text")
			default:
				v.Low = float64(rapid.IntRange(int(f.Min), int(min(f.Max, 1e6))).Draw(t, "number"))
				v.High = v.Low
			}
			c.Set(f.Name, v)
		}
		plain := c.YAML()
		c, err := facts.ParseCase(cat, "drawn", plain) // trims texts as a file would
		if err != nil {
			t.Skip("not a case anybody could write")
		}
		line, err := Encode(c)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Decode(cat, "drawn", strings.ToLower(line[:10])+"\n "+line[10:])
		if err != nil {
			t.Fatal(err)
		}
		if !sameValues(c, back) {
			t.Fatalf("wrote\n%s\nread\n%s", plain, back.YAML())
		}
	})
}

// No single wrong letter gives another case.
func TestAWrongLetterIsNoticed(t *testing.T) {
	alphabet := "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
	last := len(printed) - 1
	for at := len(Prefix); at < last; at++ {
		for _, r := range alphabet {
			if byte(r) == printed[at] {
				continue
			}
			wrong := printed[:at] + string(r) + printed[at+1:]
			plain, err := Text(wrong)
			if err == nil && string(plain) != dotted(t) {
				t.Fatalf("letter %d as %c reads as another case:\n%s", at, r, plain)
			}
		}
	}
	for at := len(Prefix); at < last; at++ {
		if plain, err := Text(printed[:at]); err == nil && string(plain) != dotted(t) {
			t.Fatalf("cut at %d it reads as another case", at)
		}
	}
}

func dotted(t *testing.T) string {
	plain, err := Text(printed)
	if err != nil {
		t.Fatal(err)
	}
	return string(plain)
}

func TestWhatIsNoCaseIsRefused(t *testing.T) {
	for name, c := range map[string]struct {
		line string
		want error
	}{
		"empty":           {"", ErrPrefix},
		"another code":    {"https://example.org", ErrPrefix},
		"only the prefix": {Prefix, ErrChecksum},
		"letters outside": {Prefix + "A1!", ErrLetters},
		"another version": {Prefix + letters.EncodeToString([]byte{9, 0, 0, 0, 0, 1}), ErrVersion},
		"no text":         {Prefix + letters.EncodeToString([]byte{1, 0, 0, 0, 0}), ErrChecksum},
		"not deflated":    {Prefix + letters.EncodeToString([]byte{1, 0, 0, 0, 0, 0xff, 0xff}), ErrChecksum},
	} {
		if _, err := Decode(facts.Shipped(), name, c.line); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

func TestATextTooLongIsRefused(t *testing.T) {
	c := facts.NewCase(facts.Shipped(), "long")
	c.Set("job.id", facts.Value{State: facts.Stated, Text: strings.Repeat("x", MaxText)})
	if _, err := Encode(c); err == nil {
		t.Error("a case over the limit was written")
	}
}

func TestTheWrittenFactsAreThoseOfTheCase(t *testing.T) {
	for name, c := range shippedCases(t) {
		line, err := Encode(c)
		if err != nil {
			t.Fatal(err)
		}
		back, _ := Decode(facts.Shipped(), name, line)
		if !maps.EqualFunc(c.Values, back.Values, func(a, b facts.Value) bool { return a.State == b.State && a.Words == b.Words }) {
			t.Errorf("%s: other values", name)
		}
	}
}

func FuzzDecode(f *testing.F) {
	f.Add(printed)
	f.Add(Prefix)
	f.Add(Prefix + "AEAAAAAA")
	f.Fuzz(func(t *testing.T, line string) {
		c, err := Decode(facts.Shipped(), "fuzz", line)
		if err != nil {
			return
		}
		again, err := Encode(c)
		if err != nil {
			t.Skip()
		}
		back, err := Decode(facts.Shipped(), "fuzz", again)
		if err != nil || string(back.YAML()) != string(c.YAML()) {
			t.Fatalf("%q: %v", again, err)
		}
	})
}
