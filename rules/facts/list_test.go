package facts

import (
	"errors"
	"testing"
)

func TestParseList(t *testing.T) {
	entries, err := ParseList(Shipped(), "cells.yaml", []byte(`
- job: {id: HL-1}
  battery: {swelling: none, mass: 55 g}
- count: 31
  job.id: HL-2
  battery:
    rated_energy: 13.5 Wh
- battery.swelling: unknown
`))
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != 3 || entries[0].Count != 1 || entries[1].Count != 31 || entries[1].At.Line != 4 {
		t.Fatalf("%+v", entries)
	}
	if v := entries[1].Case.Get("battery.rated_energy"); v.Low != 13.5 || v.At.Line != 7 {
		t.Errorf("%+v", v)
	}
	if v := entries[2].Case.Get("battery.swelling"); v.State != Unknown {
		t.Errorf("%+v", v)
	}
}

// Each entry is checked as a case file is, and no entries stand beside an error.
func TestParseListTellsEveryProblem(t *testing.T) {
	entries, err := ParseList(Shipped(), "cells.yaml", []byte("- battery: {mass: 55}\n- count: 0\n- battery: {rated_energy: 50 Wh, nominal_voltage: 3.8 V, rated_capacity: 4 Ah}\n"))
	var problems Problems
	if !errors.As(err, &problems) || entries != nil {
		t.Fatalf("%v, %v", entries, err)
	}
	for i, want := range []struct {
		code string
		line int
	}{{CodeNoUnit, 1}, {CodeBadCount, 2}, {CodeContradiction, 3}} {
		if problems[i].Code != want.code || problems[i].At.Line != want.line || problems[i].At.File != "cells.yaml" {
			t.Errorf("problem %d is %v, want %s on line %d", i, problems[i], want.code, want.line)
		}
	}
}
