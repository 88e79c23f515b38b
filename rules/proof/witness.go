package proof

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"

	"loosecell/battery"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// How much is spent on turning regions into concrete cases.
const (
	mostRegions = 24  // regions of one question that are tried
	mostStarts  = 4   // times a region is tried anew
	mostRounds  = 12  // derived facts that are mended for one region
	mostDraws   = 400 // draws of several readings at once
)

// pointIn looks for single values of all facts inside a region in which a
// condition is true, and leaves them in the worker's point. Facts it need not
// change have their unremarkable value. What is derived is computed, so that
// a region no reading reaches gives nothing.
func (w *worker) pointIn(region *expression.Box, ref expression.Ref) bool {
	w.plain(region)
	if w.trueAtPoint(ref) && w.labelFits() {
		return true
	}
	derived := w.derivedIn(ref)
	// The same region gives the same case on every run.
	draw := rand.New(rand.NewPCG(uint64(ref), uint64(len(derived))))
	for range mostStarts {
		for range mostRounds {
			off := w.outside(region, derived)
			if len(off) == 0 || !w.mend(region, off[draw.IntN(len(off))], derived, draw) {
				break
			}
			if w.trueAtPoint(ref) && w.labelFits() {
				return true
			}
		}
		w.plain(region)
	}
	return false
}

// outside lists the derived slots whose value at the point does not lie in the
// region.
func (w *worker) outside(region *expression.Box, derived []int) []int {
	var out []int
	for _, d := range derived {
		if misfit(w.point.At(d), region.At(d)) > 0 {
			out = append(out, d)
		}
	}
	return out
}

// misfit says how far a range lies outside another: 0 inside, then more than 1.
func misfit(have, want expression.Range) float64 {
	if have.Words&^want.Words != 0 {
		return 2
	}
	gap := max(0, want.Low-have.Low) + max(0, have.High-want.High)
	if gap == 0 {
		return 0
	}
	return 1 + gap/(1+gap)
}

// worth is how badly the point fits the region, over all derived slots; a point
// without any completion fits worst.
func (w *worker) worth(region *expression.Box, derived []int) float64 {
	sum := 0.0
	for _, d := range derived {
		sum += misfit(w.point.At(d), region.At(d))
	}
	if w.point.Empty() {
		return math.Inf(1)
	}
	if !w.labelFits() {
		sum += contradiction
	}
	return sum
}

// contradiction is how badly a point fits whose label contradicts itself: the
// loader would refuse its case.
const contradiction = 3

// labelFits holds the voltages on the label of the point against its chemistry.
func (w *worker) labelFits() bool {
	l := w.point.Layout
	given := func(name string) battery.Maybe {
		slot := l.MustSlot(name)
		if w.point.Absent(slot) {
			return battery.Maybe{}
		}
		r := w.point.At(slot)
		return battery.Given(battery.Interval{Low: r.Low, High: r.High})
	}
	chemistry, series := w.point.At(l.MustSlot("battery.chemistry")), w.point.At(l.MustSlot("battery.series_cells"))
	fits, err := battery.LabelFits(battery.ChemistrySet(chemistry.Words), given("battery.nominal_voltage"), given("battery.charge_limit"),
		battery.Interval{Low: series.Low, High: series.High})
	return err != nil || fits
}

// mend changes readings that a derived slot rests on so that the point fits the
// region better: the best change of one reading or, if none helps, of several.
func (w *worker) mend(region *expression.Box, slot int, derived []int, draw *rand.Rand) bool {
	rest := roots(w.point.Layout, slot)
	tries := make([][]expression.Range, len(rest))
	for i, s := range rest {
		tries[i] = w.readings(s, region.At(s))
	}
	// A reading that makes a derived value impossible spoils the box for good, so
	// that each try starts from a copy.
	before, best := w.point.Clone(), w.point.Clone()
	least := w.worth(region, derived)
	found := false
	for _, i := range draw.Perm(len(rest)) {
		for _, r := range tries[i] {
			w.point.CopyFrom(before)
			w.point.Set(rest[i], r)
			if x := w.worth(region, derived); x < least {
				least, found = x, true
				best.CopyFrom(w.point)
			}
		}
	}
	for range mostDraws {
		if found {
			break
		}
		w.point.CopyFrom(before)
		for range 2 + draw.IntN(3) {
			i := draw.IntN(len(rest))
			w.point.Set(rest[i], tries[i][draw.IntN(len(tries[i]))])
		}
		if w.worth(region, derived) < least {
			found = true
			best.CopyFrom(w.point)
		}
	}
	w.point.CopyFrom(best)
	return found
}

// plain makes the point the usual one of a region, with what is derived left to
// what it rests on.
func (w *worker) plain(region *expression.Box) {
	w.point.Clear()
	for i := range w.point.Layout.Slots {
		if w.point.Layout.Slots[i].Derive == nil {
			w.point.Set(i, usual(&w.point.Layout.Slots[i], region.At(i)))
		}
	}
	w.fitLabel(region)
}

// ordinaryLabels are nominal voltages and charge limits per cell as labels print
// them, phone cells first.
var ordinaryLabels = [][2]float64{{3.85, 4.45}, {3.85, 4.4}, {3.82, 4.35}, {3.7, 4.2}, {3.2, 3.65}, {2.4, 2.8}, {3.1, 4.0}, {3, 3.4}}

