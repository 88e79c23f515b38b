package triage_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"pgregory.net/rapid"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/facts"
	"loosecell/rules/triage"
)

var today = time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)

func shipped(t testing.TB) *rules.Book {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func answers(t testing.TB, names ...string) []advice.Answer {
	var out []advice.Answer
	for _, n := range names {
		a, err := advice.FindAnswer(n)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, a)
	}
	return out
}

// result is what a run wrote, read back.
type result struct {
	heading []string
	rows    [][]string
	bad     []triage.Bad
	summary triage.Summary
}

func run(t testing.TB, input string, o triage.Options) (result, error) {
	var r result
	var out bytes.Buffer
	o.Name = "cells"
	o.Advice.Now = today
	if o.Answers == nil {
		o.Answers = answers(t, "verdict", "condition")
	}
	o.Bad = func(b triage.Bad) error { r.bad = append(r.bad, b); return nil }
	var err error
	r.summary, err = triage.Run(context.Background(), shipped(t), strings.NewReader(input), &out, o)
	if err != nil || out.Len() == 0 || o.Format == triage.JSONLines {
		return r, err
	}
	reader := csv.NewReader(&out)
	if strings.HasPrefix(out.String(), "line;") {
		reader.Comma = ';'
	}
	all, err := reader.ReadAll()
	if err != nil {
		t.Fatalf("the output is no table: %v", err)
	}
	r.heading, r.rows = all[0], all[1:]
	return r, nil
}

// The headings of the random tables, and the fields they draw from, some of
// them wrong.
var columns = []struct {
	heading string
	good    []string
	bad     []string
}{
	{"job.id", []string{"HL-1", "HL-2", `a "quoted" name`, "one, two", ""}, []string{"\a"}},
	{"device.kind", []string{"phone", "laptop", "watch", "", "unknown"}, []string{"boat"}},
	{"battery.rated_energy [Wh]", []string{"15", "15.2", "12..16", "40 Wh", "0.5", "", "unknown", "15 +- 1"}, []string{"-3", "fifteen", "15 V", "007"}},
	{"battery.rest_voltage [mV]", []string{"3780", "3.78 V", "", "3600..3700"}, []string{"3780 Ah"}},
	{"battery.swelling", []string{"none", "slight", "severe", "bloated", "", "unknown"}, []string{"huge"}},
	{"battery.looked", []string{"both-faces", "opened", "closed", "no", ""}, []string{"yes please"}},
	{"battery.odour", []string{"no", "yes", "true", ""}, []string{"maybe"}},
	{"battery.place", []string{"removed", "in-open-device", "in-closed-device", ""}, nil},
	{"job.tried", []string{"stretch-strips", "warm; card", "none", ""}, []string{"magic", "warm; magic"}},
	{"battery.series_cells", []string{"1", "2", "2..3", ""}, []string{"1.5"}},
}

// randomTable is a table and, for each of its rows, the case it means; nil for a
// row that is wrong.
func randomTable(t *rapid.T) (text string, rows [][]string, cases []*facts.Case) {
	chosen := rapid.SliceOfNDistinct(rapid.IntRange(1, len(columns)-1), 1, len(columns)-1, rapid.ID[int]).Draw(t, "columns")
	chosen = append([]int{0}, chosen...)
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = rapid.Bool().Draw(t, "CRLF")
	var heading []string
	for _, c := range chosen {
		heading = append(heading, columns[c].heading)
	}
	if err := w.Write(heading); err != nil {
		t.Fatal(err)
	}
	for range rapid.IntRange(1, 300).Draw(t, "rows") {
		var row []string
		c := facts.NewCase(facts.Shipped(), "")
		for _, i := range chosen {
			col := columns[i]
			field := rapid.SampledFrom(col.good).Draw(t, "field")
			if len(col.bad) > 0 && rapid.IntRange(0, 60).Draw(t, "wrong") == 0 {
				field, c = rapid.SampledFrom(col.bad).Draw(t, "field"), nil
			}
			row = append(row, field)
			c = stated(t, c, col.heading, field)
		}
		if c != nil && len(facts.Contradictions(c)) > 0 {
			c = nil
		}
		rows, cases = append(rows, row), append(cases, c)
		if err := w.Write(row); err != nil {
			t.Fatal(err)
		}
	}
	w.Flush()
	text = out.String()
	if rapid.Bool().Draw(t, "byte order mark") {
		text = "\xEF\xBB\xBF" + text
	}
	return text, rows, cases
}

