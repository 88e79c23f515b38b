package expression

import "slices"

// Polarity says how a condition moves with a slot: which changes of the slot
// can turn it from false to true.
type Polarity uint8

// The bits of a polarity; none set: the condition does not read the slot.
const (
	Rises Polarity = 1 << iota // a higher number or rank can make it true
	Falls                      // a lower one can
)

// Polarities gives, for each slot that a condition reads, how it moves with it,
// from the signs under which its atoms stand. It is sound, not exact: a
// condition may stand still where both bits are set.
func (a *Arena) Polarities(ref Ref) map[int]Polarity {
	out := map[int]Polarity{}
	seen := map[Ref]bool{}
	var visit func(Ref)
	visit = func(r Ref) {
		if seen[r] {
			return
		}
		seen[r] = true
		n := &a.nodes[r.node()]
		for _, k := range a.kidsOf(n) {
			if r.negated() {
				k = k.Not()
			}
			visit(k)
		}
		if n.kind == kindBelow || n.kind == kindAmong {
			p := a.atomPolarity(n)
			if r.negated() {
				p = p>>1 | p&1<<1
			}
			out[int(n.slot)] |= p
		}
	}
	visit(ref)
	return out
}

func (a *Arena) atomPolarity(n *node) Polarity {
	if n.kind == kindBelow {
		return Falls
	}
	all := a.Layout.Slots[n.slot].Domain.Words
	switch w := n.words; {
	case w&(w+1) == 0: // the lowest words
		return Falls
	case (all&^w)&((all&^w)+1) == 0: // the highest words
		return Rises
	}
	return Rises | Falls
}

// Given is a condition with one slot fixed to a part of its domain that no atom
// of the condition cuts through.
func (a *Arena) Given(ref Ref, slot int, part Range) Ref {
	return a.Replace(ref, slot, func(atom Atom) Ref { return settled(a.Layout, atom, part) })
}

// settled is what an atom is on a part of its slot that it does not cut through.
func settled(l *Layout, atom Atom, part Range) Ref {
	holds := part.High <= atom.Cut
	if l.Slots[atom.Slot].Finite {
		holds = part.Words&^atom.Words == 0
	}
	if holds {
		return Always
	}
	return Never
}

// Replace is a condition in which each atom of a slot is replaced.
func (a *Arena) Replace(ref Ref, slot int, by func(Atom) Ref) Ref {
	known := map[int]Ref{}
	var visit func(Ref) Ref
	visit = func(r Ref) Ref {
		i := r.node()
		got, ok := known[i]
		if !ok {
			got = Ref(i << 1)
			n := a.nodes[i]
			switch {
			case n.kind == kindAnd:
				var kids []Ref
				for _, k := range slices.Clone(a.kidsOf(&n)) {
					kids = append(kids, visit(k))
				}
				got = a.And(kids...)
			case n.kind != kindFalse && int(n.slot) == slot:
				got = by(Atom{Slot: slot, Cut: n.cut, Words: n.words})
			}
			known[i] = got
		}
		if r.negated() {
			return got.Not()
		}
		return got
	}
	return visit(ref)
}

// Fold puts shorter conditions in the place of longer ones that stand inside a
// condition, whole or as some of the parts of a conjunction. The longer ones are
// tried in the order given.
func (a *Arena) Fold(ref Ref, long, short []Ref) Ref {
	known := map[int]Ref{}
	var visit func(Ref) Ref
	visit = func(r Ref) Ref {
		i := r.node()
		got, ok := known[i]
		if !ok {
			got = a.fold(Ref(i<<1), long, short, visit)
			known[i] = got
		}
		if r.negated() {
			return got.Not()
		}
		return got
	}
	return visit(ref)
}

func (a *Arena) fold(r Ref, long, short []Ref, visit func(Ref) Ref) Ref {
	n := a.nodes[r.node()]
	if n.kind != kindAnd {
		return r
	}
	kids := slices.Clone(a.kidsOf(&n))
	var out []Ref
	for i, l := range long {
		for _, side := range [2]struct{ from, to Ref }{{l, short[i]}, {l.Not(), short[i].Not()}} {
			if side.from.negated() || a.nodes[side.from.node()].kind != kindAnd {
				continue
			}
			whole := a.kidsOf(&a.nodes[side.from.node()])
			if containsAll(kids, whole) {
				kids = slices.DeleteFunc(kids, func(k Ref) bool { return slices.Contains(whole, k) })
				out = append(out, side.to)
			}
		}
	}
	for _, k := range kids {
		folded := false
		for i, l := range long {
			if k == l || k == l.Not() {
				to := short[i]
				if k != l {
					to = to.Not()
				}
				out, folded = append(out, to), true
				break
			}
		}
		if !folded {
			out = append(out, visit(k))
		}
	}
	return a.And(out...)
}

