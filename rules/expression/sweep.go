package expression

import (
	"cmp"
	"slices"
)

// Sweep decides a fixed set of conditions on one box at one go, in the same
// three-valued logic as Evaluator and with the same answers. It holds 64 truths
// to a machine word, so that a conjunction costs a few masks however many parts
// it has, and it takes no branch that depends on the case. An Evaluator looks
// only at what one condition needs; a Sweep is for asking about nearly all.
type Sweep struct {
	derived []int32     // slots to compute before their cells are read
	below   []cutLeaf   // at positions 0, 1, …
	among   []wordsLeaf // at the positions after them
	terms   []term
	at      []int32 // position of each node of the arena, -1: not in the set

	box      *Box
	version  uint64   // of the box
	possible []truths // of 64 positions each
}

type cutLeaf struct {
	slot int32
	cut  float64
}

type wordsLeaf struct {
	slot  int32
	words uint64
}

// term holds the parts that lie in one word: those that have to be true and those
// that have to be false.
type term struct {
	word            uint32
	last            bool // of its conjunction
	isTrue, isFalse uint64
}

// truths says of 64 conditions which can be false (0) and which can be true (1).
type truths [2]uint64

const wordBits = 64

// NewSweep prepares the sweep over some conditions of an arena that is complete
// and over all that they are made of.
func NewSweep(a *Arena, refs ...Ref) *Sweep {
	s := &Sweep{at: make([]int32, len(a.nodes))}
	inSet := map[int]bool{}
	for _, r := range refs {
		a.walk(r, inSet, func(*node) {})
	}
	of := map[kind][]int{}
	for i := range a.nodes {
		s.at[i] = -1
		if inSet[i] {
			of[a.nodes[i].kind] = append(of[a.nodes[i].kind], i)
		}
	}
	for _, k := range []kind{kindBelow, kindAmong} { // beside each other what reads one cell
		slices.SortFunc(of[k], func(i, j int) int { return cmp.Compare(a.nodes[i].slot, a.nodes[j].slot) })
	}
	next := int32(0)
	for _, i := range slices.Concat(of[kindBelow], of[kindAmong], of[kindFalse], of[kindAnd]) {
		s.at[i] = next
		next++
		s.add(a, &a.nodes[i])
	}
	s.possible = make([]truths, next/wordBits+1)
	return s
}

func (s *Sweep) add(a *Arena, n *node) {
	switch n.kind {
	case kindBelow:
		s.below = append(s.below, cutLeaf{n.slot, n.cut})
	case kindAmong:
		s.among = append(s.among, wordsLeaf{n.slot, n.words})
	case kindFalse:
		s.among = append(s.among, wordsLeaf{0, 0}) // no word at all
	case kindAnd:
		first := len(s.terms)
		for _, kid := range a.kidsOf(n) {
			s.require(first, kid)
		}
		s.terms[len(s.terms)-1].last = true
		return
	}
	if a.Layout.Slots[n.slot].Derive != nil && !slices.Contains(s.derived, n.slot) {
		s.derived = append(s.derived, n.slot)
	}
}

// require adds a part to the terms of the conjunction that starts at first.
func (s *Sweep) require(first int, kid Ref) {
	at := uint32(s.at[kid.node()])
	word, bit := at/wordBits, uint64(1)<<(at%wordBits)
	t := (*term)(nil)
	for i := first; i < len(s.terms); i++ {
		if s.terms[i].word == word {
			t = &s.terms[i]
		}
	}
	if t == nil {
		s.terms = append(s.terms, term{word: word})
		t = &s.terms[len(s.terms)-1]
	}
	if kid.negated() {
		t.isFalse |= bit
	} else {
		t.isTrue |= bit
	}
}

// On decides everything on a box, unless that was done and the box has not
// changed since.
func (s *Sweep) On(b *Box) {
	if s.box == b && s.version == b.version {
		return
	}
	for _, slot := range s.derived {
		b.cell(int(slot)) // computes it if need be
	}
	s.box, s.version = b, b.version
	s.leaves(b)
	s.conjunctions()
}

// leaves decides the comparisons, a word of them at a time.
func (s *Sweep) leaves(b *Box) {
	var canBeFalse, canBeTrue uint64
	at := uint(0)
	for i := range s.below {
		l := &s.below[i]
		c := &b.r[l.slot]
		// A range that is upside down counts by its high end, as in Evaluator.
		f := bit(c.high > l.cut)
		t := bit(c.low <= l.cut) | (f ^ 1)
		canBeTrue |= t << (at % wordBits)
		canBeFalse |= f << (at % wordBits)
		if at++; at%wordBits == 0 {
			s.possible[at/wordBits-1] = truths{canBeFalse, canBeTrue}
			canBeFalse, canBeTrue = 0, 0
		}
	}
	for i := range s.among {
		l := &s.among[i]
		w := b.r[l.slot].words()
		t := bit(w&l.words != 0)
		f := bit(w&^l.words != 0) | (t ^ 1) // no word at all is none of them
		canBeTrue |= t << (at % wordBits)
		canBeFalse |= f << (at % wordBits)
		if at++; at%wordBits == 0 {
			s.possible[at/wordBits-1] = truths{canBeFalse, canBeTrue}
			canBeFalse, canBeTrue = 0, 0
		}
	}
	s.possible[at/wordBits] = truths{canBeFalse, canBeTrue}
}

// conjunctions decides them in order, the parts before the whole.
func (s *Sweep) conjunctions() {
	at := uint(len(s.below) + len(s.among))
	possible := s.possible
	canBeFalse, canBeTrue := possible[at/wordBits][0], possible[at/wordBits][1]
	var misses, against uint64
	for i := range s.terms {
		t := &s.terms[i]
		p := &possible[t.word]
		isTrue, isFalse := t.isTrue, t.isFalse
		misses |= isTrue&^p[1] | isFalse&^p[0]
		against |= isTrue&p[0] | isFalse&p[1]
		if !t.last {
			continue
		}
		canBeFalse |= bit(against != 0) << (at % wordBits)
		canBeTrue |= bit(misses == 0) << (at % wordBits)
		possible[at/wordBits] = truths{canBeFalse, canBeTrue}
		misses, against = 0, 0
		if at++; at%wordBits == 0 {
			canBeFalse, canBeTrue = 0, 0
		}
	}
}

func bit(b bool) uint64 {
	if b {
		return 1
	}
	return 0
}

// Value is what a condition of the set can be on the box; it panics for one that
// is not in the set.
func (s *Sweep) Value(ref Ref) Truth {
	at := uint(s.at[ref.node()])
	p := &s.possible[at/wordBits]
	canBeTrue, canBeFalse := p[ref&1^1]>>(at%wordBits)&1, p[ref&1]>>(at%wordBits)&1
	return Truth(canBeTrue<<1 | canBeFalse)
}
