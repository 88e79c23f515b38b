package solvent

import (
	"fmt"
	"slices"

	"loosecell/hazards"
	"loosecell/hazards/room"
)

// Family is the base of an adhesive, in the words of a case.
type Family string

const (
	Acrylic Family = "acrylic"
	Rubber  Family = "rubber"
)

// Display is where the screen lies, least hazard first.
type Display string

const (
	NoDisplay    Display = "none"
	DisplayNear  Display = "near"
	DisplayUnder Display = "under"
)

// Purpose is what the liquid is for.
type Purpose string

const (
	UnderCell       Purpose = "under-cell"       // at the edge of a cell still glued in
	DetachedResidue Purpose = "detached-residue" // on bare metal or glass out of the device, no cell near
)

// Setting is what the choice depends on. Families, Plastics and Display are what
// is *possible*: the more is possible, the less is permitted.
type Setting struct {
	Purpose         Purpose
	Available       []string // bench.solvents
	Families        []Family // possible ones; empty: unknown, so both
	Plastics        []string // possible ones near (pc, abs, pmma, pet, silicone)
	PlasticsUnknown bool     // any of them, and others
	Display         Display  // empty: unknown, so under
	HottestSurfaceC hazards.Estimate
	RoomC           hazards.Estimate // -10 to 60
	Room            room.Box
	DoseML          hazards.Estimate
}

// Remark is a plain sentence with its origin.
type Remark struct {
	Text string
	Origin
}

// Standing is where a liquid that was not chosen stands.
type Standing string

const (
	RuledOut   Standing = "ruled-out"
	Permitted  Standing = "permitted"    // would do, another comes first
	NotAtBench Standing = "not-at-bench" // would do, is not there
)

// Other is a known liquid that was not chosen, and the plain reasons.
type Other struct {
	Name, Title string
	Standing    Standing
	Reasons     []Remark
}

// Choice is the liquid to use, with its cautions, and every other known one in
// order of preference with the reason it was passed over. Name is empty when
// none may be used.
type Choice struct {
	Name, Title string
	Cautions    []Remark
	Others      []Other
}

// Choose picks the first liquid, in bench order (isopropanol 99 % or more, 91 %,
// ethanol, heptane, isopropanol 70 %, the rest), that is at the bench and that
// nothing in the setting bars. It refuses unknown words and numbers that are not
// finite. A hotter surface, a smaller or worse aired room, a larger dose, a
// nearer display, more possible plastics or families never permit more.
func Choose(s Setting) (Choice, error) {
	if err := s.check(); err != nil {
		return Choice{}, err
	}
	all, err := library()
	if err != nil {
		return Choice{}, err
	}
	var choice Choice
	for _, l := range all {
		reasons, err := s.reasonsAgainst(l)
		if err != nil {
			return Choice{}, err
		}
		there := slices.Contains(s.Available, l.Name)
		if len(reasons) == 0 && there && choice.Name == "" {
			choice.Name, choice.Title = l.Name, l.Title
			if choice.Cautions, err = s.cautions(l); err != nil {
				return Choice{}, err
			}
			continue
		}
		choice.Others = append(choice.Others, passedOver(l, reasons, there, choice.Title))
	}
	return choice, nil
}

// Permits tells whether nothing in the setting bars this liquid, be it at the
// bench or not; the reasons against it otherwise.
func Permits(s Setting, name string) (bool, []Remark, error) {
	if err := s.check(); err != nil {
		return false, nil, err
	}
	l, err := Find(name)
	if err != nil {
		return false, nil, err
	}
	reasons, err := s.reasonsAgainst(l)
	return err == nil && len(reasons) == 0, reasons, err
}

func passedOver(l Liquid, reasons []Remark, there bool, chosen string) Other {
	o := Other{Name: l.Name, Title: l.Title, Standing: RuledOut, Reasons: reasons}
	switch {
	case len(reasons) > 0:
	case !there:
		o.Standing = NotAtBench
		o.Reasons = []Remark{practice("it would do, but is not at the bench")}
	default:
		o.Standing = Permitted
		o.Reasons = []Remark{practice(fmt.Sprintf("it would do, but %s comes first", chosen))}
	}
	return o
}

// reasonsAgainst is everything that bars a liquid here; none means permitted.
func (s Setting) reasonsAgainst(l Liquid) ([]Remark, error) {
	var out []Remark
	for _, bar := range bars {
		reasons, err := bar(s, l)
		if err != nil {
			return nil, err
		}
		out = append(out, reasons...)
	}
	return out, nil
}

func practice(text string) Remark {
	return Remark{text, Origin{Source: "common-practice", Known: "practice"}}
}

func (s Setting) check() error {
	switch s.Purpose {
	case UnderCell, DetachedResidue:
	default:
		return fmt.Errorf("solvent: purpose %q: under-cell or detached-residue fits", s.Purpose)
	}
	switch s.Display {
	case "", NoDisplay, DisplayNear, DisplayUnder:
	default:
		return fmt.Errorf("solvent: display %q: none, near or under fits", s.Display)
	}
	for _, f := range s.Families {
		if f != Acrylic && f != Rubber {
			return fmt.Errorf("solvent: adhesive family %q: acrylic or rubber fits", f)
		}
	}
	for _, p := range s.Plastics {
		if !knownMaterial(p) {
			return fmt.Errorf("solvent: plastic %q: one of %v fits, or say that the plastics are unknown", p, Materials)
		}
	}
	for _, name := range s.Available {
		if _, err := Find(name); err != nil {
			return err
		}
	}
	if _, err := room.NewBox(s.Room.VolumeM3, s.Room.AirChangesPerHour); err != nil {
		return err
	}
	return insideAll(
		bound{"hottest surface, degC", s.HottestSurfaceC, -40, 1000},
		bound{"room temperature, degC", s.RoomC, -10, 60},
		bound{"dose, mL", s.DoseML, 0, 1000})
}
