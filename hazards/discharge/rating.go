package discharge

import (
	_ "embed"
	"errors"
	"fmt"
	"sync"

	"loosecell/hazards"
)

//go:embed bodies.csv
var bodiesCSV string

// ErrPower marks a load beyond every resistor in the table.
var ErrPower = errors.New("discharge: no resistor in the table takes this power")

// useOfRating is the largest share of the rated power used: 50 % is common practice on an open
// bench. Published stress limits are looser (80 %, space agency design guidance, secondary).
const useOfRating = 0.5

// Body is one usual resistor: rated power in W, outer surface in cm2, hottest body temperature and
// the ambient up to which the full rating holds, in degC. Figures are common practice.
type Body struct {
	Kind                              string
	RatedW, AreaCm2, MaxC, ReferenceC float64
}

var bodyTable = sync.OnceValues(func() ([]Body, error) {
	rows, err := readTable("bodies.csv", bodiesCSV)
	if err != nil {
		return nil, err
	}
	var out []Body
	for _, r := range rows {
		out = append(out, Body{r.text("body"), r.number("rated_w"), r.number("area_cm2"),
			r.number("max_c"), r.number("reference_c")})
		if r.err != nil {
			return nil, r.err
		}
	}
	return out, nil
})

// UsableW is the power in W the body may carry at an ambient in degC: half its rating, falling in a
// straight line to nothing between the reference and the maximum temperature,
// k = (Tmax - T)/(Tmax - Tref) (linear derating, secondary).
func (b Body) UsableW(ambientC float64) float64 {
	k := (b.MaxC - ambientC) / (b.MaxC - b.ReferenceC)
	return useOfRating * b.RatedW * max(0, min(1, k))
}

// PickBody gives the smallest resistor body that carries watts at the ambient in degC without
// using more than half its rating and without its surface, on the high side of SurfaceRise, passing
// the body's own limit. Domain: watts above 0, ambient -40 to 150. Errors: ErrPower.
func PickBody(watts, ambientC float64) (Body, error) {
	if !positive(watts) {
		return Body{}, fmt.Errorf("discharge: power %g W, want above 0", watts)
	}
	if err := checkAmbient(ambientC); err != nil {
		return Body{}, err
	}
	bodies, err := bodyTable()
	if err != nil {
		return Body{}, err
	}
	for _, b := range bodies {
		rise, err := SurfaceRise(watts, b.AreaCm2)
		if err != nil {
			return Body{}, err
		}
		if watts <= b.UsableW(ambientC)*(1+1e-9) && ambientC+rise.High <= b.MaxC {
			return b, nil
		}
	}
	return Body{}, fmt.Errorf("%w: %.3g W at %g degC; take a larger resistance (slower)", ErrPower, watts, ambientC)
}

// SurfaceRise gives the rise in K of a resistor's surface over the air, P/(h·A), for a power in W
// and a body area in cm2, both above 0: heat transfer h 10, 12, 15 W/(m2 K) for a warm body in
// still air with radiation (common practice), area within 15 %. Heat that leaves by the leads is
// not counted, so small parts read hotter than they are.
func SurfaceRise(watts, areaCm2 float64) (hazards.Estimate, error) {
	if !positive(watts) || !positive(areaCm2) {
		return hazards.Estimate{}, fmt.Errorf("discharge: power %g W on %g cm2, want both above 0", watts, areaCm2)
	}
	rise := func(h, share float64) float64 { return watts / (h * areaCm2 * 1e-4 * share) }
	return hazards.New(rise(15, 1.15), rise(12, 1), rise(10, 0.85))
}

func checkAmbient(ambientC float64) error {
	if !finite(ambientC) || ambientC < -40 || ambientC > 150 {
		return fmt.Errorf("discharge: air temperature %g degC, want -40 to 150", ambientC)
	}
	return nil
}
