package expression

// Truth is what a condition can be: bit 0 it can be false, bit 1 it can be true.
type Truth uint8

const (
	False Truth = 0b01
	True  Truth = 0b10
	Open  Truth = 0b11
)

// Not swaps true and false.
func (t Truth) Not() Truth { return t>>1 | t&1<<1 }

func (t Truth) String() string {
	switch t {
	case False:
		return "false"
	case True:
		return "true"
	case Open:
		return "open"
	}
	return "none"
}

// Possible tells that the condition can be true.
func (t Truth) Possible() bool { return t&True != 0 }

// Evaluator decides conditions of one arena on one box at a time, in Kleene's
// three-valued logic: sound, and exact once every atom is decided. It keeps its
// memory between boxes, so that deciding allocates nothing.
type Evaluator struct {
	arena *Arena
	box   *Box
	round uint32
	stamp []uint32
	value []Truth
}

// NewEvaluator is an evaluator over an arena that is complete.
func NewEvaluator(a *Arena) *Evaluator {
	return &Evaluator{arena: a, stamp: make([]uint32, len(a.nodes)), value: make([]Truth, len(a.nodes))}
}

// On turns the evaluator to a box, forgetting what it found on the last one.
func (e *Evaluator) On(b *Box) {
	e.box = b
	if e.round++; e.round == 0 {
		clear(e.stamp)
		e.round = 1
	}
}

// Value decides one condition on the box.
func (e *Evaluator) Value(ref Ref) Truth {
	i := ref.node()
	if e.stamp[i] != e.round {
		e.value[i] = e.node(i)
		e.stamp[i] = e.round
	}
	if ref.negated() {
		return e.value[i].Not()
	}
	return e.value[i]
}

func (e *Evaluator) node(i int) Truth {
	n := &e.arena.nodes[i]
	switch n.kind {
	case kindBelow:
		r := e.box.At(int(n.slot))
		if r.High <= n.cut {
			return True
		}
		if r.Low > n.cut {
			return False
		}
		return Open
	case kindAmong:
		w := e.box.At(int(n.slot)).Words
		if w&n.words == 0 {
			return False
		}
		if w&^n.words == 0 {
			return True
		}
		return Open
	case kindAnd:
		all := True
		for _, k := range n.kids {
			switch e.Value(k) {
			case False:
				return False
			case Open:
				all = Open
			}
		}
		return all
	}
	return False
}
