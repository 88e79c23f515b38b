package expression

import "slices"

// Explorer decides conditions over every completion of a box by splitting it
// where the condition is still open, within a budget of leaves.
type Explorer struct {
	Budget int // leaves a question may cost; spent = open
	Leaves int // leaves visited so far, over all questions

	arena *Arena
	eval  *Evaluator
	stack []*Box
	count []int32 // open atoms seen per slot, for the choice of a split
	pick  []Atom  // the atom to split on, per slot
	mark  []uint32
	round uint32
	left  int
}

// DefaultBudget is enough for about ten unknown facts of one condition, and
// costs a few milliseconds when it is spent.
const DefaultBudget = 4096

// NewExplorer is an explorer over an arena that is complete.
func NewExplorer(a *Arena) *Explorer {
	return &Explorer{
		Budget: DefaultBudget, arena: a, eval: NewEvaluator(a),
		count: make([]int32, len(a.Layout.Slots)), pick: make([]Atom, len(a.Layout.Slots)),
		mark: make([]uint32, len(a.nodes)),
	}
}

// Truth is what a condition can be over the completions of the box: exact when
// the budget suffices, else open. The box is left as it was.
func (x *Explorer) Truth(ref Ref, b *Box) Truth {
	t, _ := x.Decide(ref, b)
	return t
}

// Decide is Truth, and whether the answer is exact rather than out of budget.
func (x *Explorer) Decide(ref Ref, b *Box) (t Truth, exact bool) {
	x.left = x.Budget
	var seen Truth
	if x.descend(ref, b, 0, &seen) && seen != 0 {
		return seen, true
	}
	// Out of budget; or the facts contradict each other, and then nothing is
	// ruled out: restrictions and alarms act, permits do not.
	return Open, seen == Open
}

// descend adds to seen what the condition can be; false: the budget is spent.
func (x *Explorer) descend(ref Ref, b *Box, depth int, seen *Truth) bool {
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
	atom := x.split(ref)
	for side := range 2 {
		half := x.boxAt(depth)
		half.CopyFrom(b)
		narrow(half, atom, side == 0)
		if half.Empty() {
			continue
		}
		if !x.descend(ref, half, depth+1, seen) {
			return false
		}
		if *seen == Open {
			return true
		}
	}
	return true
}

func (x *Explorer) boxAt(depth int) *Box {
	for len(x.stack) <= depth {
		x.stack = append(x.stack, NewBox(x.arena.Layout))
	}
	return x.stack[depth]
}

// split chooses the atom to split on: of the slot that occurs most among the
// open atoms. A derived slot yields to an unknown word among its parents, since
// knowing the parent narrows everything that rests on it.
func (x *Explorer) split(ref Ref) Atom {
	clear(x.count)
	if x.round++; x.round == 0 {
		clear(x.mark)
		x.round = 1
	}
	x.tally(ref)
	best := -1
	for s, n := range x.count {
		if n > 0 && (best < 0 || n > x.count[best]) {
			best = s
		}
	}
	atom := x.pick[best]
	if parent, ok := x.unknownWordUnder(best); ok {
		w := x.eval.box.At(parent).Words
		return Atom{Slot: parent, Words: w & -w}
	}
	return atom
}

// tally counts the open atoms below an open condition.
func (x *Explorer) tally(ref Ref) {
	i := ref.node()
	if x.mark[i] == x.round {
		return
	}
	x.mark[i] = x.round
	if x.eval.Value(Ref(i<<1)) != Open {
		return
	}
	n := &x.arena.nodes[i]
	if n.kind == kindAnd {
		for _, k := range n.kids {
			x.tally(k)
		}
		return
	}
	if x.count[n.slot]++; x.count[n.slot] == 1 {
		x.pick[n.slot] = Atom{Slot: int(n.slot), Cut: n.cut, Words: n.words}
	}
}

// unknownWordUnder finds an unknown word that a derived slot rests on.
func (x *Explorer) unknownWordUnder(slot int) (int, bool) {
	l := x.arena.Layout
	for _, p := range l.parents[slot] {
		if l.Slots[p].Derive != nil {
			if s, ok := x.unknownWordUnder(p); ok {
				return s, true
			}
		} else if l.Slots[p].Finite && !x.eval.box.Known(p) {
			return p, true
		}
	}
	return 0, false
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
	x.eval.On(b)
	if x.eval.Value(ref) != Open {
		return nil
	}
	clear(x.count)
	if x.round++; x.round == 0 {
		clear(x.mark)
		x.round = 1
	}
	x.tally(ref)
	var out []int
	for s, n := range x.count {
		if n > 0 {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, c int) int { return int(x.count[c] - x.count[a]) })
	return out
}
