package expression

import (
	"cmp"
	"math"
	"slices"
)

// Explorer decides conditions over every completion of a box by splitting it
// where the condition is still open, within a budget of leaves.
type Explorer struct {
	Budget int // leaves a question may cost; spent = open
	Leaves int // leaves visited so far, over all questions

	arena *Arena
	whole [2]*survey // of the boxes asked about, the latest first
	eval  *Evaluator // of the parts of a box
	trail []kept     // what the narrowings on the way down changed
	count []int32    // open atoms seen per slot, for the choice of a split
	slots []int      // the slots with a count
	pick  []Atom     // the atom to split on, per slot
	mark  []uint32
	round uint32
	left  int
}

// survey is what was found on a whole box, as long as it does not change.
type survey struct {
	*Evaluator
	budget  int
	turn    uint64   // grows whenever the box has changed
	decided []uint64 // per Ref: turn, whether it is exact, truth
}

// DefaultBudget is enough for about ten unknown facts of one condition, and
// costs a few milliseconds when it is spent.
const DefaultBudget = 4096

// NewExplorer is an explorer over an arena that is complete.
func NewExplorer(a *Arena) *Explorer {
	x := &Explorer{
		Budget: DefaultBudget, arena: a, eval: NewEvaluator(a),
		count: make([]int32, len(a.Layout.Slots)), pick: make([]Atom, len(a.Layout.Slots)),
		mark: make([]uint32, len(a.nodes)),
	}
	for i := range x.whole {
		x.whole[i] = &survey{Evaluator: NewEvaluator(a), decided: make([]uint64, 2*len(a.nodes))}
	}
	return x
}

// on is the survey of a box.
func (x *Explorer) on(b *Box) *survey {
	if x.whole[0].box != b {
		x.whole[0], x.whole[1] = x.whole[1], x.whole[0]
	}
	s := x.whole[0]
	if s.budget != x.Budget {
		s.budget, s.box = x.Budget, nil
	}
	if s.On(b) {
		s.turn++
	}
	return s
}

// Truth is what a condition can be over the completions of the box: exact when
// the budget suffices, else open. The box is left as it was.
func (x *Explorer) Truth(ref Ref, b *Box) Truth {
	t, _ := x.Decide(ref, b)
	return t
}

// Decide is Truth, and whether the answer is exact rather than out of budget.
func (x *Explorer) Decide(ref Ref, b *Box) (t Truth, exact bool) {
	const exactBit = 1 << truthBits
	whole := x.on(b)
	t = whole.Value(ref)
	if b.Empty() {
		// The facts contradict each other, and then nothing is ruled out:
		// restrictions and alarms act, permits do not.
		return Open, false
	}
	if t != Open {
		x.Leaves++
		return t, true
	}
	if d := whole.decided[ref]; d>>(truthBits+1) == whole.turn {
		return Truth(d & uint64(Open)), d&exactBit != 0
	}
	t, exact = x.split(ref, b, whole.Evaluator)
	note := whole.turn<<(truthBits+1) | uint64(t)
	if exact {
		note |= exactBit
	}
	whole.decided[ref] = note
	return t, exact
}

// split decides a condition that is open on the box as a whole.
func (x *Explorer) split(ref Ref, b *Box, whole *Evaluator) (t Truth, exact bool) {
	x.left = x.Budget
	if x.left <= 0 {
		return Open, false
	}
	var seen Truth
	if x.halves(ref, b, whole, &seen) && seen != 0 {
		return seen, true
	}
	return Open, seen == Open // out of budget, or nothing is possible
}

// descend adds to seen what the condition can be; false: the budget is spent.
func (x *Explorer) descend(ref Ref, b *Box, seen *Truth) bool {
	x.eval.On(b)
	t := x.eval.Value(ref)
	if b.Empty() {
		return true
	}
	if t != Open {
		x.left--
		x.Leaves++
		*seen |= t
		return true
	}
	if x.left <= 0 {
		return false
	}
	return x.halves(ref, b, x.eval, seen)
}

