package consign

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"loosecell/rules/facts"
)

// Bad lists: the code, the line and the column of the first problem.
func TestBadLists(t *testing.T) {
	for name, c := range map[string]struct {
		file, list, code string
		line, column     int
		fix              string
	}{
		"nothing":                     {"a.csv", "", facts.CodeNoRows, 1, 1, "header"},
		"only a header":               {"a.csv", "job.id,count\n", facts.CodeNoRows, 1, 1, ""},
		"no header":                   {"a.csv", "HL-1,3,lco\n", CodeNoHeader, 1, 1, "begin with"},
		"semicolons":                  {"a.csv", "job.id;count\nHL-1;2\n", CodeNoHeader, 1, 1, "commas"},
		"wrong column":                {"a.csv", "job.id,battery.sweling\nHL-1,none\n", facts.CodeUnknownKey, 1, 8, "battery.swelling"},
		"a derived fact":              {"a.csv", "job.id,derived.unit\nHL-1,cell\n", facts.CodeUnknownKey, 1, 8, ""},
		"column of a package":         {"a.csv", "job.id,dispatch.net_mass [kg]\nHL-1,2\n", CodeNotForList, 1, 8, "battery.mass"},
		"column twice":                {"a.csv", "job.id,count,count\nHL-1,2,2\n", facts.CodeDuplicate, 1, 14, ""},
		"unit in the header is wrong": {"a.csv", "job.id,battery.rated_energy [V]\nHL-1,15\n", facts.CodeWrongUnit, 1, 8, "Wh"},
		"unit on a word":              {"a.csv", "job.id,battery.swelling [mm]\nHL-1,none\n", facts.CodeWrongUnit, 1, 8, ""},
		"no unit anywhere":            {"a.csv", "job.id,battery.rated_energy\nHL-1,15\n", facts.CodeNoUnit, 2, 6, "Wh"},
		"bad unit in the field":       {"a.csv", "job.id,battery.rated_energy\nHL-1,15 V\n", facts.CodeWrongUnit, 2, 6, "Wh"},
		"decimal comma":               {"a.csv", "job.id,battery.rated_energy [Wh]\nHL-1,\"15,2\"\n", facts.CodeDecimalComma, 2, 6, "15.2"},
		"unknown word":                {"a.csv", "job.id,battery.swelling\nHL-1,big\n", facts.CodeUnknownWord, 2, 6, "severe"},
		"out of range":                {"a.csv", "job.id,battery.rated_energy [Wh]\nHL-1,-3\n", facts.CodeOutOfRange, 2, 6, ""},
		"not finite":                  {"a.csv", "job.id,battery.mass [g]\nHL-1,inf g\n", facts.CodeNotFinite, 2, 6, ""},
		"count of nought":             {"a.csv", "job.id,count\nHL-1,0\n", facts.CodeBadCount, 2, 6, ""},
		"negative count":              {"a.csv", "job.id,count\nHL-1,-2\n", facts.CodeBadCount, 2, 6, ""},
		"half a cell":                 {"a.csv", "job.id,count\nHL-1,1.5\n", facts.CodeBadCount, 2, 6, "12"},
		"count beyond all":            {"a.csv", "job.id,count\nHL-1,1000000000\n", facts.CodeBadCount, 2, 6, ""},
		"count that overflows":        {"a.csv", "job.id,count\nHL-1,99999999999999999999\n", facts.CodeBadCount, 2, 6, ""},
		"duplicate id":                {"a.csv", "job.id,count\nHL-1,1\nHL-2,1\nHL-1,2\n", CodeDuplicateID, 4, 1, "line 2|own"},
		"row too short":               {"a.csv", "job.id,count\nHL-1\n", CodeRagged, 2, 1, "commas"},
		"row too long":                {"a.csv", "job.id,count\nHL-1,2,3\n", CodeRagged, 2, 8, "quote"},
		"quote that does not close":   {"a.csv", "job.id,count\n\"HL-1,2\n", CodeTable, 2, 9, ""},
		"quote in the middle":         {"a.csv", "job.id,count\nHL\"1,2\n", CodeTable, 2, 3, "double quotes"},
		"CRLF, third line":            {"a.csv", "job.id,count\r\nHL-1,1\r\nHL-2,x\r\n", facts.CodeBadCount, 3, 6, ""},
		"byte order mark":             {"a.csv", "\xEF\xBB\xBFjob.id,count\nHL-1,x\n", facts.CodeBadCount, 2, 6, ""},
		"UTF-16":                      {"a.csv", "\xFF\xFEj\x00", facts.CodeBadText, 1, 1, "UTF-8"},
		"not UTF-8":                   {"a.csv", "job.id,count\nH\xFF,1\n", facts.CodeBadText, 2, 2, "UTF-8"},
		"a control character":         {"a.csv", "job.id,count\n\x1b[31mHL-1,1\n", facts.CodeBadText, 2, 1, ""},
		"old line ends":               {"a.csv", "job.id,count\rHL-1,1\r", CodeTable, 1, 1, "line ends"},
		"contradiction": {"a.csv", "job.id,battery.rated_energy [Wh],battery.nominal_voltage [V],battery.rated_capacity [Ah]\nHL-1,50,3.8,4\n",
			facts.CodeContradiction, 2, 6, "label"},

		"YAML: a mapping":        {"a.yaml", "battery: {swelling: none}\n", facts.CodeNotList, 1, 1, ""},
		"YAML: empty":            {"a.yaml", "# nothing\n", facts.CodeNoRows, 1, 1, ""},
		"YAML: a word":           {"a.yaml", "- phone\n", facts.CodeNotMapping, 1, 3, ""},
		"YAML: wrong key":        {"a.yaml", "- job: {id: HL-1}\n  battery: {sweling: none}\n", facts.CodeUnknownKey, 2, 13, "swelling"},
		"YAML: bad count":        {"a.yaml", "- job: {id: HL-1}\n  count: many\n", facts.CodeBadCount, 2, 10, ""},
		"YAML: count twice":      {"a.yaml", "- count: 1\n  count: 2\n", facts.CodeDuplicate, 2, 3, ""},
		"YAML: duplicate id":     {"a.yaml", "- job: {id: HL-1}\n- job: {id: HL-1}\n", CodeDuplicateID, 2, 13, ""},
		"YAML: package":          {"a.yaml", "- dispatch: {packages: 2}\n", CodeNotForList, 1, 24, ""},
		"YAML: bare number":      {"a.yaml", "- battery: {mass: 55}\n", facts.CodeNoUnit, 1, 19, "g"},
		"YAML: alias":            {"a.yaml", "- &a {count: 1}\n- *a\n", facts.CodeAlias, 1, 3, ""},
		"standard input is YAML": {"standard input", "- count: 0\n", facts.CodeBadCount, 1, 10, ""},
	} {
		t.Run(name, func(t *testing.T) {
			rows, err := Read(facts.Shipped(), c.file, []byte(c.list))
			var problems facts.Problems
			if !errors.As(err, &problems) || len(problems) == 0 {
				t.Fatalf("rows %v, error %v; want problems", rows, err)
			}
			if rows != nil {
				t.Errorf("rows beside an error")
			}
			p := problems[0]
			if p.Code != c.code || p.At.Line != c.line || p.At.Column != c.column || p.At.File != c.file {
				t.Errorf("got %v, want %s at %s:%d:%d", p, c.code, c.file, c.line, c.column)
			}
			for _, want := range strings.Split(c.fix, "|") {
				if !strings.Contains(p.Message+" "+p.Fix, want) {
					t.Errorf("%q does not say %q", p.Error(), want)
				}
			}
		})
	}
}

