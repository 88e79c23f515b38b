package triage

import (
	"bytes"
	"context"
	"encoding/csv"
	"strings"
	"testing"
	"time"
	"unicode"

	"loosecell/rules/advice"
	"loosecell/rules/book"
)

// runBytes answers arbitrary input and returns how many lines came out and the
// lines that were told.
func runBytes(t *testing.T, input []byte) (answered int, told map[int]bool, sum Summary, err error) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	a, err := advice.FindAnswer("condition")
	if err != nil {
		t.Fatal(err)
	}
	told = map[int]bool{}
	last := 0
	var out bytes.Buffer
	sum, err = Run(context.Background(), b, bytes.NewReader(input), &out, Options{
		Name: "cells", Answers: []advice.Answer{a}, Workers: 2, Advice: advice.Options{Now: time.Unix(1e9, 0)},
		Bad: func(b Bad) error {
			if b.Line < last {
				t.Errorf("line %d is told after line %d", b.Line, last)
			}
			last, told[b.Line] = b.Line, true
			return nil
		},
	})
	return bytes.Count(out.Bytes(), []byte("\n")), told, sum, err
}

// Whatever stands in a table: no row is lost, and nothing panics.
func FuzzTable(f *testing.F) {
	for _, seed := range []string{
		"phone,15,a\n", "phone,\"15\",\"a\"\"b\"\n", "phone,\"15\n\n\",\n", "\"\n\"\n\"\"\n,,\n", "a,b\r\n,,\r\n", "phone,,\x00\n\xff,,\n",
		"phone,1..2,\nphone,3 +- 1,\nphone,\"1,5\",\n", strings.Repeat("\"\n", 50) + ",,\n", " \" phone\" , 15 , x ",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, rows []byte) {
		answered, told, sum, err := runBytes(t, append([]byte("device.kind,battery.rated_energy [Wh],job.id\n"), rows...))
		if err != nil {
			t.Fatal(err)
		}
		if sum.BadRows != len(told) || answered-1+len(told) != sum.Rows {
			t.Errorf("%d rows, %d answered, %d told", sum.Rows, answered-1, len(told))
		}
		if lines := bytes.Count(rows, []byte("\n")) + 1; sum.Rows > lines {
			t.Errorf("%d rows in %d lines", sum.Rows, lines)
		}
	})
}

// A row that the standard library reads is read alike here.
func FuzzFields(f *testing.F) {
	for _, seed := range []string{"a,b", `"a","b""c",`, ` "a" , b`, `,"",`, `a"b`, `"a`, "\t\"x\""} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, row string) {
		if strings.ContainsAny(row, "\r\n") || strings.TrimSpace(row) == "" {
			return
		}
		if strings.ContainsFunc(row, func(r rune) bool { return unicode.IsSpace(r) && r != ' ' && r != '\t' }) {
			return // the library skips a form feed before a quote; here it is part of the field
		}
		r := csv.NewReader(strings.NewReader(row))
		r.TrimLeadingSpace = true
		want, err := r.Read()
		n, state := scan(row, ',')
		if state == sound {
			if got := split(row, ',', nil); len(got) != n {
				t.Errorf("%q has %d fields when counted and %d when parted", row, n, len(got))
			}
		}
		if err != nil {
			return
		}
		if state != sound || n != len(want) {
			t.Fatalf("%q has %d fields for the library, and %d here", row, len(want), n)
		}
		for i, field := range split(row, ',', nil) {
			if strings.TrimSpace(field) != strings.TrimSpace(want[i]) {
				t.Errorf("%q: field %d is %q for the library, and %q here", row, i, want[i], field)
			}
		}
	})
}

// Whatever stands in JSON lines: no row is lost, and nothing panics.
func FuzzObjects(f *testing.F) {
	for _, seed := range []string{
		`{"device.kind":"phone"}`, `{"device":{"kind":"phone","starts":true}}`, `{"job.tried":["warm",["card"]]}`, `{"a":{"b":{"c":[1,2,{}]}}}`,
		`{"device.stack":[{"material":"glass","thickness":"1 mm"}]}`, `{"battery.rated_energy [Wh]":1e400}`, `{"\ud800":"\u0000"}`, `{"":""}`, "{\"x\":1}\n{", `[]`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, rows []byte) {
		answered, told, sum, err := runBytes(t, append([]byte("{}\n"), rows...))
		if err != nil {
			t.Fatal(err)
		}
		if sum.BadRows != len(told) || answered+len(told) != sum.Rows {
			t.Errorf("%d rows, %d answered, %d told", sum.Rows, answered, len(told))
		}
	})
}
