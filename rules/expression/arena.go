package expression

import (
	"encoding/binary"
	"math"
)

// Ref names a condition in an arena; its complement is one bit away.
type Ref int32

const (
	// Never is the condition that is always false, Always its complement.
	Never  Ref = 0
	Always Ref = 1
)

// Not is the complement of a condition.
func (r Ref) Not() Ref { return r ^ 1 }

func (r Ref) node() int     { return int(r >> 1) }
func (r Ref) negated() bool { return r&1 == 1 }

type kind uint8

const (
	kindFalse kind = iota
	kindBelow      // slot <= cut
	kindAmong      // slot is one of words
	kindAnd        // all kids
)

type node struct {
	kind        kind
	slot        int32
	cut         float64
	words       uint64
	first, last int32 // kindAnd: the kids are Arena.kids[first:last]
}

// Arena holds conditions as a graph in which equal parts are shared. A kid
// always stands before its parents.
type Arena struct {
	Layout *Layout
	nodes  []node
	kids   []Ref
	known  map[string]Ref
}

func (a *Arena) kidsOf(n *node) []Ref { return a.kids[n.first:n.last] }

// NewArena is an empty arena over a layout.
func NewArena(l *Layout) *Arena {
	return &Arena{Layout: l, nodes: []node{{kind: kindFalse}}, known: map[string]Ref{}}
}

// Below is the condition slot <= cut.
func (a *Arena) Below(slot int, cut float64) Ref {
	s := &a.Layout.Slots[slot]
	if s.Whole {
		cut = math.Floor(cut)
	}
	return a.intern(node{kind: kindBelow, slot: int32(slot), cut: cut})
}

// Under is the condition slot < cut.
func (a *Arena) Under(slot int, cut float64) Ref {
	return a.Below(slot, a.Layout.Slots[slot].below(cut))
}

// Among is the condition that a slot is one of the words in the mask.
func (a *Arena) Among(slot int, words uint64) Ref {
	domain := a.Layout.Slots[slot].Domain.Words
	switch words & domain {
	case 0:
		return Never
	case domain:
		return Always
	}
	return a.intern(node{kind: kindAmong, slot: int32(slot), words: words & domain})
}

// And is true when all are.
func (a *Arena) And(refs ...Ref) Ref {
	if len(refs) > few {
		return a.andMany(refs)
	}
	var kids []Ref
	for _, r := range refs {
		if r == Never {
			return Never
		}
		if r == Always {
			continue
		}
		if !r.negated() && a.nodes[r.node()].kind == kindAnd {
			kids = appendNew(kids, a.kidsOf(&a.nodes[r.node()])...)
		} else {
			kids = appendNew(kids, r)
		}
	}
	return a.join(kids)
}

// andMany is And for a long list.
func (a *Arena) andMany(refs []Ref) Ref {
	var kids []Ref
	have := make(map[Ref]bool, len(refs))
	add := func(r Ref) {
		if !have[r] {
			have[r] = true
			kids = append(kids, r)
		}
	}
	for _, r := range refs {
		switch {
		case r == Never:
			return Never
		case r == Always:
		case !r.negated() && a.nodes[r.node()].kind == kindAnd:
			for _, k := range a.kidsOf(&a.nodes[r.node()]) {
				add(k)
			}
		default:
			add(r)
		}
	}
	return a.join(kids)
}

// join is the conjunction of parts of which none is one itself.
func (a *Arena) join(kids []Ref) Ref {
	if contradictory(kids) {
		return Never
	}
	switch len(kids) {
	case 0:
		return Always
	case 1:
		return kids[0]
	}
	return a.intern(node{kind: kindAnd}, kids...)
}

// Or is true when any is.
func (a *Arena) Or(refs ...Ref) Ref {
	inverse := make([]Ref, len(refs))
	for i, r := range refs {
		inverse[i] = r.Not()
	}
	return a.And(inverse...).Not()
}

// few is how many parts are compared one by one; more are looked up, so that
// ten thousand rules about one thing still load in a moment.
const few = 32

func contradictory(kids []Ref) bool {
	if len(kids) > few {
		have := make(map[Ref]bool, len(kids))
		for _, r := range kids {
			if have[r.Not()] {
				return true
			}
			have[r] = true
		}
		return false
	}
	for _, r := range kids {
		for _, q := range kids {
			if r == q.Not() {
				return true
			}
		}
	}
	return false
}

func appendNew(to []Ref, refs ...Ref) []Ref {
next:
	for _, r := range refs {
		for _, have := range to {
			if have == r {
				continue next
			}
		}
		to = append(to, r)
	}
	return to
}

func (a *Arena) intern(n node, kids ...Ref) Ref {
	key := make([]byte, 0, 24+4*len(kids))
	key = append(key, byte(n.kind))
	key = binary.LittleEndian.AppendUint32(key, uint32(n.slot))
	key = binary.LittleEndian.AppendUint64(key, math.Float64bits(n.cut))
	key = binary.LittleEndian.AppendUint64(key, n.words)
	for _, k := range kids {
		key = binary.LittleEndian.AppendUint32(key, uint32(k))
	}
	if r, ok := a.known[string(key)]; ok {
		return r
	}
	n.first = int32(len(a.kids))
	a.kids = append(a.kids, kids...)
	n.last = int32(len(a.kids))
	r := Ref(len(a.nodes) << 1)
	a.nodes = append(a.nodes, n)
	a.known[string(key)] = r
	return r
}

// Atom is one slot-against-constant test inside a condition.
type Atom struct {
	Slot  int
	Cut   float64 // numbers: slot <= Cut
	Words uint64  // words: slot is one of these
}

// Atoms lists the distinct atoms of a condition in a stable order.
func (a *Arena) Atoms(ref Ref) []Atom {
	var out []Atom
	a.walk(ref, map[int]bool{}, func(n *node) {
		if n.kind == kindBelow || n.kind == kindAmong {
			out = append(out, Atom{Slot: int(n.slot), Cut: n.cut, Words: n.words})
		}
	})
	return out
}

func (a *Arena) walk(ref Ref, seen map[int]bool, visit func(*node)) {
	if seen[ref.node()] {
		return
	}
	seen[ref.node()] = true
	n := &a.nodes[ref.node()]
	visit(n)
	for _, k := range a.kidsOf(n) {
		a.walk(k, seen, visit)
	}
}

// Reads lists the slots that a condition looks at.
func (a *Arena) Reads(ref Ref) []int {
	var out []int
	seen := map[int]bool{}
	for _, atom := range a.Atoms(ref) {
		if !seen[atom.Slot] {
			seen[atom.Slot] = true
			out = append(out, atom.Slot)
		}
	}
	return out
}

// Both lists the parts of a conjunction of two conditions, so that each can be
// asked about alone.
func (a *Arena) Both(p, q Ref) []Ref {
	var out []Ref
	for _, r := range []Ref{p, q} {
		if n := &a.nodes[r.node()]; !r.negated() && n.kind == kindAnd {
			out = append(out, a.kidsOf(n)...)
		} else {
			out = append(out, r)
		}
	}
	return out
}
