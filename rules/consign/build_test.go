package consign

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"loosecell/rules/facts"
)

// plainLaw is a small law of its own, so that the laws of packing are tested
// apart from the rulebook: sound small cells under SP 188, larger ones under
// P903, damaged ones under P908, critical ones not at all.
type plainLaw struct{}

func (plainLaw) Classify(c *facts.Case, mode string) (Verdict, error) {
	var v Verdict
	v.Mode, v.Allowed, v.Condition, v.TransportState = mode, "yes", "sound", "not-damaged"
	word := func(fact string) string {
		f, _ := c.Catalogue().Lookup(fact)
		if x := c.Get(fact); x.State == facts.Stated {
			return strings.Join(f.Names(x.Words), "|")
		}
		return ""
	}
	v.UNNumber = map[string]string{"lco": "UN 3480", "li-metal": "UN 3090", "na-ion": "UN 3551"}[word("battery.chemistry")]
	if form := word("dispatch.packing"); form != "by-itself" && v.UNNumber != "" {
		v.UNNumber = map[string]string{"UN 3480": "UN 3481", "UN 3090": "UN 3091", "UN 3551": "UN 3552"}[v.UNNumber]
	}
	v.Basis = []string{"P903"}
	if e := c.Get("battery.rated_energy"); e.State == facts.Stated && e.High <= 20 {
		v.Basis = []string{"SP 188"}
	}
	if g := c.Get("dispatch.gross_mass"); g.State == facts.Stated && g.Low > 30 {
		v.Basis = []string{"P903"}
	}
	switch word("battery.swelling") {
	case "slight":
		v.Condition, v.TransportState, v.Basis = "damaged", "damaged", []string{"SP 376", "P908"}
	case "severe":
		v.Condition, v.TransportState, v.Allowed = "critical", "critical", "no"
		v.Why = []string{"Nobody carries it."}
	case "":
		v.Condition, v.TransportState, v.Basis = "unproven", "damaged", []string{"SP 376", "P908"}
	}
	return v, nil
}

// drawnList is a random list of cells.
func drawnList(t *rapid.T) []Row {
	cat := facts.Shipped()
	var rows []Row
	for i := range rapid.IntRange(1, 12).Draw(t, "rows") {
		c := facts.NewCase(cat, "list")
		set := func(fact string, words ...string) {
			if w := rapid.SampledFrom(words).Draw(t, fact); w != "" {
				if err := c.SetText(cat, fact, w); err != nil {
					t.Fatal(err)
				}
			}
		}
		set("battery.chemistry", "lco", "lco", "li-metal", "na-ion", "")
		set("battery.swelling", "none", "none", "slight", "severe", "")
		set("battery.rated_energy", "1 Wh", "15 Wh", "20 Wh", "45 Wh", "")
		set("battery.mass", "20 g", "60 g", "450 g", "9 kg", "31 kg", "99 kg", "")
		set("battery.series_cells", "1", "3", "")
		set("battery.parallel_cells", "1", "2", "")
		set("dispatch.packing", "by-itself", "by-itself", "in-equipment")
		set("dispatch.purpose", "reuse", "recycle")
		set("dispatch.jurisdiction", "eu")
		set("dispatch.discarded_by", "household", "business", "")
		rows = append(rows, Row{ID: fmt.Sprintf("HL-%d", i), Case: c, Count: rapid.SampledFrom([]int{1, 2, 7, 600}).Draw(t, "count"),
			At: facts.Position{File: "list", Line: i + 2, Column: 1}})
	}
	return rows
}

