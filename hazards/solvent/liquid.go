package solvent

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"sync"
)

// Origin says where a figure or sentence comes from: the key of a document
// (several, apart by a space) and how it is known: read, secondary, memory or
// practice.
type Origin struct{ Source, Known string }

// Note is one plain sentence about a liquid.
type Note struct {
	Kind string // skin, breathing, fire, use, sensitiser
	Text string
	Origin
}

// Fire is what a liquid needs to burn. Flash points closed cup, Celsius; limits
// in volume per cent; the low flash point and low limit are the ones to use.
type Fire struct {
	FlashLowC, FlashHighC float64
	LFLLow, LFLHigh       float64
	UFLLow, UFLHigh       float64
	IgnitionC             float64
	Origin
}

// Liquid is one bottle as named in a case (bench.solvents). Get one with Find
// or All; the zero Liquid has no properties and answers every method with an
// error.
type Liquid struct {
	Name, Title, Compound string
	MolarMass             float64 // g/mol, of the compound
	MassFraction          float64 // of the compound; the rest is water
	Preference            int     // 1 is tried first
	Use                   string  // anywhere, rubber, detached-residue, never
	Fire                  Fire
	Limits                Limits
	Notes                 []Note
	Origin

	properties map[quantity]property
}

// library is every liquid, in order of preference, read once.
var library = sync.OnceValues(load)

func load() ([]Liquid, error) {
	table, err := rows("liquids.csv")
	if err != nil {
		return nil, err
	}
	var out []Liquid
	for _, r := range table {
		v, err := r.numbers("compound_mass_percent", "molar_mass_g_mol", "preference")
		if err != nil {
			return nil, err
		}
		l := Liquid{
			Name: r.value["name"], Title: r.value["title"], Compound: r.value["compound"],
			MassFraction: v[0] / 100, MolarMass: v[1], Preference: int(v[2]), Use: r.value["use"],
			Origin: r.origin(),
		}
		for _, fill := range []func(*Liquid) error{fillProperties, fillFire, fillLimits, fillNotes} {
			if err := fill(&l); err != nil {
				return nil, err
			}
		}
		out = append(out, l)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Preference < out[j].Preference })
	return out, nil
}

func fillFire(l *Liquid) error {
	table, err := rows("fire.csv")
	if err != nil {
		return err
	}
	for _, r := range table {
		if r.value["liquid"] != l.Name {
			continue
		}
		v, err := r.numbers("flash_low_c", "flash_high_c", "lfl_low", "lfl_high", "ufl_low", "ufl_high", "ignition_low_c")
		if err != nil {
			return err
		}
		l.Fire = Fire{v[0], v[1], v[2], v[3], v[4], v[5], v[6], r.origin()}
		return nil
	}
	return fmt.Errorf("solvent: data/fire.csv has no row for %s", l.Name)
}

func fillNotes(l *Liquid) error {
	table, err := rows("notes.csv")
	if err != nil {
		return err
	}
	for _, r := range table {
		if r.value["compound"] == l.Compound {
			l.Notes = append(l.Notes, Note{Kind: r.value["kind"], Text: r.value["text"], Origin: r.origin()})
		}
	}
	return nil
}

// All lists the known liquids, the one to try first at the front.
func All() ([]Liquid, error) {
	all, err := library()
	return slices.Clone(all), err
}

// Find looks a liquid up by its word in a case, such as "isopropanol-99".
func Find(name string) (Liquid, error) {
	all, err := library()
	if err != nil {
		return Liquid{}, err
	}
	var known []string
	for _, l := range all {
		if l.Name == name {
			return l, nil
		}
		known = append(known, l.Name)
	}
	return Liquid{}, fmt.Errorf("solvent: no liquid %q: one of %s fits", name, strings.Join(known, ", "))
}
