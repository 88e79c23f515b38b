package proof

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"

	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// How much is spent on turning regions into concrete cases.
const (
	mostRegions = 24   // regions of one question that are tried
	mostDraws   = 2000 // readings that are tried for one region
)

// pointIn looks for single values of all facts inside a region in which a
// condition is true, and leaves them in the worker's point. Facts it need not
// change have their unremarkable value. What is derived is computed, so that
// a region no reading reaches gives nothing.
func (w *worker) pointIn(region *expression.Box, ref expression.Ref) bool {
	w.plain(region)
	l := w.point.Layout
	if w.trueAtPoint(ref) {
		return true
	}
	var turn []int
	for _, d := range w.derivedIn(ref) {
		for _, s := range roots(l, d) {
			if !slices.Contains(turn, s) {
				turn = append(turn, s)
			}
		}
	}
	if len(turn) == 0 {
		return false
	}
	// The same region gives the same case on every run.
	draw := rand.New(rand.NewPCG(uint64(ref), uint64(len(turn))))
	tries := make([][]expression.Range, len(turn))
	for i, s := range turn {
		tries[i] = w.readings(s, region.At(s))
	}
	w.plain(region)
	for range mostDraws {
		for i, s := range turn {
			w.point.Set(s, tries[i][draw.IntN(len(tries[i]))])
		}
		if w.trueAtPoint(ref) {
			return true
		}
	}
	return false
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
	for k := range 9 {
		add(math.Round((in.Low+(in.High-in.Low)*float64(k)/8)*1000) / 1000)
	}
	return out
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
