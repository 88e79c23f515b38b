package solvent

import (
	"fmt"
	"slices"
	"strings"
)

// cautions are what to say of the chosen liquid, the gravest first.
func (s Setting) cautions(l Liquid) ([]Remark, error) {
	out := []Remark{s.fireCaution(l)}
	if l.mixed() {
		out = append(out, Remark{fmt.Sprintf("it is %.0f %% water by mass: slower to act, and the last to dry is water, which carries current; 99 %% or more is better",
			(1-l.MassFraction)*100), l.Origin})
	}
	for _, part := range []func(Liquid) ([]Remark, error){s.plasticCautions, s.contactCautions} {
		remarks, err := part(l)
		if err != nil {
			return nil, err
		}
		out = append(out, remarks...)
	}
	for _, n := range l.Notes {
		out = append(out, Remark{n.Text, n.Origin})
	}
	return out, nil
}

func (s Setting) fireCaution(l Liquid) Remark {
	if max(s.RoomC.High, s.HottestSurfaceC.High) < l.Fire.FlashLowC {
		return practice("no heat for the rest of the job once it is on")
	}
	return Remark{fmt.Sprintf("its vapour can be lit here (flash point %.3g degC): no flame, spark or hot tool within 1 m, and no heat for the rest of the job",
		l.Fire.FlashLowC), l.Fire.Origin}
}

func (s Setting) plasticCautions(l Liquid) ([]Remark, error) {
	var crazed, unrated []Compatibility
	for _, material := range s.possiblePlastics() {
		c, err := l.Compatibility(material)
		if err != nil {
			return nil, err
		}
		switch c.Rating {
		case Resists:
		case NotRated:
			unrated = append(unrated, c)
		default:
			crazed = append(crazed, c)
		}
	}
	var out []Remark
	if len(crazed) > 0 {
		out = append(out, Remark{fmt.Sprintf("%s may craze or crack where under stress: wipe at once what runs off", listed(crazed)), joined(crazed)})
	}
	if len(unrated) > 0 {
		out = append(out, practice(fmt.Sprintf("no rating of it was found on %s: wipe at once what runs off", listed(unrated))))
	}
	if s.PlasticsUnknown {
		out = append(out, practice("the plastics near are not known: keep to a few drops at the edge"))
	}
	return out, nil
}

func (s Setting) contactCautions(l Liquid) ([]Remark, error) {
	var out []Remark
	for _, special := range []struct {
		material, text string
		there          bool
	}{
		{"display", "it creeps into the layers of a display: tilt the device so that it runs away from the display's edge", s.Display != NoDisplay},
		{"nitrile", "thin nitrile gloves resist it only for a short while: change them at once when wet", true},
	} {
		c, err := l.Compatibility(special.material)
		if err != nil {
			return nil, err
		}
		if special.there && c.Rating != Resists {
			out = append(out, Remark{special.text, c.Origin})
		}
	}
	return out, nil
}

// possiblePlastics are the materials to reckon with, in a fixed order.
func (s Setting) possiblePlastics() []string {
	if s.PlasticsUnknown {
		return slices.Clone(Materials)
	}
	var out []string
	for _, m := range Materials {
		if slices.Contains(s.Plastics, m) {
			out = append(out, m)
		}
	}
	return out
}

// plainName is a material as a technician says it.
func plainName(material string) string {
	switch material {
	case "pc":
		return "polycarbonate"
	case "abs":
		return "ABS"
	case "pmma":
		return "acrylic glass"
	case "pet":
		return "polyester film"
	}
	return material
}

// listed is a list of materials as a sentence says it.
func listed(found []Compatibility) string {
	var names []string
	for _, c := range found {
		names = append(names, plainName(c.Material))
	}
	last := len(names) - 1
	if last == 0 {
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// joined is the origin of one sentence on several findings: every source, and
// the weakest way of knowing.
func joined(found []Compatibility) Origin {
	weakest := []string{"memory", "practice", "secondary", "read"}
	var sources []string
	rank := len(weakest) - 1
	for _, c := range found {
		if !slices.Contains(sources, c.Source) {
			sources = append(sources, c.Source)
		}
		rank = min(rank, max(0, slices.Index(weakest, c.Known)))
	}
	return Origin{Source: strings.Join(sources, " "), Known: weakest[rank]}
}
