package solvent

import (
	"fmt"

	"loosecell/hazards"
)

// Common practice at the bench; no published figure exists.
const (
	PerEdgeCapML = 0.5 // a reachable edge, one application
	JobCapML     = 2.0 // a job
	spillLow     = 1.2 // what runs off and stays at the edge, 20 to 50 %
	spillMiddle  = 1.35
	spillHigh    = 1.5
)

// Bond is the glued face of a cell: 1 to 400 mm a side, a gap of 0.01 to 2 mm,
// 1 to 4 edges within reach. Thick marks foam or liquid glue instead of a film.
type Bond struct {
	LengthMM, WidthMM, GapMM hazards.Estimate
	Edges                    int
	Thick                    bool
}

// Dosing is how much to apply now. JobML is zero when the job has had its share.
type Dosing struct {
	JobML     hazards.Estimate // over all edges, this application
	PerEdgeML hazards.Estimate
	LeftML    float64 // what may still be used in this job, before this application
	Capped    bool    // bench practice, not the volume of the gap, set the high end
}

// Dose is the volume of the gap plus 20 to 50 % for spill, kept under 0.5 mL an
// edge and 2 mL a job (common practice), less what was used already (usedML, 0
// to 100; its high end counts against the cap).
func Dose(bond Bond, usedML hazards.Estimate) (Dosing, error) {
	if err := bond.check(); err != nil {
		return Dosing{}, err
	}
	if err := inside("solvent used already, mL", usedML, 0, 100); err != nil {
		return Dosing{}, err
	}
	left := max(0, JobCapML-usedML.High)
	top := min(left, PerEdgeCapML*float64(bond.Edges))
	gap := func(length, width, gap, spill float64) float64 { return length * width * gap / 1000 * spill }
	high := gap(bond.LengthMM.High, bond.WidthMM.High, bond.GapMM.High, spillHigh)
	job, err := hazards.New(
		min(top, gap(bond.LengthMM.Low, bond.WidthMM.Low, bond.GapMM.Low, spillLow)),
		min(top, gap(bond.LengthMM.Middle, bond.WidthMM.Middle, bond.GapMM.Middle, spillMiddle)),
		min(top, high))
	if err != nil {
		return Dosing{}, err
	}
	edge, err := job.Scale(1 / float64(bond.Edges))
	return Dosing{JobML: job, PerEdgeML: edge, LeftML: left, Capped: high > top}, err
}

func (b Bond) check() error {
	if b.Edges < 1 || b.Edges > 4 {
		return fmt.Errorf("solvent: %d edges within reach: 1 to 4 fit", b.Edges)
	}
	return insideAll(
		bound{"bonded length, mm", b.LengthMM, 1, 400},
		bound{"bonded width, mm", b.WidthMM, 1, 400},
		bound{"bond gap, mm", b.GapMM, 0.01, 2})
}

// Soak is how long to leave the liquid before trying again, minutes: 2 to 5,
// the full 5 for foam and liquid glue (common practice). A bottle with water
// wicks slower, by its viscosity, within the same 5.
func (l Liquid) Soak(bond Bond) (hazards.Estimate, error) {
	if err := bond.check(); err != nil {
		return hazards.Estimate{}, err
	}
	if _, err := Find(l.Name); err != nil {
		return hazards.Estimate{}, err
	}
	const shortest, usual, longest = 2.0, 3.0, 5.0
	if bond.Thick {
		return hazards.Exact(longest)
	}
	slower := 1.0
	if l.mixed() {
		room := hazards.Estimate{Low: 20, Middle: 20, High: 20}
		with, err := l.Viscosity(room)
		if err != nil {
			return hazards.Estimate{}, err
		}
		pure, err := Find("isopropanol-99")
		if err != nil {
			return hazards.Estimate{}, err
		}
		without, err := pure.Viscosity(room)
		if err != nil {
			return hazards.Estimate{}, err
		}
		slower = max(1, with.Middle/without.Middle)
	}
	return hazards.New(shortest*slower, min(longest, usual*slower), longest)
}
