package heat

import (
	"fmt"
	"math"

	"loosecell/hazards"
)

// RimCourse is what warming the rim of a closed device does to the adhesive under its
// cover, and how much of it may reach the cell sideways through the cover.
type RimCourse struct {
	Soft             Passage
	AdhesiveAtEndC   hazards.Estimate
	HottestPossibleC hazards.Estimate
	// DecayMM is the distance along the cover in which its excess over the room falls to
	// 37 %, with the heat held on for ever.
	DecayMM hazards.Estimate
	// CoverOverCellC is the cover above the edge of the cell. High and middle are the
	// steady state, low is no warming at all; heat that comes through a metal frame is
	// not counted, so that HottestPossibleC stays the figure to permit by.
	CoverOverCellC hazards.Estimate
	CellMayPass    bool // the high value of CoverOverCellC is over the cell's limit
}

// RimSink is the loss coefficient of the inner face of a frame, which spreads heat
// along the device, W/(m²K) (common practice, a guess with a wide range).
func RimSink() hazards.Estimate { return hazards.Estimate{Low: 5, Middle: 20, High: 100} }

// coverLoss is what the cover beside the heater loses, W/(m²K): to the room above
// (RoomFilm) and to the inside below, from nothing to still air 0.2 mm thick.
var coverLoss = hazards.Estimate{Low: 8 + 0, Middle: 10 + 10, High: 12 + 125}

// FinShare returns the share of its excess temperature that a long thin strip keeps at
// a distance from its heated end: exp(-x/decay), distances in mm, decay above zero.
// Incropera et al., Table 3.4, infinite fin (from memory).
func FinShare(distanceMM, decayMM float64) (float64, error) {
	if err := firstError(within("distance", distanceMM, 0, 1e4, "mm"), positive("decay length", decayMM, "mm")); err != nil {
		return 0, err
	}
	return math.Exp(-distanceMM / decayMM), nil
}

// Rim computes the warming of the rim of a closed device. The recipe's stack is that of
// the rim (RimNames): the cover first, one adhesive marked, no cell; its FilmWM2K is
// RimSink. distanceMM, 0..200, is from the heated strip to the cell's edge.
func (r Recipe) Rim(distanceMM float64) (RimCourse, error) {
	err := firstError(r.checkSurroundings(), r.Stack.Check(),
		within("cell limit", r.CellLimitC, -20, 150, "degC"), within("distance to the cell", distanceMM, 0, 200, "mm"))
	if err != nil {
		return RimCourse{}, err
	}
	if r.Stack.count(CellRole) != 0 || r.Stack.count(AdhesiveRole) != 1 {
		return RimCourse{}, fmt.Errorf("%w: the rim needs one layer marked adhesive and none marked cell", ErrStack)
	}
	c := Course{recipe: r}
	if err := c.follow(len(r.Stack), r.back); err != nil {
		return RimCourse{}, err
	}
	end := c.sample(r.Minutes)
	out := RimCourse{Soft: c.softening(c.bounds[adhesiveFace]), AdhesiveAtEndC: end.AdhesiveC, HottestPossibleC: c.HottestPossibleC}
	if out.DecayMM, err = r.Stack[0].decayMM(); err != nil {
		return RimCourse{}, err
	}
	if out.CoverOverCellC, err = r.coverOverCell(out, distanceMM); err != nil {
		return RimCourse{}, err
	}
	out.CellMayPass = out.CoverOverCellC.High > r.CellLimitC
	return out, nil
}

func (l Layer) decayMM() (hazards.Estimate, error) {
	m, err := MaterialNamed(l.Material)
	if err != nil {
		return hazards.Estimate{}, err
	}
	length := func(conducts, loses, thickMM float64) float64 {
		return 1e3 * math.Sqrt(conducts*1e-3*thickMM/loses)
	}
	k, t := m.Conductivity, l.ThicknessMM
	return hazards.New(length(k.Low, coverLoss.High, t.Low), length(k.Middle, coverLoss.Middle, t.Middle), length(k.High, coverLoss.Low, t.High))
}

func (r Recipe) coverOverCell(rim RimCourse, distanceMM float64) (hazards.Estimate, error) {
	excess := func(faceC, baseC, decayMM float64) (float64, error) {
		share, err := FinShare(distanceMM, decayMM)
		return baseC + (faceC-baseC)*share, err
	}
	low := min(r.AirC.Low, r.StartC.Low)
	mid, errMid := excess(r.Heater.SetC.Middle, r.warmest(middle), rim.DecayMM.Middle)
	high, errHigh := excess(rim.HottestPossibleC.High, r.warmest(hot), rim.DecayMM.High)
	if err := firstError(errMid, errHigh); err != nil {
		return hazards.Estimate{}, err
	}
	return hazards.New(low, max(low, mid), max(high, mid))
}