// stated puts a good field into a case the way a case file has it.
func stated(t *rapid.T, c *facts.Case, heading, field string) *facts.Case {
	if c == nil || field == "" {
		return c
	}
	name, unit, _ := strings.Cut(strings.TrimSuffix(heading, "]"), " [")
	if strings.Contains(field, ";") {
		field = "[" + strings.ReplaceAll(field, ";", ",") + "]"
	}
	if last := field[len(field)-1]; unit != "" && last >= '0' && last <= '9' {
		field += " " + unit
	}
	if err := c.SetText(facts.Shipped(), name, field); err != nil {
		t.Fatalf("%s: %q: %v", heading, field, err)
	}
	return c
}

// Whatever the table: every row comes out once, answered or told, in order, and
// with the answers that advise gives for the same case.
func TestRowsAreConservedInOrderAndAnsweredAsAdviseDoes(t *testing.T) {
	b := shipped(t)
	shop, err := facts.ParseShop(facts.Shipped(), "shop", []byte("bench: {fire_bin: yes, ventilation: open-window, help: beside}"))
	if err != nil {
		t.Fatal(err)
	}
	ask := answers(t, "verdict", "condition", "transport_state", "removal.pick", "storage.class", "storage.container")
	rapid.Check(t, func(rt *rapid.T) {
		text, rows, cases := randomTable(rt)
		got, err := run(t, text, triage.Options{Answers: ask, Shop: shop, Workers: rapid.IntRange(1, 4).Draw(rt, "workers")})
		if err != nil {
			rt.Fatalf("%v\n%s", err, text)
		}
		told := map[int]bool{}
		for _, bad := range got.bad {
			told[bad.Line] = true
		}
		next := 0
		for i, c := range cases {
			line := i + 2
			if c == nil {
				if !told[line] {
					rt.Errorf("line %d is wrong and not told: %q", line, rows[i])
				}
				continue
			}
			if told[line] || next >= len(got.rows) {
				rt.Fatalf("line %d is right and not answered: %q, %v", line, rows[i], got.bad)
			}
			row := got.rows[next]
			next++
			if row[0] != strconv.Itoa(line) || row[1] != rows[i][0] {
				rt.Fatalf("row %q stands where line %d was due: %q", row, line, rows[i])
			}
			if i%16 != 0 {
				continue // a whole advice is slow
			}
			want, err := advice.Advise(b, c.Over(shop), advice.Options{Now: today})
			if err != nil {
				rt.Fatal(err)
			}
			says := []string{want.Verdict, want.Condition, want.TransportState, want.Removal.Pick, want.Storage.Class, want.Storage.Container}
			if !slices.Equal(row[2:], says) {
				rt.Errorf("line %d: %q, and advise says %q: %q", line, row[2:], says, rows[i])
			}
		}
		if next != len(got.rows) || got.summary.Rows != len(rows) || got.summary.BadRows != len(told) {
			rt.Errorf("%d rows in, %d answered, %d told; the summary has %+v", len(rows), len(got.rows), len(told), got.summary)
		}
	})
}

// The same rows as JSON lines, dotted or in groups, get the same answers.
func TestTableAndJSONLinesAgree(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text, rows, _ := randomTable(rt)
		fromTable, err := run(t, text, triage.Options{})
		if err != nil {
			rt.Fatal(err)
		}
		heading, _, _ := strings.Cut(strings.TrimPrefix(text, "\xEF\xBB\xBF"), "\n")
		names := strings.Split(strings.TrimSuffix(heading, "\r"), ",")
		var lines strings.Builder
		for _, row := range rows {
			lines.WriteString(asObject(rt, names, row) + "\n")
		}
		fromLines, err := run(t, lines.String(), triage.Options{Format: triage.CSV})
		if err != nil {
			rt.Fatal(err)
		}
		if len(fromLines.rows) != len(fromTable.rows) {
			rt.Fatalf("%d rows from JSON lines, %d from the table: %v", len(fromLines.rows), len(fromTable.rows), fromLines.bad)
		}
		for i, row := range fromLines.rows {
			if want := fromTable.rows[i]; !slices.Equal(row[len(row)-2:], want[len(want)-2:]) || row[1] != want[1] {
				rt.Errorf("JSON lines say %q and the table %q", row, want)
			}
		}
	})
}