func schema(t testing.TB) *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(JSONSchema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("consignment.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("consignment.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

type fataler interface{ Fatalf(string, ...any) }

// lawful checks what holds for every answer: counts, limits, no mixing.
func lawful(t fataler, rows []Row, out *Consignment) {
	byID := map[string]Row{}
	left := map[string]int{}
	for _, r := range rows {
		byID[r.ID] = r
		left[r.ID] = r.Count
	}
	if len(out.Cells) != len(rows) {
		t.Fatalf("%d rows in, %d out", len(rows), len(out.Cells))
	}
	aside := map[string]int{}
	for _, s := range out.SetAside {
		aside[s.Row] += s.Count
		left[s.Row] -= s.Count
		if s.Reason == "" || len(s.Next) == 0 {
			t.Fatalf("%s is set aside without a reason or a next step", s.Row)
		}
	}
	schemes := map[string]Scheme{}
	for _, s := range Schemes() {
		schemes[s.Key] = s
	}
	families := func(fact string, list []Content) string {
		seen := ""
		for i, c := range list {
			f, _ := facts.Shipped().Lookup(fact)
			w := fmt.Sprint(f.Names(byID[c.Row].Case.Get(fact).Words))
			if w != "[li-metal]" && w != "[na-ion]" && fact == "battery.chemistry" {
				w = "lithium ion" // one UN number
			}
			if i > 0 && w != seen {
				return seen + " and " + w
			}
			seen = w
		}
		return ""
	}
	for i, p := range out.Packages {
		if p.Number != i+1 || len(p.Contents) == 0 {
			t.Fatalf("package %d has number %d and %d contents", i+1, p.Number, len(p.Contents))
		}
		net, number := 0.0, 0
		for _, c := range p.Contents {
			left[c.Row] -= c.Count
			number += c.Count
			if m := byID[c.Row].Case.Get("battery.mass"); m.State == facts.Stated {
				net += float64(c.Count) * m.High / 1000
			}
			if aside[c.Row] > 0 {
				t.Fatalf("%s is packed and set aside", c.Row)
			}
		}
		if net > p.NetKg+1e-6 || number != p.Cells {
			t.Fatalf("package %d says %g kg and %d cells, and holds %g and %d", p.Number, p.NetKg, p.Cells, net, number)
		}
		s := schemes[p.Scheme]
		if single := number == 1 && p.NetKg*1000 <= s.SingleG; !single && (p.NetKg*1000 > s.NetG || p.GrossKg*1000 > s.GrossG) || float64(number) > s.Items {
			t.Fatalf("package %d (%s) is over a limit: %d items, %g kg net, %g kg gross", p.Number, p.Scheme, number, p.NetKg, p.GrossKg)
		}
		for _, fact := range []string{"battery.chemistry", "dispatch.packing", "dispatch.purpose", "dispatch.discarded_by"} {
			if mixed := families(fact, p.Contents); mixed != "" {
				t.Fatalf("package %d mixes %s: %s", p.Number, fact, mixed)
			}
		}
	}
	for id, n := range left {
		if n != 0 {
			t.Fatalf("%s is off by %d", id, n)
		}
	}
	for _, c := range out.Cells {
		n := 0
		for _, p := range c.Packages {
			n += p.Count
		}
		if c.SetAside == (n > 0) || !c.SetAside && n != c.Count {
			t.Fatalf("row %s of %d is placed %d times, set aside %v", c.Row, c.Count, n, c.SetAside)
		}
	}
	k := out.Counts
	if k.Packed+k.SetAside != k.Cells || k.Packages != len(out.Packages) || k.Fewest > k.Packages {
		t.Fatalf("counts %+v", k)
	}
}

func TestBuildKeepsItsLaws(t *testing.T) {
	valid := schema(t)
	rapid.Check(t, func(t *rapid.T) {
		rows := drawnList(t)
		q := Request{Mode: "road", On: "2026-11-24"}
		out, err := Build(rows, q, plainLaw{})
		if err != nil {
			t.Fatal(err)
		}
		lawful(t, rows, out)
		for _, p := range out.Packages {
			states := map[string]bool{}
			for _, c := range p.Contents {
				for _, row := range out.Cells {
					if row.Row == c.Row {
						states[row.State] = true
					}
				}
			}
			if len(states) != 1 || !states[p.State] || p.State == "critical" {
				t.Fatalf("package %d, %s, holds %v", p.Number, p.State, states)
			}
		}
		first, err := json.Marshal(out)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Build(rows, q, plainLaw{})
		if err != nil {
			t.Fatal(err)
		}
		if second, _ := json.Marshal(again); !bytes.Equal(first, second) {
			t.Fatal("the same list gives two answers")
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(first))
		if err != nil {
			t.Fatal(err)
		}
		if err := valid.Validate(doc); err != nil {
			t.Fatal(err)
		}
	})
}

func TestBadRequests(t *testing.T) {
	rows, err := Read(facts.Shipped(), "a.csv", []byte("job.id,dispatch.packing,dispatch.jurisdiction,dispatch.date\nHL-1,by-itself,eu,2026-11-24\n"))
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		q    Request
		want string
	}{
		"no mode":       {Request{On: "2026-11-24"}, "modes: road"},
		"baggage":       {Request{Mode: "passenger-baggage", On: "2026-11-24"}, "modes: road"},
		"no date":       {Request{Mode: "road"}, "2026-11-24"},
		"no place":      {Request{Mode: "road", On: "2026-11-24", Jurisdiction: "mars"}, "un, eu, uk, us"},
		"against a row": {Request{Mode: "road", On: "2026-11-24", Jurisdiction: "us"}, "a.csv:2:16: "},
		"packing":       {Request{Mode: "road", On: "2026-11-24", Packing: "in-equipment"}, "a.csv:2:6: "},
	} {
		if out, err := Build(rows, c.q, plainLaw{}); err == nil || out != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, %v; want %q", name, out, err, c.want)
		}
	}
}