// fitLabel gives the point a label that goes with its chemistry, if the region
// has room for one.
func (w *worker) fitLabel(region *expression.Box) {
	l := w.point.Layout
	nominal, limit := l.MustSlot("battery.nominal_voltage"), l.MustSlot("battery.charge_limit")
	series := w.point.At(l.MustSlot("battery.series_cells")).Low
	for _, volts := range ordinaryLabels {
		if w.labelFits() {
			return
		}
		for i, slot := range []int{nominal, limit} {
			if x, in := volts[i]*series, region.At(slot); x >= in.Low && x <= in.High {
				w.point.Set(slot, expression.Exactly(x))
			}
		}
	}
}

// trueAtPoint decides a condition at the point.
func (w *worker) trueAtPoint(ref expression.Ref) bool {
	w.eval.On(w.point)
	return w.eval.Value(ref) == expression.True && !w.point.Empty()
}

// derivedIn lists the derived slots a condition reads.
func (p *prover) derivedIn(ref expression.Ref) []int {
	var out []int
	for _, s := range p.arena.Reads(ref) {
		if p.book.Layout.Slots[s].Derive != nil {
			out = append(out, s)
		}
	}
	return out
}

// roots lists the stated slots that a derived one rests on.
func roots(l *expression.Layout, slot int) []int {
	var out []int
	for _, p := range l.Parents(slot) {
		if l.Slots[p].Derive == nil {
			out = append(out, p)
			continue
		}
		for _, r := range roots(l, p) {
			if !slices.Contains(out, r) {
				out = append(out, r)
			}
		}
	}
	return out
}

// usual is a single value in a range: the unremarkable one where it lies in it.
func usual(s *expression.Slot, r expression.Range) expression.Range {
	f := s.Fact
	if s.Finite {
		w := r.Words
		if s.Member < 0 && f.Unseen != nil && w>>f.Unseen.Rank&1 == 1 {
			return expression.Word(f.Unseen.Rank)
		}
		if w == 0 {
			w = s.Domain.Words
		}
		return expression.Word(bits.TrailingZeros64(w))
	}
	if f.Unseen != nil && f.Unseen.Number >= r.Low && f.Unseen.Number <= r.High {
		return expression.Exactly(f.Unseen.Number)
	}
	if s.Whole {
		if f.Unseen != nil && f.Unseen.Number > r.High {
			return expression.Exactly(r.High)
		}
		return expression.Exactly(r.Low)
	}
	near := r.Low
	if f.Unseen != nil && f.Unseen.Number > r.High {
		near = r.High
	}
	return expression.Exactly(round(near, r))
}

// round is the number with the fewest digits in a range, near one of its ends.
func round(x float64, r expression.Range) float64 {
	for digits := range 8 {
		scale := math.Pow(10, float64(digits))
		for _, y := range [2]float64{math.Round(x*scale) / scale, math.Ceil(r.Low*scale) / scale} {
			if y >= r.Low && y <= r.High && math.Abs(y-x) <= max(1, math.Abs(x)) {
				return y
			}
		}
	}
	return x
}

// readings lists single values of a slot to try: what rules compare it with and
// one step past that, and a spread of ordinary values.
func (w *worker) readings(slot int, in expression.Range) []expression.Range {
	s := &w.book.Layout.Slots[slot]
	var out []expression.Range
	if s.Finite {
		for i := range 64 {
			if in.Words>>i&1 == 1 {
				out = append(out, expression.Word(i))
			}
		}
		return out
	}
	add := func(x float64) {
		if s.Whole {
			x = math.Round(x)
		}
		if x >= in.Low && x <= in.High {
			out = append(out, expression.Exactly(x))
		}
	}
	out = append(out, usual(s, in))
	add(in.Low)
	add(in.High)
	base := 1.0
	if s.Fact.Unseen != nil {
		base = s.Fact.Unseen.Number
		add(base)
	}
	for _, k := range []float64{0.2, 0.35, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1.05, 1.1, 1.15, 1.2, 1.3, 1.5, 2, 3, 5, 10} {
		add(round(base*k, expression.Range{Low: math.Inf(-1), High: math.Inf(1)}))
		add(math.Round(base*k*1000) / 1000)
	}
	for _, cut := range w.between(slot) {
		add(cut)
	}
	for k := range 9 {
		add(math.Round((in.Low+(in.High-in.Low)*float64(k)/8)*1000) / 1000)
	}
	return out
}

// between lists what rules compare a slot with, or what rests on it and is of
// the same unit, and the middle between each two.
func (w *worker) between(slot int) []float64 {
	l := w.book.Layout
	cuts := slices.Clone(w.cuts[slot])
	for d := range l.Slots {
		if l.Slots[d].Derive != nil && l.Slots[d].Fact.Unit == l.Slots[slot].Fact.Unit && slices.Contains(roots(l, d), slot) {
			cuts = append(cuts, w.cuts[d]...)
		}
	}
	slices.Sort(cuts)
	for i := range max(0, len(cuts)-1) {
		cuts = append(cuts, (cuts[i]+cuts[i+1])/2)
	}
	return cuts
}

// exact is the one value of a slot in a box, as a case states it.
func exact(l *expression.Layout, b *expression.Box, f *facts.Fact) (facts.Value, bool) {
	v := facts.Value{State: facts.Stated}
	if f.Kind == facts.Members {
		for i, s := range l.SlotsOf(f.Name) {
			if b.At(s).Words == 0b10 {
				v.Words |= 1 << i
			}
		}
		return v, true
	}
	slot, ok := l.Slot(f.Name)
	if !ok {
		return v, false
	}
	r := b.At(slot)
	v.Low, v.High, v.Words = r.Low, r.High, r.Words
	return v, true
}