// asObject writes a row as JSON, some facts in their group.
func asObject(t *rapid.T, names, row []string) string {
	flat, groups := map[string]any{}, map[string]map[string]any{}
	for i, name := range names {
		var value any = row[i]
		if strings.Contains(row[i], ";") {
			value = strings.Split(row[i], ";")
		}
		group, key, _ := strings.Cut(name, ".")
		if rapid.Bool().Draw(t, "grouped") {
			if groups[group] == nil {
				groups[group] = map[string]any{}
			}
			groups[group][key] = value
		} else {
			flat[name] = value
		}
	}
	for group, inner := range groups {
		flat[group] = inner
	}
	out, err := json.Marshal(flat)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestHeadings(t *testing.T) {
	for name, c := range map[string]struct{ input, code string }{
		"no fact":          {"make,model\n", triage.CodeNoHeader},
		"misspelt":         {"device.kind,battery.sweling\n", facts.CodeUnknownKey},
		"worked out":       {"device.kind,derived.unit\n", facts.CodeNotStatable},
		"twice":            {"device.kind,battery.odour,device.kind\n", facts.CodeDuplicate},
		"unit of another":  {"battery.rated_energy [V]\n", facts.CodeWrongUnit},
		"unit of a word":   {"device.kind [V]\n", facts.CodeWrongUnit},
		"unknown unit":     {"battery.rated_energy [parsec]\n", facts.CodeUnknownUnit},
		"open quote":       {"device.kind,\"battery.odour\n", triage.CodeQuotes},
		"UTF-16":           {"\xFF\xFEd\x00e\x00", facts.CodeBadText},
		"old line ends":    {"device.kind\rphone\r", triage.CodeQuotes},
		"one array":        {`[{"device.kind": "phone"}]`, triage.CodeJSON},
		"an endless line":  {strings.Repeat("x", 1<<20), triage.CodeTooLong},
		"keeps what isn't": {"device.kind\n", facts.CodeUnknownKey},
	} {
		t.Run(name, func(t *testing.T) {
			o := triage.Options{}
			if name == "keeps what isn't" {
				o.Keep = []string{"shelf"}
			}
			r, err := run(t, c.input, o)
			var problems facts.Problems
			if !errors.As(err, &problems) || len(problems) == 0 || problems[0].Code != c.code {
				t.Fatalf("%v, want code %s", err, c.code)
			}
			if r.heading != nil || len(r.bad) > 0 {
				t.Errorf("something was written: %q", r.heading)
			}
		})
	}
}

// A shard of many may have nothing in it.
func TestNothingInNothingOut(t *testing.T) {
	for name, input := range map[string]string{
		"nothing": "", "blank lines": "\n \n\r\n\t\n", "a byte order mark": "\xEF\xBB\xBF", "many blank lines": strings.Repeat("\n", 1<<20),
		"a heading": "device.kind,battery.odour\n",
	} {
		t.Run(name, func(t *testing.T) {
			r, err := run(t, input, triage.Options{})
			if err != nil || len(r.rows) > 0 || len(r.bad) > 0 || r.summary.Rows != 0 || len(r.summary.Tallies) != 2 {
				t.Fatalf("%v, %+v", err, r)
			}
			if (r.heading != nil) != (name == "a heading") {
				t.Errorf("the heading is %q", r.heading)
			}
		})
	}
}

// Each line stands for what comes of it: an answer, or a code.
func TestBadRowsAreToldAndTheRestGoesOn(t *testing.T) {
	const heading = "job.id,device.kind,battery.rated_energy [Wh],battery.nominal_voltage [V],battery.rated_capacity [Ah]\n"
	long := strings.Repeat("x", 1<<20)
	for _, c := range []struct{ name, row, column, code string }{
		{"good", "a,phone,15,,", "", ""},
		{"no word", "a,boat,15,,", "device.kind", facts.CodeUnknownWord},
		{"no number", "a,phone,much,,", "battery.rated_energy [Wh]", facts.CodeBadNumber},
		{"decimal comma", `a,phone,"15,2",,`, "battery.rated_energy [Wh]", facts.CodeDecimalComma},
		{"out of range", "a,phone,15,-3,", "battery.nominal_voltage [V]", facts.CodeOutOfRange},
		{"contradiction", "a,phone,15,3.8,12", "battery.rated_energy [Wh]", facts.CodeContradiction},
		{"too few", "a,phone", "", triage.CodeRagged},
		{"too many", "a,phone,15,,,,", "", triage.CodeRagged},
		{"open quote", `"a,phone,15,,`, "", triage.CodeQuotes},
		{"stray quote", `a "b",phone,15,,`, "", triage.CodeQuotes},
		{"text after a quote", `"a"b,phone,15,,`, "", triage.CodeQuotes},
		{"not UTF-8", "a,ph\xffne,15,,", "device.kind", facts.CodeUnknownWord},
		{"steers the terminal", "\x1b[31mred,phone,15,,", "job.id", facts.CodeBadText},
		{"a huge field", long + ",phone,15,,", "", triage.CodeTooLong},
		{"a huge quoted field", `"` + long + `",phone,15,,`, "", triage.CodeTooLong},
	} {
		t.Run(c.name, func(t *testing.T) {
			input := heading + "first,phone,12,,\n" + c.row + "\r\n\n" + "last,laptop,50,,"
			r, err := run(t, input, triage.Options{Workers: 2})
			if err != nil {
				t.Fatal(err)
			}
			wanted := []string{"first", "last"}
			if c.code == "" {
				wanted = []string{"first", "a", "last"}
				if len(r.bad) > 0 {
					t.Errorf("it is wrong: %v", r.bad)
				}
			} else if len(r.bad) != 1 || r.bad[0].Code != c.code || r.bad[0].Column != c.column || r.bad[0].Line != 3 {
				t.Errorf("%+v, want code %s in column %q of line 3", r.bad, c.code, c.column)
			}
			var got []string
			for _, row := range r.rows {
				got = append(got, row[1])
			}
			if !slices.Equal(got, wanted) || r.rows[len(r.rows)-1][0] != "5" {
				t.Errorf("answered %q, want %q with the last on line 5: %q", got, wanted, r.rows)
			}
		})
	}
}

// A quoted field may hold line ends; a quote that never closes costs one line.
func TestQuotedLineEnds(t *testing.T) {
	input := "device.kind,note,job.id\nphone,\"two\nlines\",a\nphone,\"open,b\nphone,,c\nphone,,d\nphone,\"x\",e\n"
	r, err := run(t, input, triage.Options{})
	if err == nil {
		t.Fatal("note is no fact, and it was read")
	}
	r, err = run(t, strings.ReplaceAll(input, "two\nlines", "two lines"), triage.Options{Keep: []string{"note"}})
	if err != nil || len(r.rows) != 4 || len(r.bad) != 1 || r.bad[0].Line != 3 {
		t.Fatalf("%v, rows %q, bad %+v", err, r.rows, r.bad)
	}
	// A field with a line end is read whole, and told because it cannot be copied.
	r, err = run(t, input, triage.Options{Keep: []string{"note"}})
	if err != nil || len(r.rows) != 3 || len(r.bad) != 2 || r.bad[0].Code != facts.CodeBadText || r.bad[1].Line != 4 {
		t.Fatalf("%v, rows %q, bad %+v", err, r.rows, r.bad)
	}
}

func TestSeparatorsOfSpreadsheets(t *testing.T) {
	for name, separator := range map[string]string{"semicolons": ";", "tabs": "\t"} {
		t.Run(name, func(t *testing.T) {
			lines := []string{"job.id,device.kind,battery.swelling", "a,phone,none", "b,phone,severe"}
			input := strings.ReplaceAll(strings.Join(lines, "\r\n"), ",", separator)
			var out bytes.Buffer
			o := triage.Options{Name: "cells", Answers: answers(t, "condition"), Advice: advice.Options{Now: today}, Bad: func(b triage.Bad) error { return fmt.Errorf("%v", b) }}
			if _, err := triage.Run(context.Background(), shipped(t), strings.NewReader(input), &out, o); err != nil {
				t.Fatal(err)
			}
			if want := strings.ReplaceAll("line,job.id,condition", ",", separator) + "\n"; !strings.HasPrefix(out.String(), want) {
				t.Errorf("%q does not begin with %q", out.String(), want)
			}
		})
	}
}

// JSON values as programs write them.
func TestJSONValues(t *testing.T) {
	for _, c := range []struct{ line, code string }{
		{`{"device.kind": "phone", "battery.odour": false, "battery.series_cells": 2}`, ""},
		{`{"device": {"kind": "phone"}, "job": {"id": "a", "tried": ["warm", "card"]}}`, ""},
		{`{"device.kind": "ph\u006fne", "battery.swelling": null, "count": 3}`, ""},
		{`{"device.stack": [{"material": "glass", "thickness": "0.7 mm"}]}`, ""},
		{`{"battery.rated_energy [Wh]": 15.2}`, ""},
		{`{}`, ""},
		{`{"battery.rated_energy": 15.2}`, facts.CodeNoUnit},
		{`{"battery.swelling": ["none", "slight"]}`, facts.CodeNotScalar},
		{`{"battery.swelling": {"is": "none"}}`, facts.CodeNotScalar},
		{`{"job.tried": [["warm"]]}`, facts.CodeUnknownWord},
		{`{"device.kind": "phone", "device": {"kind": "phone"}}`, facts.CodeDuplicate},
		{`{"device.kin": "phone"}`, facts.CodeUnknownKey},
		{`{"count": 0}`, facts.CodeBadCount},
		{`{"device.kind": "phone"`, triage.CodeJSON},
		{`{"a": 1} {"b": 2}`, triage.CodeJSON},
		{`["phone"]`, triage.CodeJSON},
		{`"phone"`, triage.CodeJSON},
	} {
		r, err := run(t, "{\"device.kind\": \"phone\"}\n"+c.line+"\n", triage.Options{Format: triage.CSV})
		if err != nil {
			t.Errorf("%s: %v", c.line, err)
			continue
		}
		switch {
		case c.code == "" && (len(r.rows) != 2 || len(r.bad) > 0):
			t.Errorf("%s: %+v", c.line, r.bad)
		case c.code != "" && (len(r.bad) != 1 || r.bad[0].Code != c.code):
			t.Errorf("%s: %+v, want %s", c.line, r.bad, c.code)
		}
	}
}

// Rows that count for several cells weigh as much in the summary.
func TestCountsWeigh(t *testing.T) {
	r, err := run(t, "count,device.kind,battery.swelling,battery.place\n31,phone,severe,removed\n,phone,severe,removed\n", triage.Options{Answers: answers(t, "condition")})
	if err != nil || r.summary.Cells != 32 || r.rows[0][1] != "31" {
		t.Fatalf("%v, %+v, %q", err, r.summary, r.rows)
	}
	sum := 0
	for _, n := range r.summary.Tallies[0].Cells {
		sum += n
	}
	if sum != 32 {
		t.Errorf("the classes add up to %d: %+v", sum, r.summary)
	}
}

// Input in crumbs, input that breaks and output that breaks.
func TestStreamsAsTheyAre(t *testing.T) {
	rows := strings.Repeat("a,phone\n", 1000)
	o := triage.Options{Name: "cells", Answers: answers(t, "condition"), Advice: advice.Options{Now: today}, Bad: func(b triage.Bad) error { return fmt.Errorf("%v", b) }}
	var out bytes.Buffer
	if _, err := triage.Run(context.Background(), shipped(t), iotest.OneByteReader(strings.NewReader("job.id,device.kind\n"+rows[:400])), &out, o); err != nil || strings.Count(out.String(), "\n") != 51 {
		t.Errorf("in crumbs: %v, %d lines", err, strings.Count(out.String(), "\n"))
	}
	broken := io.MultiReader(strings.NewReader("job.id,device.kind\n"+rows), iotest.ErrReader(errors.New("unplugged")))
	out.Reset()
	if _, err := triage.Run(context.Background(), shipped(t), broken, &out, o); err == nil || !strings.Contains(err.Error(), "unplugged") || strings.Count(out.String(), "\n") != 1001 {
		t.Errorf("broken input: %v, %d lines", err, strings.Count(out.String(), "\n"))
	}
	if _, err := triage.Run(context.Background(), shipped(t), strings.NewReader("job.id,device.kind\n"+strings.Repeat(rows, 20)), &fullAfter{lines: 3}, o); err == nil || !strings.Contains(err.Error(), "no space") {
		t.Errorf("broken output: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := triage.Run(ctx, shipped(t), strings.NewReader("job.id,device.kind\n"+rows), io.Discard, o); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

// A run that is stopped while it waits for input ends with the reason, and the
// rows written by then are whole.
func TestStoppedWhileWaiting(t *testing.T) {
	enough := errors.New("enough")
	for name, input := range map[string]string{"for anything": "", "for the rest of a heading": "job.id,dev", "for rows": "job.id,device.kind\na,phone\nb,pho"} {
		t.Run(name, func(t *testing.T) {
			in, feed := io.Pipe()
			defer feed.Close()
			ctx, cancel := context.WithCancelCause(context.Background())
			var out bytes.Buffer
			o := triage.Options{Name: "cells", Answers: answers(t, "condition"), Advice: advice.Options{Now: today}, Workers: 2, Bad: func(b triage.Bad) error { return fmt.Errorf("%v", b) }}
			done := make(chan error, 1)
			go func() {
				_, err := triage.Run(ctx, shipped(t), in, &out, o)
				done <- err
			}()
			if _, err := io.WriteString(feed, input); err != nil {
				t.Fatal(err)
			}
			cancel(enough)
			if err := <-done; err != enough {
				t.Errorf("it ended with %v", err)
			}
			if text := out.String(); text != "" && !strings.HasSuffix(text, "\n") {
				t.Errorf("half a row is written: %q", text)
			}
		})
	}
}

// Each rule of a list is counted, and cells weigh by their count.
func TestListsAreCountedByTheirWords(t *testing.T) {
	jig := book.File{Name: "shop.yaml", Data: []byte(`
topic: harbour-lane
rules:
  - id: our-jig
    when: device.kind == 'tablet'
    lift: [heat]
    relaxes: {rule: no-heat-through-a-display, why: A jig., who: the owner of the bench, until: 2027-03-01}
    because: With the jig the heat does not pass through the display.
    source: common-practice
  - id: our-other-jig
    when: device.kind == 'tablet' or device.kind == 'laptop'
    lift: [heat]
    relaxes: {rule: no-heat-through-a-display, why: A jig., who: the owner of the bench, until: 2027-03-01}
    because: With the jig the heat does not pass through the display.
    source: common-practice
`)}
	shop, err := book.With(jig)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	o := triage.Options{Name: "cells", Answers: answers(t, "heat.may"), Advice: advice.Options{Now: today}, Bad: func(b triage.Bad) error { return fmt.Errorf("%v", b) }}
	const heading = "device.kind,battery.looked,battery.history_asked,count\n"
	sum, err := triage.Run(context.Background(), shop, strings.NewReader(heading+"tablet,both-faces,yes,31\nlaptop,both-faces,yes,\nphone,both-faces,yes,\n"), &out, o)
	if err != nil {
		t.Fatal(err)
	}
	if want := "line,count,heat.may,relaxed\n2,31,open,our-jig; our-other-jig\n3,,open,our-other-jig\n4,,open,\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
	last := sum.Tallies[len(sum.Tallies)-1]
	if last.Answer != advice.Relaxed || !slices.Equal(last.Words, []string{"our-jig", "our-other-jig"}) || !slices.Equal(last.Cells, []int{31, 32}) {
		t.Errorf("%+v", last)
	}
}

type fullAfter struct{ lines int }

func (f *fullAfter) Write(p []byte) (int, error) {
	if f.lines--; f.lines < 0 {
		return 0, errors.New("no space left")
	}
	return len(p), nil
}

// Whoever feeds rows slowly gets each answer before sending the next row.
func TestAnswersDoNotWaitForMoreRows(t *testing.T) {
	in, feed := io.Pipe()
	seen, out := io.Pipe()
	o := triage.Options{Name: "cells", Answers: answers(t, "condition"), Advice: advice.Options{Now: today}, Bad: func(triage.Bad) error { return nil }}
	done := make(chan error, 1)
	go func() {
		_, err := triage.Run(context.Background(), shipped(t), in, out, o)
		done <- err
	}()
	lines := make([]byte, 1024)
	for _, text := range []string{"job.id,device.kind\n", "a,phone\n", "b,laptop\n"} {
		if _, err := feed.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if n, err := seen.Read(lines); err != nil || n == 0 {
			t.Fatal(err)
		}
	}
	feed.Close()
	if err := <-done; err != nil {
		t.Error(err)
	}
}
