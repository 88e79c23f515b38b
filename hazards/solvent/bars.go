package solvent

import (
	"fmt"
	"slices"
)

// solventAfterHeatC is the surface under which a solvent may follow heat (common
// practice; the fires come from heat guns over a flammable liquid).
const solventAfterHeatC = 40.0

// bars are the reasons that can rule a liquid out, in the order they are told.
var bars = []func(Setting, Liquid) ([]Remark, error){
	barByUse, barByFamily, barByPlastics, barByDisplay, barByHeat, barByVapour,
}

// vouched: bench practice vouches for this liquid at a cell's edge, so a missing
// rating is a caution for it and a bar for any other.
func (l Liquid) vouched() bool { return l.Use == "anywhere" }

func barByUse(s Setting, l Liquid) ([]Remark, error) {
	switch l.Use {
	case "never":
		var out []Remark
		for _, n := range l.Notes {
			if n.Kind == "sensitiser" {
				out = append(out, Remark{n.Text, n.Origin})
			}
		}
		if out == nil {
			out = append(out, practice("it is not used on a battery"))
		}
		return out, nil
	case "detached-residue":
		if s.Purpose != DetachedResidue {
			return []Remark{practice("it attacks housings, paint and the print on the cell: only for dried residue on bare metal or glass out of the device, never at a cell")}, nil
		}
	}
	return nil, nil
}

func barByFamily(s Setting, l Liquid) ([]Remark, error) {
	if l.Use != "rubber" || (len(s.Families) > 0 && !slices.Contains(s.Families, Acrylic)) {
		return nil, nil
	}
	return []Remark{practice("it lets go rubber adhesive only, and this adhesive may be acrylic")}, nil
}

func barByPlastics(s Setting, l Liquid) ([]Remark, error) {
	var attacked, unrated []Compatibility
	for _, material := range s.possiblePlastics() {
		c, err := l.Compatibility(material)
		if err != nil {
			return nil, err
		}
		switch {
		case c.Rating == Attacked:
			attacked = append(attacked, c)
		case !l.vouched() && !c.Read:
			unrated = append(unrated, c)
		}
	}
	var out []Remark
	if len(attacked) > 0 {
		out = append(out, Remark{fmt.Sprintf("it attacks %s, which may be near", listed(attacked)), joined(attacked)})
	}
	if len(unrated) > 0 {
		out = append(out, practice(fmt.Sprintf("no published rating of it was found on %s, which may be near", listed(unrated))))
	}
	if s.PlasticsUnknown && !l.vouched() && out == nil {
		out = append(out, practice("which plastics are near is not known"))
	}
	return out, nil
}

func barByDisplay(s Setting, l Liquid) ([]Remark, error) {
	if s.Display == NoDisplay {
		return nil, nil
	}
	c, err := l.Compatibility("display")
	if err != nil {
		return nil, err
	}
	if c.Rating == Attacked || (!l.vouched() && !c.Read) {
		return []Remark{{"it creeps into the layers of a display, and one lies near or under the cell", c.Origin}}, nil
	}
	return nil, nil
}

func barByHeat(s Setting, l Liquid) ([]Remark, error) {
	hottest := max(s.HottestSurfaceC.High, s.RoomC.High)
	if hottest <= solventAfterHeatC || hottest <= l.Fire.FlashLowC {
		return nil, nil
	}
	return []Remark{{fmt.Sprintf("a surface may be at %.0f degC, over its flash point of %.3g degC: wait until everything is under %.0f degC",
		hottest, l.Fire.FlashLowC, solventAfterHeatC), l.Fire.Origin}}, nil
}

func barByVapour(s Setting, l Liquid) ([]Remark, error) {
	e, err := l.Exposure(s.Room, s.DoseML, s.RoomC)
	if err != nil {
		return nil, err
	}
	var out []Remark
	if !e.WithinShortTerm {
		out = append(out, Remark{fmt.Sprintf("in this room its vapour over the work may reach %.0f ppm, over the short-term limit of %.0f: use less, or more air",
			e.NearWorkPpm.High, l.Limits.ShortTermPpm), l.Limits.ShortTermOrigin})
	}
	if !e.WithinDay {
		out = append(out, Remark{fmt.Sprintf("in this room its vapour may average %.0f ppm over a day, over the limit of %.0f: use less, or more air",
			e.DayMeanPpm.High, l.Limits.DayPpm), l.Limits.DayOrigin})
	}
	if !e.UnderQuarterLFL {
		out = append(out, Remark{fmt.Sprintf("in this room its vapour over the work may pass a quarter of its lower flammable limit, %.2g %% of air: use less, or more air",
			l.Fire.LFLLow), l.Fire.Origin})
	}
	return out, nil
}
