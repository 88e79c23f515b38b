package interview

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"pgregory.net/rapid"

	"loosecell/rules/book"
	"loosecell/rules/facts"
	"loosecell/rules/inquiry"
)

func TestReadOneFact(t *testing.T) {
	for _, c := range []struct {
		fact, line, text string
		act              Act
		wrong            bool
	}{
		{"battery.place", "2", "in-open-device", Answer, false},
		{"battery.place", " removed ", "removed", Answer, false},
		{"battery.place", "4", "", Answer, true},
		{"battery.place", "0", "", Answer, true},
		{"battery.swelling", "1 | 2", "none | slight", Answer, false},
		{"battery.chemistry", "lco | nmc", "lco | nmc", Answer, false},
		{"device.starts", "y", "yes", Answer, false},
		{"device.starts", "N", "no", Answer, false},
		{"device.starts", "1", "yes", Answer, false}, // as the menu shows it
		{"battery.wetted", "1", "yes", Answer, false},
		{"battery.rest_voltage", "3.70..3.85 V", "3.70..3.85 V", Answer, false},
		{"battery.series_cells", "2", "2", Answer, false},
		{"bench.solvents", "1, 3", `["isopropanol-99", "isopropanol-70"]`, Answer, false},
		{"bench.solvents", "0", "[]", Answer, false},
		{"bench.solvents", "9", "", Answer, true},
		{"battery.place", "", "", Unknown, false},
		{"battery.place", "  ", "", Unknown, false},
		{"battery.place", "?", "", Help, false},
		{"battery.place", "<", "", Back, false},
		{"battery.place", "!", "", Show, false},
		{"battery.place", ".", "", Enough, false},
		{"battery.place", "= battery.odour yes", "yes", Correct, false},
		{"battery.place", "=battery.rest_voltage: 3.7 V", "3.7 V", Correct, false},
		{"battery.place", "= battery.odour", "", Correct, false},
		{"battery.place", "=", "", Answer, true},
	} {
		f, ok := facts.Shipped().Lookup(c.fact)
		if !ok {
			t.Fatal(c.fact)
		}
		got, err := Read(&inquiry.Question{ID: f.Name, Fact: f}, c.line)
		if (err != nil) != c.wrong || err == nil && (got.Text != c.text || got.Act != c.act) {
			t.Errorf("%s: %q gives %+v, %v; want %q, act %d, wrong %v", c.fact, c.line, got, err, c.text, c.act, c.wrong)
		}
	}
}

func TestReadTicks(t *testing.T) {
	q := &inquiry.Question{ID: "look", Ticks: make([]inquiry.Tick, 3)}
	no, so, cant := inquiry.NotSo, inquiry.So, inquiry.CantSay
	for line, want := range map[string][]inquiry.Mark{
		"0": {no, no, no}, "none": {no, no, no}, "NONE": {no, no, no},
		"1": {so, no, no}, "1 3": {so, no, so}, "3,1": {so, no, so}, "2?": {no, cant, no}, "1; 2?": {so, cant, no},
	} {
		got, err := Read(q, line)
		if err != nil || !slices.Equal(got.Marks, want) {
			t.Errorf("%q gives %v, %v; want %v", line, got.Marks, err, want)
		}
	}
	for _, line := range []string{"4", "0 1", "-1", "1.5", "yes", "1-3", "??"} {
		if got, err := Read(q, line); err == nil {
			t.Errorf("%q gives %+v, want an error", line, got)
		}
	}
}

// Whatever is typed, reading it never panics, and what is read as an answer to
// a list has one mark a line.
func TestReadAnything(t *testing.T) {
	cat := facts.Shipped()
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.OneOf(rapid.String(), rapid.StringMatching(`[0-9a-z?<>=.,| -]{0,20}`)).Draw(t, "line")
		f := &cat.Facts[rapid.IntRange(0, len(cat.Facts)-1).Draw(t, "fact")]
		_, _ = Read(&inquiry.Question{ID: f.Name, Fact: f}, line)
		q := &inquiry.Question{Ticks: make([]inquiry.Tick, rapid.IntRange(1, 14).Draw(t, "lines"))}
		if r, err := Read(q, line); err == nil && r.Act == Answer && len(r.Marks) != len(q.Ticks) {
			t.Fatalf("%q gives %d marks for %d lines", line, len(r.Marks), len(q.Ticks))
		}
	})
}

func newInquiry(t *testing.T) *inquiry.Inquiry {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return inquiry.New(b, facts.NewCase(facts.Shipped(), ""), inquiry.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)})
}

func keepNothing(*facts.Case) error { return nil }

// Answers arrive in any pieces: one byte at a time gives the same case as all
// at once, so no answer is lost between two questions.
func TestNoAnswerIsLostBetweenQuestions(t *testing.T) {
	answers := "0\r\n2\n0\n2\n0\n20 %\n."
	var cases []string
	for _, in := range []io.Reader{strings.NewReader(answers), iotest.OneByteReader(strings.NewReader(answers))} {
		q := newInquiry(t)
		end, err := Run(q, NewLines(in, io.Discard), keepNothing)
		if err != nil || end != HadEnough {
			t.Fatal(end, err)
		}
		cases = append(cases, string(q.Case().YAML()))
	}
	if cases[0] != cases[1] || !strings.Contains(cases[0], "gauge_charge: 20 %") {
		t.Errorf("one byte at a time:\n%s\nat once:\n%s", cases[1], cases[0])
	}
}

func TestHowLinesEnd(t *testing.T) {
	for name, c := range map[string]struct {
		in   io.Reader
		want error
		says string
	}{
		"nothing at all":        {strings.NewReader(""), ErrEnd, "1. "},
		"after an answer":       {strings.NewReader("0\n"), ErrEnd, "2. "},
		"a line without end":    {strings.NewReader(strings.Repeat("x", longestLine+1)), ErrTooLong, ""},
		"wrong, asked again":    {strings.NewReader("0\n7\n"), ErrEnd, "7 is not on the list"},
		"an unknown fact":       {strings.NewReader("= battery.oduor yes\n"), ErrEnd, "did you mean battery.odour?"},
		"back before the first": {strings.NewReader("<\n"), ErrEnd, "first question"},
	} {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			_, err := Run(newInquiry(t), NewLines(c.in, &out), keepNothing)
			if !errors.Is(err, c.want) {
				t.Errorf("error %v, want %v", err, c.want)
			}
			if !strings.Contains(out.String(), c.says) {
				t.Errorf("it does not say %q:\n%s", c.says, out.String())
			}
		})
	}
}

func TestWhatCannotBeSavedEndsTheInterview(t *testing.T) {
	full := errors.New("no space left")
	_, err := Run(newInquiry(t), NewLines(strings.NewReader("0\n0\n"), io.Discard), func(*facts.Case) error { return full })
	if !errors.Is(err, full) {
		t.Errorf("error %v, want %v", err, full)
	}
}
