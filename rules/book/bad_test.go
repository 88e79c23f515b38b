package book_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// expected is what a bad file says of itself: lines "# want line:column code: a
// part of the fix" at its top; "# own" if it is to be read as one of our own
// files, not as a shop's; "# over the shipped rules" if it needs those.
type expected struct {
	own  bool
	over bool
	want [][3]string // place, code, part of the fix
}

func readExpected(data []byte) expected {
	var e expected
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		e.own = e.own || line == "# own"
		e.over = e.over || line == "# over the shipped rules"
		if text, ok := strings.CutPrefix(line, "# want "); ok {
			place, rest, _ := strings.Cut(text, " ")
			code, fix, _ := strings.Cut(rest, ": ")
			e.want = append(e.want, [3]string{place, code, fix})
		}
	}
	return e
}

// Every kind of mistake is reported with its place, its code and what to do.
func TestBadRuleFiles(t *testing.T) {
	names, err := filepath.Glob("../../testdata/badrules/*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatal("no bad files", err)
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			e := readExpected(data)
			file := book.File{Name: filepath.Base(name), Data: data}
			switch {
			case e.own:
				_, err = book.Load([]book.File{file}, nil)
			case e.over:
				err = book.Check(file)
			default:
				_, err = book.Load(nil, []book.File{file})
			}
			var ps facts.Problems
			if !errors.As(err, &ps) {
				t.Fatalf("no problems, but %v", err)
			}
			if len(ps) != len(e.want) {
				t.Errorf("%d problems, want %d:\n%v", len(ps), len(e.want), err)
			}
			for i := range min(len(ps), len(e.want)) {
				p, want := ps[i], e.want[i]
				if at := fmt.Sprintf("%d:%d", p.At.Line, p.At.Column); at != want[0] || p.Code != want[1] || !strings.Contains(p.Fix, want[2]) || p.At.File != file.Name {
					t.Errorf("got  %v\nwant %s %s: … %s", p, want[0], want[1], want[2])
				}
			}
		})
	}
}

// Files made to hurt are refused, and in no time.
func TestHostileRuleFiles(t *testing.T) {
	rule := "  - {id: r%d, restrict: {forbid: [heat]}, because: x, source: common-practice}\n"
	var many strings.Builder
	many.WriteString("topic: x\nrules:\n")
	for i := range book.MaxRules + 1 {
		fmt.Fprintf(&many, rule, i)
	}
	bomb := "a: &a [x, x]\n"
	for i := range 30 {
		bomb += fmt.Sprintf("b%d: &b%d [*a, *a]\n", i, i)
	}
	for _, c := range []struct{ name, data, code string }{
		{"more rules than a book holds", many.String(), book.CodeTooMany},
		{"larger than a rule file may be", "topic: " + strings.Repeat("x", book.MaxBytes), book.CodeTooLarge},
		{"aliases of aliases", bomb, book.CodeAlias},
		{"nested without end", "rules: " + strings.Repeat("[", 5000), book.CodeSyntax},
		{"nested and closed", "rules: " + strings.Repeat("[", 2000) + strings.Repeat("]", 2000), book.CodeAlias},
		{"a million brackets in a condition", "rules:\n  - {id: r, when: '" + strings.Repeat("(", 1_000_000) + "', restrict: {forbid: [heat]}, because: x, source: common-practice}", "condition-too-long"},
		{"a million mistakes", "rules:\n" + strings.Repeat("- x\n", 200_000), book.CodeMore},
		{"control characters", "topic: \"\x00\"", book.CodeSyntax},
		{"not UTF-8", "topic: \xff\xfe", book.CodeSyntax},
		{"a byte order mark of UTF-16 and no more", "\xff\xfe", book.CodeSyntax},
		{"UTF-16", "\xfe\xff\x00a\x00:\x00 \x00b", book.CodeSyntax},
		{"an object of another language", "!!python/object:x {}", book.CodeTag},
		{"a tag as long as a file", "!" + strings.Repeat("x", 10_000) + " {}", book.CodeTag},
		{"an empty mapping", "{}", book.CodeMissing},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := book.Load([]book.File{{Name: "hostile.yaml", Data: []byte(c.data)}}, nil)
			var ps facts.Problems
			if !errors.As(err, &ps) {
				t.Fatalf("no problems, but %v", err)
			}
			if len(ps) > book.MaxProblems+1 {
				t.Errorf("%d problems are listed", len(ps))
			}
			for _, p := range ps {
				if p.Code == c.code {
					return
				}
			}
			t.Errorf("want %s, got %v", c.code, ps[:min(len(ps), 3)])
		})
	}
}

// The same file has the same problems, in the same order, each time.
func TestProblemsAreInOrder(t *testing.T) {
	data := []byte("topic: x\ndefine:\n  a: b\n  b: c\n  c: a\n  d: bad.fact\n  e: worse.fact\nrules:\n  - {id: r, when: a, restrict: {forbid: [heat]}, because: x, source: common-practice}\n")
	first := ""
	for range 10 {
		_, err := book.Load(nil, []book.File{{Name: "x.yaml", Data: data}})
		if err == nil {
			t.Fatal("no problems")
		}
		if first == "" {
			first = err.Error()
		} else if err.Error() != first {
			t.Fatalf("first\n%s\nthen\n%v", first, err)
		}
	}
}
