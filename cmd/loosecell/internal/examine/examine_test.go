package examine

import (
	"bufio"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"

	"loosecell/cmd/loosecell/internal/handout"
	"loosecell/rules/book"
	"loosecell/rules/quiz"
)

func cards(t *testing.T, n int) []quiz.Card {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	list, err := quiz.Draw(b, quiz.Options{Seed: 9, Cards: n, Level: quiz.Hard})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func right(list []quiz.Card) string {
	var out strings.Builder
	for i := range list {
		out.WriteString(handout.Letter(&list[i], list[i].Answer) + "\n")
	}
	return out.String()
}

func TestAllRight(t *testing.T) {
	list := cards(t, 5)
	// Windows line ends, capitals and brackets are still answers, and so is a
	// last line without its end.
	typed := strings.TrimSuffix(strings.ReplaceAll(strings.ToUpper(right(list)), "\n", ")\r\n"), "\r\n")
	var out strings.Builder
	r, err := Run(strings.NewReader(typed), &out, list)
	if err != nil || r.Right != 5 || !r.Passed() {
		t.Fatalf("%+v, %v\n%s", r, err, out.String())
	}
	if !strings.Contains(out.String(), "5 of 5 right: passed.") {
		t.Errorf("no result:\n%s", out.String())
	}
}

func TestOneBoldAnswerFails(t *testing.T) {
	if r := (Result{Right: 9, Cards: 10, Bold: 1}); r.Passed() {
		t.Error("passed with an answer that is bolder than safe")
	}
	for _, c := range []struct {
		right, cards int
		want         bool
	}{{8, 10, true}, {7, 10, false}, {4, 5, true}, {3, 5, false}, {1, 1, true}} {
		if got := (Result{Right: c.right, Cards: c.cards}).Passed(); got != c.want {
			t.Errorf("%d of %d: passed is %v", c.right, c.cards, got)
		}
	}
}

func TestWhatIsNoAnswerIsAskedAgain(t *testing.T) {
	list := cards(t, 1)
	var out strings.Builder
	r, err := Run(strings.NewReader("\nz\n42\n"+right(list)), &out, list)
	if err != nil || r.Right != 1 || strings.Count(out.String(), "Answer with a to") != 3 {
		t.Errorf("%+v, %v\n%s", r, err, out.String())
	}
}

func TestBrokenOff(t *testing.T) {
	list := cards(t, 3)
	for typed, want := range map[string]error{"": ErrEnd, right(list[:2]): ErrEnd, right(list[:1]) + "q\n": ErrQuit} {
		if _, err := Run(strings.NewReader(typed), io.Discard, list); !errors.Is(err, want) {
			t.Errorf("%q: %v, want %v", typed, err, want)
		}
	}
	if _, err := Run(strings.NewReader(strings.Repeat("a", longestLine+10)), io.Discard, list); err == nil {
		t.Error("an endless line was taken")
	}
}

func readRecords(t *testing.T, name string) []Record {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var out []Record
	lines := bufio.NewScanner(strings.NewReader(string(data)))
	for lines.Scan() {
		var r Record
		if json.Unmarshal(lines.Bytes(), &r) == nil && r.Schema == Schema {
			out = append(out, r)
		}
	}
	return out
}

func TestRecordsAreAdded(t *testing.T) {
	name := filepath.Join(t.TempDir(), "training.jsonl")
	first := Record{Name: "A. \"Learner\"\n漢", Date: "2026-11-24", Material: "2026-11-25-0", Seed: 7, Level: "hard", Cards: 10, Right: 9, Passed: true, Wrong: []string{"smell"}}
	add(t, name, first)
	// A line that a full disk cut off does not swallow the next one.
	file, err := os.OpenFile(name, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, err = file.WriteString(`{"schema":"loosecell.tra`)
	if err = errors.Join(err, file.Close()); err != nil {
		t.Fatal(err)
	}
	add(t, name, Record{Name: "B"})
	got := readRecords(t, name)
	if len(got) != 2 || got[1].Name != "B" {
		t.Fatalf("%d records: %+v", len(got), got)
	}
	first.Schema = Schema
	if !reflect.DeepEqual(got[0], first) {
		t.Errorf("read %+v, want %+v", got[0], first)
	}
}

func add(t *testing.T, name string, r Record) {
	t.Helper()
	b, err := Open(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(b.Add(r), b.Close()); err != nil {
		t.Fatal(err)
	}
}

// Many at once: every record is a whole line.
func TestRecordsOfManyAreWhole(t *testing.T) {
	name := filepath.Join(t.TempDir(), "training.jsonl")
	var wait sync.WaitGroup
	for range 16 {
		wait.Go(func() {
			b, err := Open(name)
			if err != nil {
				t.Error(err)
				return
			}
			for range 4 {
				if err := b.Add(Record{Name: strings.Repeat("n", 500)}); err != nil {
					t.Error(err)
				}
			}
			if err := b.Close(); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	if n := len(readRecords(t, name)); n != 64 {
		t.Errorf("%d records, want 64", n)
	}
}
