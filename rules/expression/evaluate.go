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
// memory between boxes, so that deciding allocates nothing, and what it found on
// a box as long as that box does not change.
type Evaluator struct {
	arena   *Arena
	box     *Box
	version uint64 // of the box
	round   uint32
	found   []uint32 // per node: round and truth
}

// The low bits of Evaluator.found hold the truth, the others the round.
const (
	truthBits = 2
	lastRound = 1<<(32-truthBits) - 1
)

// NewEvaluator is an evaluator over an arena that is complete.
func NewEvaluator(a *Arena) *Evaluator {
	return &Evaluator{arena: a, found: make([]uint32, len(a.nodes))}
}

// On turns the evaluator to a box and tells whether it is another one or has
// changed; then what was found is forgotten.
func (e *Evaluator) On(b *Box) (anew bool) {
	if e.box == b && e.version == b.version {
		return false
	}
	e.box, e.version = b, b.version
	if e.round++; e.round > lastRound {
		clear(e.found)
		e.round = 1
	}
	return true
}

// Value decides one condition on the box. It is short enough to be inlined where
// it counts: most conditions share parts that are decided already.
func (e *Evaluator) Value(ref Ref) Truth {
	f := e.found[ref>>1]
	if f>>truthBits != e.round {
		f = e.find(ref.node())
	}
	t, not := Truth(f&uint32(Open)), ref&1
	return (t>>not | t<<not) & Open // swapped if negated
}

func (e *Evaluator) find(i int) uint32 {
	f := e.round<<truthBits | uint32(e.node(i))
	e.found[i] = f
	return f
}

// node decides one node. What the facts of a case say cannot be foreseen, so the
// comparisons are added up rather than branched on: a wrong guess of the
// processor costs more than all of them.
func (e *Evaluator) node(i int) Truth {
	n := &e.arena.nodes[i]
	switch n.kind {
	case kindBelow:
		c := e.box.cell(int(n.slot))
		t := can(c.low <= n.cut)<<1 | can(c.high > n.cut)
		if t == 0 {
			return True // a range that is upside down, whose high end decides
		}
		return t
	case kindAmong:
		w := e.box.cell(int(n.slot)).words()
		t := can(w&n.words != 0)<<1 | can(w&^n.words != 0)
		if t == 0 {
			return False // no word at all
		}
		return t
	case kindAnd:
		all := True
		for _, k := range e.arena.kidsOf(n) {
			t := e.Value(k)
			all = all&t&True | (all|t)&False
			if all&True == 0 {
				return False
			}
		}
		return all
	}
	return False
}

func can(b bool) Truth {
	if b {
		return 1
	}
	return 0
}