// The same list in every way it may be written.
func TestListsThatAreAlike(t *testing.T) {
	want := ""
	for name, c := range map[string]struct{ file, list string }{
		"units in the header":  {"a.csv", "job.id,count,battery.rated_energy [Wh],battery.swelling\nHL-1,2,15.2,none\n"},
		"units in the fields":  {"a.csv", "job.id,count,battery.rated_energy,battery.swelling\nHL-1,2,15.2 Wh,flat\n"},
		"another unit":         {"a.csv", "job.id,count,battery.rated_energy (mWh),battery.swelling\nHL-1,2,15200,none\n"},
		"mark, CRLF, quotes":   {"a.csv", "\xEF\xBB\xBFjob.id , count,\"battery.rated_energy [Wh]\",battery.swelling\r\n\"HL-1\", 2 ,\"15.2\",none\r\n\r\n"},
		"empty columns":        {"a.csv", "job.id,count,battery.rated_energy [Wh],battery.swelling,battery.leakage\nHL-1,2,15.2,none,\n"},
		"YAML, nested":         {"a.yaml", "- job: {id: HL-1}\n  count: 2\n  battery: {rated_energy: 15.2 Wh, swelling: none}\n"},
		"YAML, dotted":         {"a.yml", "- job.id: HL-1\n  count: 2\n  battery.rated_energy: 15.2 Wh\n  battery.swelling: none\n"},
		"YAML, standard input": {"standard input", "# the day\n- job.id: HL-1\n  count: 2\n  battery.rated_energy: 15.2 Wh\n  battery.swelling: none\n"},
	} {
		rows, err := Read(facts.Shipped(), c.file, []byte(c.list))
		if err != nil || len(rows) != 1 {
			t.Errorf("%s: %v, %v", name, rows, err)
			continue
		}
		got := rows[0].ID + " " + string(rows[0].Case.YAML())
		if want == "" {
			want = got
		}
		if got != want || rows[0].Count != 2 {
			t.Errorf("%s: %d x %q, want 2 x %q", name, rows[0].Count, got, want)
		}
	}
}