func containsAll(have, want []Ref) bool {
	for _, r := range want {
		if !slices.Contains(have, r) {
			return false
		}
	}
	return true
}

// Gains is the condition, free of a slot, under which another condition is true
// with the slot in one part of its domain and false with it in another, all else
// equal. Only what changes between the two is spelled out twice, so that it is
// Never at once where nothing that changes does so the right way.
func (a *Arena) Gains(ref Ref, slot int, to, from Range) Ref {
	known := map[Ref]Ref{}
	var visit func(Ref) Ref
	visit = func(r Ref) Ref {
		if got, ok := known[r]; ok {
			return got
		}
		got := Never
		n := a.nodes[r.node()]
		switch {
		case n.kind == kindAnd:
			got = a.gainsOf(r, slot, to, from, visit)
		case n.kind != kindFalse && int(n.slot) == slot:
			atom := Atom{Slot: slot, Cut: n.cut, Words: n.words}
			now, was := settled(a.Layout, atom, to), settled(a.Layout, atom, from)
			if r.negated() {
				now, was = now.Not(), was.Not()
			}
			got = a.And(now, was.Not())
		}
		known[r] = got
		return got
	}
	return visit(ref)
}

// gainsOf is Gains of a conjunction, or of one that is negated: it is gained
// when all parts hold at the end where it has to and one of them changed.
func (a *Arena) gainsOf(r Ref, slot int, to, from Range, visit func(Ref) Ref) Ref {
	n := a.nodes[r.node()]
	kids := slices.Clone(a.kidsOf(&n))
	all := to
	if r.negated() {
		all = from
	}
	var any []Ref
	for _, k := range kids {
		if r.negated() {
			any = append(any, visit(k.Not()))
		} else {
			any = append(any, visit(k))
		}
	}
	one := a.Or(any...)
	if one == Never {
		return Never
	}
	hold := []Ref{one}
	for _, k := range kids {
		hold = append(hold, a.Given(k, slot, all))
	}
	return a.And(hold...)
}

// Regions lists the parts of a slot's domain between which some condition of a
// list changes its mind, in ascending order: every word, or the ranges between
// two cuts.
func (a *Arena) Regions(slot int, refs ...Ref) []Range {
	s := &a.Layout.Slots[slot]
	if s.Finite {
		var out []Range
		for i := range 64 {
			if s.Domain.Words>>i&1 == 1 {
				out = append(out, Word(i))
			}
		}
		return out
	}
	var cuts []float64
	for _, ref := range refs {
		for _, atom := range a.Atoms(ref) {
			if atom.Slot == slot && atom.Cut >= s.Domain.Low && atom.Cut < s.Domain.High {
				cuts = append(cuts, atom.Cut)
			}
		}
	}
	slices.Sort(cuts)
	var out []Range
	low := s.Domain.Low
	for _, c := range slices.Compact(cuts) {
		if c < low {
			continue
		}
		out = append(out, Range{Low: low, High: c})
		low = s.above(c)
	}
	return append(out, Range{Low: low, High: s.Domain.High})
}

// Cuts lists, for each slot that holds numbers, what some condition compares it
// with, in ascending order.
func (a *Arena) Cuts() map[int][]float64 {
	out := map[int][]float64{}
	for i := range a.nodes {
		if n := &a.nodes[i]; n.kind == kindBelow {
			out[int(n.slot)] = append(out[int(n.slot)], n.cut)
		}
	}
	for s := range out {
		slices.Sort(out[s])
		out[s] = slices.Compact(out[s])
	}
	return out
}

// Clone is a copy of the arena to which conditions can be added without
// disturbing whoever reads the original. Conditions keep their names.
func (a *Arena) Clone() *Arena {
	c := &Arena{Layout: a.Layout, nodes: slices.Clone(a.nodes), kids: slices.Clone(a.kids), known: make(map[string]Ref, len(a.known))}
	for k, r := range a.known {
		c.known[k] = r
	}
	return c
}

// Size is the number of distinct parts of all conditions.
func (a *Arena) Size() int { return len(a.nodes) }

// Parents lists the slots that a derived slot is computed from.
func (l *Layout) Parents(slot int) []int { return l.parents[slot] }
