package advice

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"loosecell/rules/facts"
)

// stated reads a fully stated case for the oracle below.
type stated struct {
	t *rapid.T
	c *facts.Case
}

func (s stated) is(fact string, words ...string) bool {
	v := s.c.Get(fact)
	f, _ := s.c.Catalogue().Lookup(fact)
	for _, w := range words {
		if i, ok := f.Word(w); ok && v.State == facts.Stated && v.Words == 1<<i {
			return true
		}
	}
	return false
}

func (s stated) number(fact string, otherwise float64) float64 {
	if v := s.c.Get(fact); v.State == facts.Stated {
		return v.Low
	}
	return otherwise
}

func (s stated) day(fact string) string {
	return time.Unix(int64(s.c.Get(fact).Low)*86400, 0).UTC().Format(time.DateOnly)
}

// parcelFacts are what the decision table of the international rules looks at,
// worked out without the rulebook.
type parcelFacts struct {
	metal, sodium, spent, loose, with, in, size, small, tested, prototype, whMissing, bare bool
	charge, net, wh                                                                        float64
	day                                                                                    string
}

func (s stated) parcel() parcelFacts {
	p := parcelFacts{
		metal: s.is("battery.chemistry", "li-metal"), sodium: s.is("battery.chemistry", "na-ion"),
		spent: s.is("dispatch.purpose", "recycle", "dispose"), prototype: s.is("dispatch.prototype", "yes"),
		charge: s.number("battery.gauge_charge", 0), net: s.number("dispatch.net_mass", 0.1),
		wh: s.number("battery.rated_energy", 0), day: s.day("dispatch.date"),
	}
	bank := s.is("battery.role", "power-bank")
	p.in = s.is("dispatch.packing", "in-equipment") && !bank
	p.with = s.is("dispatch.packing", "with-equipment") && !bank && s.number("dispatch.equipment", 1) >= 1
	p.loose = !p.in && !p.with
	cell := s.number("battery.series_cells", 1)*s.number("battery.parallel_cells", 1) == 1
	limit, lithium := 100.0, 2.0
	if cell {
		limit, lithium = 20, 1
	}
	p.small = p.wh <= limit
	if p.metal {
		p.small = s.number("battery.lithium_content", 0) <= lithium
	}
	p.size = p.small // SP 636 asks for the size, not for a mark
	made := s.day("battery.made")
	unmarked := !cell && !p.metal && s.is("battery.wh_printed", "no")
	if unmarked && (p.sodium || made >= "2009-01-01") {
		p.small = false
	}
	p.whMissing = unmarked && (p.sodium && made >= "2026-01-01" || !p.sodium && made >= "2012-01-01")
	p.tested = s.is("battery.test_summary", "yes") || p.in && s.is("battery.form", "coin")
	p.bare = !p.in && s.is("battery.terminals", "bare")
	return p
}

// road is the decision table for roads in the EU, sound or damaged but steady.
func (s stated) road(p parcelFacts, hurt bool) (allowed, clause string) {
	gross, load := s.number("dispatch.gross_mass", 1), s.number("dispatch.load_per_vehicle", 1000)
	sorter := s.is("dispatch.destination", "sorter") && load <= 333
	household := s.is("dispatch.discarded_by", "household") && p.in
	switch {
	case p.sodium && p.day < "2025-01-01":
		return "approval", ""
	case p.bare:
		return "no", ""
	case p.whMissing && !p.spent:
		return "no", "SP 348"
	case hurt:
		return "yes", "SP 376"
	case p.spent && household && s.is("dispatch.main_source", "no"):
		return "yes", "SP 670(a)"
	case p.spent && household && sorter:
		return "yes", "SP 670(b)"
	case p.spent && p.loose && p.size && s.number("battery.mass", 1000) <= 500 && sorter:
		return "yes", "SP 636"
	case p.spent:
		return "yes", "SP 377"
	case s.is("dispatch.own_vehicle", "yes") && s.is("dispatch.destination", "customer") && load <= 333:
		return "yes", "1.1.3.1(c)"
	case p.prototype:
		return "yes", "SP 310"
	case !p.tested:
		return "no", "UN 38.3"
	case !p.small || p.loose && gross > 30:
		return "yes", "SP 230"
	}
	return "yes", "SP 188"
}

// air is the decision table for cargo aircraft and for cargo with passengers.
func (s stated) air(p parcelFacts, hurt, passenger bool) (allowed, clause string) {
	number := map[bool]map[string]string{
		false: {"loose": "965", "with": "966", "in": "967"}, true: {"loose": "968", "with": "969", "in": "970"},
	}[p.metal]
	if p.sodium {
		number = map[string]string{"loose": "976", "with": "977", "in": "978"}
	}
	most := 35.0
	if passenger {
		most = 5
	}
	switch {
	case hurt, p.bare, p.whMissing, p.sodium && p.day < "2025-01-01", passenger && p.loose, p.net > most:
		return "no", ""
	case !p.loose && p.metal && s.number("battery.lithium_content", 0) > 12 && s.number("battery.series_cells", 1)*s.number("battery.parallel_cells", 1) == 1:
		return "no", ""
	case passenger && p.prototype && !p.spent:
		return "no", "A88"
	case !p.tested && !p.prototype && !p.spent:
		return "no", "UN 38.3"
	case p.spent:
		return "approval", "A183"
	case p.prototype:
		return "approval", "A88"
	case p.loose && !p.metal && p.charge > 30:
		return "approval", "A331"
	case p.with && !p.metal && p.charge > 30 && p.wh > 2.7 && p.day >= "2026-01-01":
		return "approval", "A331"
	case p.loose && p.sodium:
		return "yes", "PI 976"
	case p.loose && (!p.small || p.net > map[bool]float64{true: 2.5, false: 10}[p.metal]):
		return "yes", "PI " + number["loose"] + "-IA"
	case p.loose:
		return "yes", "PI " + number["loose"] + "-IB"
	}
	form := map[bool]string{true: "with", false: "in"}[p.with]
	if !p.small || p.net > 5 {
		return "yes", "PI " + number[form] + "-I"
	}
	return "yes", "PI " + number[form] + "-II"
}

