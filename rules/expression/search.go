package expression

// Search looks for a completion of a box in which a condition is true. Where a
// condition leaves no choice it narrows the box rather than splitting it, so
// that a contradiction shows after few regions.
type Search struct {
	Budget  int // regions one question may cost
	Regions int // regions visited so far, over all questions

	arena *Arena
	eval  *Evaluator
	stack []*Box
	left  int
}

// NewSearch is a search over an arena that is complete.
func NewSearch(a *Arena, budget int) *Search {
	return &Search{Budget: budget, arena: a, eval: NewEvaluator(a)}
}

// Find visits regions of the box in which the condition is true throughout,
// until accept takes one. exact tells that the whole box was searched or a
// region taken; false means that the budget was spent. The box is left as it
// was; the region belongs to the search and is only lent to accept.
func (s *Search) Find(ref Ref, b *Box, accept func(region *Box) bool) (found, exact bool) {
	s.left = s.Budget
	top := s.boxAt(0)
	top.CopyFrom(b)
	found, exact = s.descend(ref, 0, accept)
	return found, exact || found
}

// Possible tells whether the condition is true in some region; spent budget
// counts as possible and not exact.
func (s *Search) Possible(ref Ref, b *Box) (possible, exact bool) {
	found, exact := s.Find(ref, b, func(*Box) bool { return true })
	return found || !exact, exact
}

func (s *Search) boxAt(depth int) *Box {
	for len(s.stack) <= depth {
		s.stack = append(s.stack, NewBox(s.arena.Layout))
	}
	return s.stack[depth]
}

// descend searches the box at a depth; exact false: the budget is spent.
func (s *Search) descend(ref Ref, depth int, accept func(*Box) bool) (found, exact bool) {
	b := s.boxAt(depth)
	for {
		s.Regions++
		if s.left--; s.left < 0 {
			return false, false
		}
		s.eval.On(b)
		t := s.eval.Value(ref)
		switch {
		case b.Empty() || t == False:
			return false, true
		case t == True:
			return accept(b), true
		}
		if !s.require(ref, b) {
			break
		}
		if b.Empty() {
			return false, true
		}
	}
	atom, want := s.branch(ref)
	for _, side := range [2]bool{want, !want} {
		half := s.boxAt(depth + 1)
		half.CopyFrom(s.boxAt(depth))
		narrow(half, atom, side)
		if half.Empty() {
			continue
		}
		if found, exact = s.descend(ref, depth+1, accept); found || !exact {
			return found, exact
		}
	}
	return false, true
}

// require narrows the box to what an open condition needs in order to be true;
// it tells whether anything was narrowed.
func (s *Search) require(ref Ref, b *Box) bool {
	n := &s.arena.nodes[ref.node()]
	switch {
	case n.kind != kindAnd:
		narrow(b, Atom{Slot: int(n.slot), Cut: n.cut, Words: n.words}, !ref.negated())
		return true
	case !ref.negated():
		any := false
		for _, k := range s.arena.kidsOf(n) {
			if s.eval.Value(k) == Open && s.require(k, b) {
				any = true
				if b.Empty() {
					return true
				}
			}
		}
		return any
	}
	if only, ok := s.onlyOpen(n); ok {
		return s.require(only.Not(), b)
	}
	return false
}

// onlyOpen is the one kid of a conjunction that is open, if it is one.
func (s *Search) onlyOpen(n *node) (Ref, bool) {
	only, found := Ref(0), false
	for _, k := range s.arena.kidsOf(n) {
		if s.eval.Value(k) == Open {
			if found {
				return 0, false
			}
			only, found = k, true
		}
	}
	return only, found
}

// branch chooses the atom to split on and the side to try first, in the
// alternative that leaves the fewest choices.
func (s *Search) branch(ref Ref) (Atom, bool) {
	for {
		n := &s.arena.nodes[ref.node()]
		if n.kind != kindAnd {
			return s.wordFirst(Atom{Slot: int(n.slot), Cut: n.cut, Words: n.words}, !ref.negated())
		}
		if ref.negated() {
			ref = s.easiest(n).Not()
			continue
		}
		ref = s.tightest(n)
	}
}

// easiest is the open kid whose failing costs least: an atom before a group.
func (s *Search) easiest(n *node) Ref {
	best, bestCost := Ref(0), 1<<30
	for _, k := range s.arena.kidsOf(n) {
		if s.eval.Value(k) != Open {
			continue
		}
		cost := 0
		switch m := &s.arena.nodes[k.node()]; {
		case m.kind != kindAnd && s.arena.Layout.Slots[m.slot].Derive != nil:
			cost = 2
		case m.kind != kindAnd:
			cost = 1
		default:
			cost = 2 + len(s.arena.kidsOf(m))
		}
		if cost < bestCost {
			best, bestCost = k, cost
		}
	}
	return best
}

// tightest is the open kid with the fewest open alternatives.
func (s *Search) tightest(n *node) Ref {
	best, bestOpen := Ref(0), 1<<30
	for _, k := range s.arena.kidsOf(n) {
		if s.eval.Value(k) != Open {
			continue
		}
		open := 0
		for _, g := range s.arena.kidsOf(&s.arena.nodes[k.node()]) {
			if s.eval.Value(g) == Open {
				open++
			}
		}
		if open < bestOpen {
			best, bestOpen = k, open
		}
	}
	return best
}

// wordFirst splits an unknown word that a derived slot rests on before the
// derived slot itself, since knowing it narrows everything else.
func (s *Search) wordFirst(atom Atom, want bool) (Atom, bool) {
	l := s.arena.Layout
	if l.Slots[atom.Slot].Derive == nil {
		return atom, want
	}
	for _, p := range l.parents[atom.Slot] {
		if l.Slots[p].Derive == nil && l.Slots[p].Finite && !s.eval.box.Known(p) {
			w := s.eval.box.At(p).Words
			return Atom{Slot: p, Words: w & -w}, true
		}
	}
	return atom, want
}