// halves descends into both sides of the atom to split on, and leaves the box
// as it was.
func (x *Explorer) halves(ref Ref, b *Box, open *Evaluator, seen *Truth) bool {
	atom := x.choose(ref, open)
	start, empty, version := len(x.trail), b.empty, b.version
	defer func() { x.trail = x.trail[:start] }()
	x.trail = b.keep(atom.Slot, x.trail)
	for side := range 2 {
		narrow(b, atom, side == 0)
		more := b.Empty() || x.descend(ref, b, seen)
		b.restore(x.trail[start:])
		b.empty, b.version = empty, version
		if !more {
			return false
		}
		if *seen == Open {
			return true
		}
	}
	return true
}

// choose gives the atom to split on: of the slot that occurs most among the
// open atoms. A derived slot yields to an unknown word among its parents, since
// knowing the parent narrows everything that rests on it.
func (x *Explorer) choose(ref Ref, open *Evaluator) Atom {
	x.survey(ref, open)
	best := -1
	for _, s := range x.slots {
		if best < 0 || x.count[s] > x.count[best] || x.count[s] == x.count[best] && s < best {
			best = s
		}
	}
	atom := x.pick[best]
	if under, ok := x.unknownUnder(open.box, best); ok {
		return under
	}
	return atom
}

// survey counts the open atoms below an open condition, per slot.
func (x *Explorer) survey(ref Ref, open *Evaluator) {
	for _, s := range x.slots {
		x.count[s] = 0
	}
	x.slots = x.slots[:0]
	if x.round++; x.round == 0 {
		clear(x.mark)
		x.round = 1
	}
	x.tally(ref, open)
}

func (x *Explorer) tally(ref Ref, open *Evaluator) {
	i := ref.node()
	if x.mark[i] == x.round {
		return
	}
	x.mark[i] = x.round
	if open.Value(Ref(i<<1)) != Open {
		return
	}
	n := &x.arena.nodes[i]
	if n.kind == kindAnd {
		for _, k := range x.arena.kidsOf(n) {
			x.tally(k, open)
		}
		return
	}
	if x.count[n.slot]++; x.count[n.slot] == 1 {
		x.slots = append(x.slots, int(n.slot))
		x.pick[n.slot] = Atom{Slot: int(n.slot), Cut: n.cut, Words: n.words}
	}
}

// fewCounts is how many values a count may have to be worth splitting for the
// derived facts that rest on it.
const fewCounts = 40

// unknownUnder finds an unknown word or small count that a derived slot rests
// on, and the atom that halves it.
func (x *Explorer) unknownUnder(b *Box, slot int) (Atom, bool) {
	l := x.arena.Layout
	for _, p := range l.parents[slot] {
		s := &l.Slots[p]
		if s.Derive != nil {
			if a, ok := x.unknownUnder(b, p); ok {
				return a, true
			}
			continue
		}
		if b.Known(p) {
			continue
		}
		r := b.At(p)
		switch {
		case s.Finite:
			return Atom{Slot: p, Words: r.Words & -r.Words}, true
		case s.Whole && r.High-r.Low < fewCounts:
			return Atom{Slot: p, Cut: math.Floor((r.Low + r.High) / 2)}, true
		}
	}
	return Atom{}, false
}

// narrow keeps the half of the box in which the atom is true, or false.
func narrow(b *Box, atom Atom, want bool) {
	s := &b.Layout.Slots[atom.Slot]
	r := b.At(atom.Slot)
	switch {
	case s.Finite && want:
		r.Words = atom.Words
	case s.Finite:
		r.Words = s.Domain.Words &^ atom.Words
	case want:
		r.High = atom.Cut
	default:
		r.Low = s.above(atom.Cut)
	}
	if !s.Finite && r.Low > r.High {
		b.empty = true
		return
	}
	b.Narrow(atom.Slot, r)
}

// Undecided lists the slots whose atoms leave a condition open on the box, those
// that occur most first; nil when the condition is decided.
func (x *Explorer) Undecided(ref Ref, b *Box) []int {
	whole := x.on(b)
	if whole.Value(ref) != Open {
		return nil
	}
	x.survey(ref, whole.Evaluator)
	out := slices.Clone(x.slots)
	slices.SortFunc(out, func(a, c int) int { return cmp.Or(cmp.Compare(x.count[c], x.count[a]), cmp.Compare(a, c)) })
	return out
}