// us is the order of paragraphs of 49 CFR 173.185 for highway, rail and vessel.
func (s stated) us(p parcelFacts, hurt bool, mode string) (allowed, clause string) {
	cell := s.number("battery.series_cells", 1)*s.number("battery.parallel_cells", 1) == 1
	unmarked := !cell && !p.metal && s.is("battery.wh_printed", "no")
	loose := p.loose && s.number("dispatch.gross_mass", 1) > 30
	within := func(wh, grams float64) bool {
		if p.metal {
			return s.number("battery.lithium_content", 0) <= grams
		}
		return p.wh <= wh
	}
	small, road := within(100, 2), within(300, 25)
	if cell {
		small, road = within(20, 1), within(60, 5)
	}
	markedSmall := !(unmarked && s.day("battery.made") >= "2016-01-01")
	own := s.is("dispatch.own_vehicle", "yes") && !p.spent && s.number("dispatch.load_per_vehicle", 1000) <= 200 && s.number("dispatch.gross_mass", 1) <= 30
	relief := mode == "road" && p.spent
	switch {
	case p.sodium && mode != "sea":
		return "approval", ""
	case p.bare:
		return "no", ""
	case mode == "road" && own && !hurt:
		return "yes", "173.6"
	case unmarked && p.day >= "2024-05-10" && !relief && !(p.spent && mode == "road"):
		return "no", "173.185(a)(5)"
	case hurt:
		return "yes", "173.185(f)"
	case relief:
		return "yes", "173.185(d)"
	case p.prototype:
		return "yes", "173.185(e)"
	case !p.tested:
		return "no", "173.185(a)"
	case mode == "sea" && small && !loose && markedSmall, mode != "sea" && road && !loose && markedSmall:
		return "yes", "173.185(c)"
	}
	return "yes", "173.185(b)"
}

// TestCarriageAgainstTheUSParagraphs does the same for the United States.
func TestCarriageAgainstTheUSParagraphs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		changes := drawCarriage(t)
		for _, d := range damages {
			changes = strings.ReplaceAll(changes, d, "")
		}
		changes += "; dispatch.jurisdiction=us; battery.assessed=none"
		hurt := rapid.IntRange(0, 3).Draw(t, "damage") == 0
		if hurt {
			changes += "; battery.swelling=slight"
		}
		c := shipCase(t, changes)
		got, s := shipped(t, c), stated{t, c}
		p := s.parcel()
		for _, mode := range []string{"road", "rail", "sea"} {
			if mode == "sea" && p.sodium {
				continue // the IMDG Code answers there
			}
			allowed, clause := s.us(p, hurt, mode)
			if got[mode].Allowed != allowed || clause != "" && !slices.Contains(got[mode].Basis, clause) {
				t.Fatalf("%s: %s %v %v, the paragraphs say %s %s", mode, got[mode].Allowed, got[mode].Basis, got[mode].Why, allowed, clause)
			}
		}
	})
}

// TestCarriageAgainstTheDecisionTable compares the rulebook with the decision
// table of the international rules, written down a second time, in both
// directions: neither bolder than the law nor stricter where all is stated.
func TestCarriageAgainstTheDecisionTable(t *testing.T) {
	steady := []string{"battery.swelling=slight", "battery.deformation=slight", "battery.recalled=yes", "battery.wetted=yes", "battery.leakage=confirmed"}
	rapid.Check(t, func(t *rapid.T) {
		changes := drawCarriage(t)
		for _, d := range damages {
			changes = strings.ReplaceAll(changes, d, "")
		}
		changes += "; dispatch.jurisdiction=eu; battery.assessed=none"
		hurt := rapid.IntRange(0, 3).Draw(t, "steady damage") == 0
		if hurt {
			changes += "; " + rapid.SampledFrom(steady).Draw(t, "damage")
		}
		c := shipCase(t, changes)
		got, s := shipped(t, c), stated{t, c}
		p := s.parcel()
		want := func(mode, allowed, clause string) {
			if got[mode].Allowed != allowed || clause != "" && !slices.Contains(got[mode].Basis, clause) {
				t.Fatalf("%s: %s %v %v, the decision table says %s %s", mode, got[mode].Allowed, got[mode].Basis, got[mode].Why, allowed, clause)
			}
		}
		allowed, clause := s.road(p, hurt)
		want("road", allowed, clause)
		allowed, clause = s.air(p, hurt, false)
		want("air-cargo", allowed, clause)
		allowed, clause = s.air(p, hurt, true)
		want("air-passenger", allowed, clause)
	})
}
