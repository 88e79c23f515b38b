package carriagetest

import (
	"maps"
	"slices"

	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// Law rules, mode by mode, on a parcel that states what the law asks about: the
// decision tables of the international rules and of the United States, written
// down a second time. What a case leaves out of the package is that of one
// battery. It knows sound batteries, and those that are hurt so that nobody can
// doubt it: damage that is not ruled out is for the published cases.
func Law(c *facts.Case) map[string]Answer {
	p := read(c)
	out := map[string]Answer{
		"air-cargo": p.cargo(), "air-passenger": p.passenger(), "passenger-baggage": p.baggage(), "post": p.post(),
	}
	if p.law == "us" {
		out["road"], out["rail"] = p.highway(), p.usRail()
	} else {
		out["road"], out["rail"] = p.road(), p.rail()
	}
	if p.law == "us" && !p.sodium {
		out["sea"] = p.vessel()
	} else {
		out["sea"] = p.sea()
	}
	for mode, a := range out {
		a.UN = p.un()
		a.Words = append(a.Words, p.name())
		a.Words = append(a.Words, p.edition(mode)...)
		out[mode] = a
	}
	return out
}

// Misses lists where the answers for a parcel depart from the law.
func Misses(law map[string]Answer, got map[string]advice.Shipping) []string {
	var out []string
	for _, mode := range slices.Sorted(maps.Keys(law)) {
		want := law[mode]
		s, ok := got[mode]
		if !ok {
			out = append(out, mode+" is not answered")
			continue
		}
		out = append(out, want.Misses(s)...)
	}
	return out
}

// un is the entry of the dangerous goods list (ADR Table A; power banks and
// batteries with a charger only: airline guidance for 2026).
func (p *parcel) un() string {
	numbers := [2]string{"UN 3480", "UN 3481"}
	switch {
	case p.metal:
		numbers = [2]string{"UN 3090", "UN 3091"}
	case p.sodium:
		numbers = [2]string{"UN 3551", "UN 3552"}
	}
	if p.loose {
		return numbers[0]
	}
	return numbers[1]
}

// name is the proper shipping name (ADR Table A).
func (p *parcel) name() string {
	kind := p.named("LITHIUM ION BATTERIES", "LITHIUM METAL BATTERIES", "SODIUM ION BATTERIES")
	switch {
	case p.with:
		return kind + " PACKED WITH EQUIPMENT"
	case p.loose:
		return kind
	}
	return kind + " CONTAINED IN EQUIPMENT"
}

// named picks the word for the kind of battery.
func (p *parcel) named(ion, metal, sodium string) string {
	switch {
	case p.metal:
		return metal
	case p.sodium:
		return sodium
	}
	return ion
}

// edition is the text in force on the day, and to when it is known; nothing on
// land where no land's law is named.
func (p *parcel) edition(mode string) []string {
	onLand := mode == "road" || mode == "rail"
	before, after := "ICAO Technical Instructions 2023-2024 until 2024-12-31", "ICAO Technical Instructions 2025-2026 until 2026-12-31"
	from := "2025-01-01"
	switch {
	case onLand && p.law == "un":
		return nil
	case p.law == "us" && (onLand || mode == "sea" && !p.sodium):
		before, after = "49 CFR 173.185 of 27 December 2022 until 2024-05-09", "49 CFR 173.185 as amended from 10 May 2024 until 2026-12-31"
		from = "2024-05-10"
	case onLand:
		before, after = "ADR/RID 2023 until 2024-12-31", "ADR/RID 2025 until 2026-12-31"
	case mode == "sea":
		before, after = "IMDG Code 41-22 until 2025-12-31", "IMDG Code 42-24 until 2026-12-31"
	}
	if p.day < from {
		return []string{before}
	}
	return []string{after}
}

// batteryMark is whether the mark of 5.2.1.9.2 is needed on a small one (SP 188
// (f), 49 CFR 173.185 (c)(3)), and whether one of the old form will do (ADR
// 1.6.1.49). Nothing where the counts do not tell.
func (p *parcel) batteryMark() []string {
	old := "telephone number may be used"
	if p.day >= "2027-01-01" {
		old = "telephone number is no longer accepted"
	}
	needed := []string{"Battery mark with " + p.un(), old}
	few := p.packages <= 2 && p.cells <= 4 && p.batteries <= 2
	switch {
	case p.loose || p.with:
		return needed
	case p.button:
		return []string{"No mark is needed for button cells", "not Battery mark with", "not telephone number"}
	case p.counted && p.packagesKnown && few:
		return []string{"No mark is needed: at most 4 cells or 2 batteries", "not Battery mark with", "not telephone number"}
	case p.counted && p.packagesKnown:
		return needed
	}
	return nil
}

func no(clauses ...string) Answer       { return Answer{Allowed: "no", Clauses: clauses} }
func approval(clauses ...string) Answer { return Answer{Allowed: "approval", Clauses: clauses} }
func yes(clauses ...string) Answer      { return Answer{Allowed: "yes", Clauses: clauses} }

func (a Answer) saying(words ...string) Answer {
	a.Words = append(a.Words, words...)
	return a
}
