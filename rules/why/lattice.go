package why

import (
	"cmp"
	"math"
	"slices"

	"loosecell/rules/facts"
)

// A number is tried on a lattice as fine as people read it: a hundredth of a
// volt, a percent, a degree.
var fineness = map[string]float64{
	"V": 0.01, "%": 1, "degC": 1, "K/min": 0.1, "mm": 0.1, "mL": 0.1, "min": 1, "Wh": 1, "Ah": 0.1, "g": 1,
	"kg": 0.5, "m": 0.5, "m3": 1, "1/h": 0.5, "L": 1, "yr": 1,
}

// line is a numeric fact as a lattice of whole numbers of its fineness.
type line struct {
	f    *facts.Fact
	unit float64
}

func (l line) value(k int) facts.Value {
	x := float64(k) * l.unit
	x = math.Round(x*1e6) / 1e6
	x = min(max(x, l.f.Min), l.f.Max)
	return facts.Value{State: facts.Stated, Low: x, High: x}
}

func lineOf(f *facts.Fact) line {
	unit := fineness[f.Unit]
	if unit == 0 {
		unit = 1
	}
	return line{f, unit}
}

// alongLine tries a numeric fact at every cut of a rule that reads it and, as
// far as something is worked out from it, on a grid between; from the reading
// outwards the first value that gives another answer is kept for each side.
func (x *explainer) alongLine(f *facts.Fact) (found []Flip, dead []step, tried int, err error) {
	l := lineOf(f)
	v, _ := x.reckon.Value(x.c, f.Name)
	at := x.reading(f, v)
	points, grid := x.points(l)
	answers := map[int]string{}
	ask := func(k int) (string, error) {
		if is, ok := answers[k]; ok {
			return is, nil
		}
		tried++
		is, ok, err := x.with(x.stepAt(l, v, at, k))
		if err != nil {
			return "", err
		}
		if !ok {
			is = x.is // no case can say so: not a change
		}
		answers[k] = is
		return is, nil
	}
	center := int(math.Round(at / l.unit))
	got := map[string]step{}
	if !v.Exact() {
		if is, err := ask(center); err != nil {
			return nil, nil, tried, err
		} else if is != x.is {
			got[is] = x.stepAt(l, v, at, center)
		}
	}
	for _, side := range [][]int{below(points, center), above(points, center)} {
		last := center
		for _, k := range side {
			is, err := ask(k)
			if err != nil {
				return nil, nil, tried, err
			}
			if is == x.is {
				last = k
				st := x.stepAt(l, v, at, k)
				st.grid = grid[k]
				dead = append(dead, st)
				continue
			}
			// The first value that flips it. From a reading that is not exact the
			// way to it is no way from one answer to another.
			for v.Exact() && math.Abs(float64(k-last)) > 1 {
				mid := last + (k-last)/2
				between, err := ask(mid)
				if err != nil {
					return nil, nil, tried, err
				}
				if between == x.is {
					last = mid
				} else {
					k, is = mid, between
				}
			}
			st := x.stepAt(l, v, at, k)
			if old, have := got[is]; !have || st.far < old.far {
				got[is] = st
			}
			break
		}
	}
	for is, st := range got {
		found = append(found, Flip{To: is, Parts: []Part{st.part}, Far: st.far})
	}
	slices.SortFunc(found, func(a, b Flip) int { return cmp.Or(cmp.Compare(a.Far, b.Far), cmp.Compare(a.To, b.To)) })
	return found, dead, tried, nil
}

// stepAt is the lattice point k as a change of the case.
func (x *explainer) stepAt(l line, v facts.Value, at float64, k int) step {
	value := l.value(k)
	scale := max(math.Abs(at), l.unit)
	if l.f.Unseen != nil {
		scale = max(scale, math.Abs(l.f.Unseen.Number))
	}
	return step{part: x.part(l.f, v, value), value: value, far: math.Abs(value.Low-at) / scale, slot: l.f}
}

// reading is the number a search starts from: the reading, the middle of a
// narrow range, else what is unremarkable.
func (x *explainer) reading(f *facts.Fact, v facts.Value) float64 {
	if v.State == facts.Stated && v.Low == v.High {
		return v.Low
	}
	at := 0.0
	if f.Unseen != nil {
		at = f.Unseen.Number
	}
	if v.State == facts.Stated {
		at = min(max(at, v.Low), v.High)
	}
	return at
}

// gridPoints is how finely a number is tried from which others are worked out.
const gridPoints = 30

// points are the lattice points to try: both sides of every cut, the ends of
// what was unremarkable, and a grid where something is worked out from it.
func (x *explainer) points(l line) (points []int, grid map[int]bool) {
	var out []int
	grid = map[int]bool{}
	add := func(value float64) {
		if value >= l.f.Min && value <= l.f.Max {
			k := value / l.unit
			out = append(out, int(math.Floor(k)), int(math.Ceil(k)))
		}
	}
	slot, ok := x.book.Layout.Slot(l.f.Name)
	if !ok {
		return nil, nil
	}
	for i := range x.book.Rules() {
		r := &x.book.Rules()[i]
		if !x.concerns(r) {
			continue
		}
		for _, ref := range conditions(r) {
			for _, atom := range x.book.Arena.Atoms(ref) {
				if atom.Slot == slot {
					add(atom.Cut - l.unit)
					add(atom.Cut)
					add(atom.Cut + l.unit)
				}
			}
		}
	}
	if x.isParent(l.f.Name) && l.f.Unseen != nil {
		high := 1.6 * math.Abs(l.f.Unseen.Number)
		if l.f.Unit == "%" {
			high = l.f.Max
		}
		if v, _ := x.reckon.Value(x.c, l.f.Name); v.State == facts.Stated && v.High < l.f.Max {
			high = max(high, 1.6*v.High)
		}
		bounds := slices.Clone(out)
		for i := range gridPoints + 1 {
			add(high * float64(i) / gridPoints)
		}
		for _, k := range out[len(bounds):] {
			grid[k] = !slices.Contains(bounds, k)
		}
	}
	slices.Sort(out)
	return slices.Compact(out), grid
}

// isParent tells that something is worked out from a fact.
func (x *explainer) isParent(name string) bool {
	for i := range x.cat.Facts {
		for _, p := range x.cat.Facts[i].Parents {
			if p.Name == name {
				return true
			}
		}
	}
	return false
}

// below and above list points outwards from the center.
func below(points []int, center int) []int {
	var out []int
	for _, k := range points {
		if k < center {
			out = append(out, k)
		}
	}
	slices.Reverse(out)
	return out
}

func above(points []int, center int) []int {
	var out []int
	for _, k := range points {
		if k > center {
			out = append(out, k)
		}
	}
	return out
}
