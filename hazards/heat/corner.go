package heat

import "loosecell/hazards"

// side says which end of its estimate an input is taken at.
type side int

const (
	cold   side = -1
	middle side = 0
	hot    side = +1
)

func pick(e hazards.Estimate, s side) float64 {
	switch {
	case s < 0:
		return e.Low
	case s > 0:
		return e.High
	}
	return e.Middle
}

// corner is one choice of all inputs. Which corner bounds what:
//
//	input                              hot bound   cold bound   why
//	heater, room, device at the start  high        low          temperatures rise with each (exactly, also in the solver)
//	heater resistance, front gaps      low         high         more heat comes in
//	front conductivity                 high        low          the same
//	loss coefficient                   low         high         less heat is lost
//	conductivity behind, gaps behind   low, wide   high, narrow the same
//	heat capacity                      low         high         temperatures rise with time, so a slower stack lags
//	conductivity of the cell           both        both         a poor conductor keeps its near face hotter, a good one its far face
//
// "Front" is what lies between heater and cell. The adhesive is bounded by the same
// two runs; if it lies behind the cell, its own conductivity cools the cell but warms its
// far side, so that a third run takes it at the other end.
//
// A device that starts at another temperature than the room needs more runs a bound:
// warmer, its far face first falls, so that heat capacity is taken at the other end too;
// colder, the room first warms it, so that the losses are. Mixtures of ends not run then
// differ by less than ModelErrorK, by which every bound is widened (tested).
type corner struct {
	bound    side // hot, cold or middle
	cell     side // end of the cell's conductivity
	beyond   side // end of the conductivity of what lies behind the cell up to the adhesive
	capacity side // end of the heat capacities
	film     side // end of the loss coefficient
	behind   side // end of the conductivity of what lies behind cell and adhesive
}

// corners lists the runs a recipe needs, the middle first. Its stack is marked.
func (r Recipe) corners() []corner {
	out := make([]corner, 1, 19)
	for _, bound := range [...]side{hot, cold} {
		conducts := []corner{{cell: cold, beyond: -bound}, {cell: hot, beyond: -bound}}
		if r.Stack.roleAt(AdhesiveRole) > r.Stack.roleAt(CellRole) {
			conducts = append(conducts, corner{cell: bound, beyond: bound})
		}
		for _, c := range conducts {
			c.bound, c.capacity, c.film, c.behind = bound, -bound, -bound, -bound
			out = append(out, c)
			switch start, air := pick(r.StartC, bound), pick(r.AirC, bound); {
			case start > air:
				c.capacity = bound
				out = append(out, c)
			case start < air:
				c.film = bound
				out = append(out, c)
				c.behind = bound
				out = append(out, c)
			}
		}
	}
	return out
}

func (r Recipe) front(c corner) Side {
	return Side{TemperatureC: pick(r.Heater.SetC, c.bound), ResistanceM2: pick(r.Heater.ResistanceM2, -c.bound)}
}

func (r Recipe) back(c corner) Side {
	return Side{TemperatureC: pick(r.AirC, c.bound), ResistanceM2: 1 / pick(r.FilmWM2K, c.film)}
}

// gapRadiation is 4 sigma T³ of black faces at 80 °C, W/(m²K): the most a gap can add by
// radiation to the conduction of its air. Applied only where it makes a bound stricter.
const gapRadiation = 10

// wall returns the sheets of a marked stack at a corner. cellAt is the cell's place, or
// len(s) for a stack without a cell (all of it is then front).
func (s Stack) wall(c corner, cellAt int) (Wall, error) {
	adhesiveAt := s.roleAt(AdhesiveRole)
	w := make(Wall, 0, len(s))
	for i, layer := range s {
		m, err := MaterialNamed(layer.Material)
		if err != nil {
			return nil, err
		}
		conducts := c.bound
		switch {
		case i == cellAt:
			conducts = c.cell
		case i > cellAt && i <= adhesiveAt:
			conducts = c.beyond
		case i > cellAt:
			conducts = c.behind
		}
		sheet := Sheet{
			ThicknessM:     1e-3 * pick(layer.ThicknessMM, -conducts),
			Conductivity:   pick(m.Conductivity, conducts),
			VolumetricHeat: m.Density * pick(m.SpecificHeat, c.capacity),
		}
		if m.Kind == Gap && conducts == hot {
			sheet.Conductivity += gapRadiation * sheet.ThicknessM
		}
		w = append(w, sheet)
	}
	return w, nil
}

// roleAt returns the place of the layer with the role, or -1.
func (s Stack) roleAt(role Role) int {
	for i, layer := range s {
		if layer.Role == role {
			return i
		}
	}
	return -1
}
