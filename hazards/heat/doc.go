// Package heat models warming glued electronics on a bench: how hot the adhesive
// and the cell under it become, when, and whether the warming is worth it.
//
// The device is a stack of flat layers. A heater (a pad at a set-point, or hot
// air) warms one face through a contact resistance, the other face loses heat to
// the room, and heat flows straight through: the spread sideways is left out, so
// the middle of a large pad is described best and an edge is described too hot.
// The model is passive. It knows nothing of a cell that heats itself, and a stack
// that only conducts is never hotter than its heater (SteadyMaximum). For that
// reason permission to heat rests on the set-point; the course computed here says
// how long, and when it is not worth it.
//
// What to call:
//
//   - Recipe.Assess answers for one recipe: softening, the cell's limit, the
//     set-points worth trying. Rim does the same for the edge of a closed device.
//   - Course.Cooling says when the parts may be touched; TouchLimitC the limits.
//   - Conduct follows any stack through time; Steady gives where it ends.
//   - OneTerm, PlaneWall, the SemiInfinite functions, Lumped and SeriesFlux are the
//     textbook forms the solver is checked against.
//   - WLFShift and ForceRatio say how much softer the adhesive is.
//
// Temperatures are in degrees Celsius (suffix C), thickness in millimetres (MM) or
// metres (M), time in seconds (S) or minutes, and resistance for one square metre in
// m²K/W (M2KW). Sources are named by document and clause; the keys in the data's
// source column are resolved by rules/source.
package heat