func TestUnknownAndOpenRangesInAList(t *testing.T) {
	rows, err := Read(facts.Shipped(), "a.csv", []byte("job.id,battery.rest_voltage [V],battery.temperature [degC],battery.swelling\nHL-1,3.7..,..35,unknown\n"))
	if err != nil {
		t.Fatal(err)
	}
	v := rows[0].Case.Get("battery.rest_voltage")
	if v.Low != 3.7 || v.High <= 100 {
		t.Errorf("3.7.. read as %v..%v", v.Low, v.High)
	}
	if v := rows[0].Case.Get("battery.temperature"); v.High != 35 {
		t.Errorf("..35 read as %v..%v", v.Low, v.High)
	}
	if v := rows[0].Case.Get("battery.swelling"); v.State != facts.Unknown {
		t.Errorf("unknown read as %v", v)
	}
}

func FuzzRead(f *testing.F) {
	f.Add("a.csv", []byte("job.id,count,battery.rated_energy [Wh]\nHL-1,2,15.2\n"))
	f.Add("a.csv", []byte("\xEF\xBB\xBFjob.id,battery.swelling\r\n\"HL,1\",none\r\n"))
	f.Add("a.yaml", []byte("- job: {id: HL-1}\n  count: 2\n"))
	f.Add("-", []byte("- [a]\n"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		rows, err := Read(facts.Shipped(), name, data)
		if (err == nil) == (len(rows) == 0) {
			t.Fatalf("%d rows and error %v", len(rows), err)
		}
		var problems facts.Problems
		if err != nil && !errors.As(err, &problems) {
			t.Fatalf("error of type %T", err)
		}
		for _, r := range rows {
			if r.Count < 1 || r.ID == "" {
				t.Fatalf("row %+v", r)
			}
		}
		again, _ := Read(facts.Shipped(), name, bytes.Clone(data))
		if len(again) != len(rows) {
			t.Fatal("reading twice differs")
		}
	})
}
