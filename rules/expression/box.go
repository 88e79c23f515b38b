package expression

import (
	"math"
	"math/bits"
)

// Range is what is possible for one slot: a set of words, or a closed range of
// numbers in the catalogue's unit.
type Range struct {
	Low, High float64
	Words     uint64
}

// Exactly is a range of one number.
func Exactly(x float64) Range { return Range{Low: x, High: x} }

// Word is a range of one word, by its index.
func Word(i int) Range { return Range{Words: 1 << i} }

// Box is what is possible for every slot at once. Derived slots are computed
// when first asked for and forgotten when a parent narrows.
type Box struct {
	Layout *Layout
	r      []cell
	limit  []Range // by Slot.order: narrowed to this beyond what the parents say
	marks  []mark
	empty  bool
	// Two equal versions of one box hold the same; last is the highest one given.
	version, last uint64
}

// cell is a Range in the little room it needs, since a box is copied and read
// more often than anything else: the ends of a range of numbers, or the bits of
// a set of words in low.
type cell struct{ low, high float64 }

func (m mark) cell(r Range) cell {
	if m&finite != 0 {
		return cell{low: math.Float64frombits(r.Words)}
	}
	return cell{r.Low, r.High}
}

func (c cell) words() uint64 { return math.Float64bits(c.low) }

func (c cell) as(m mark) Range {
	if m&finite != 0 {
		return Range{Words: c.words()}
	}
	return Range{Low: c.low, High: c.high}
}

// mark holds what is noted of a slot besides its range.
type mark uint8

const (
	stale  mark = 1 << iota // derived: computed when next asked for
	absent                  // nobody took this reading
	pinned                  // derived, yet stated: no longer computed
	finite                  // the cell holds words
)

// NewBox is the box in which everything is possible.
func NewBox(l *Layout) *Box {
	b := &Box{r: make([]cell, len(l.Slots)), limit: make([]Range, len(l.everything.limit)), marks: make([]mark, len(l.Slots))}
	b.CopyFrom(&l.everything)
	return b
}

// CopyFrom makes b equal to a box of the same layout.
func (b *Box) CopyFrom(from *Box) {
	b.Layout, b.empty = from.Layout, from.empty
	copy(b.r, from.r)
	copy(b.limit, from.limit)
	copy(b.marks, from.marks)
	b.changed()
}

// Clear makes everything possible again.
func (b *Box) Clear() { b.CopyFrom(&b.Layout.everything) }

// Clone is a copy that shares nothing.
func (b *Box) Clone() *Box {
	c := NewBox(b.Layout)
	c.CopyFrom(b)
	return c
}

func (b *Box) changed() {
	b.last++
	b.version = b.last
}

// At is what is possible for a slot.
func (b *Box) At(slot int) Range {
	if b.marks[slot]&stale != 0 {
		b.compute(slot)
	}
	return b.r[slot].as(b.marks[slot])
}

// cell is At as it is held.
func (b *Box) cell(slot int) cell {
	if b.marks[slot]&stale != 0 {
		b.compute(slot)
	}
	return b.r[slot]
}

func (b *Box) compute(slot int) {
	s := &b.Layout.Slots[slot]
	r, ok := s.meet(s.Derive(b), b.limit[s.order])
	if !ok {
		// It stays stale, so that whoever asks again learns of it again.
		b.empty = true
		b.r[slot] = b.marks[slot].cell(b.limit[s.order])
		return
	}
	b.r[slot] = b.marks[slot].cell(r)
	b.marks[slot] &^= stale
}

// Absent tells that nobody took this reading, which is not the same as not
// knowing what it says: a gauge that was not read cannot contradict the volts,
// one whose reading is unknown can.
func (b *Box) Absent(slot int) bool { return b.marks[slot]&absent != 0 }

// MarkAbsent says that nobody took a reading. Mark before the box is copied.
func (b *Box) MarkAbsent(slot int) {
	b.marks[slot] |= absent
	b.forget(slot)
}

// Empty tells that no completion is left: the facts contradict each other.
func (b *Box) Empty() bool { return b.empty }

// Set states what is possible for a slot. A derived slot that is stated is no
// longer computed from its parents.
func (b *Box) Set(slot int, r Range) {
	b.r[slot] = b.marks[slot].cell(r)
	if s := &b.Layout.Slots[slot]; s.Derive != nil {
		b.limit[s.order] = r
		b.marks[slot] = b.marks[slot]&^stale | pinned
	}
	b.forget(slot)
}

// Narrow keeps only the part of a slot that lies in r.
func (b *Box) Narrow(slot int, r Range) {
	s := &b.Layout.Slots[slot]
	m, ok := s.meet(b.At(slot), r)
	if !ok {
		b.empty = true
		b.changed()
		return
	}
	b.r[slot] = b.marks[slot].cell(m)
	if s.Derive != nil {
		b.limit[s.order] = m
	}
	b.forget(slot)
}

func (b *Box) forget(slot int) {
	for _, d := range b.Layout.dependents[slot] {
		if b.marks[d]&pinned == 0 {
			b.marks[d] |= stale
		}
	}
	b.changed()
}

// kept is what a slot held before a narrowing.
type kept struct {
	slot, order int // order -1: not derived
	r           cell
	limit       Range
	mark        mark
}

// keep notes all that narrowing a slot can change: itself and what rests on it.
func (b *Box) keep(slot int, trail []kept) []kept {
	trail = append(trail, b.kept(slot))
	for _, d := range b.Layout.dependents[slot] {
		trail = append(trail, b.kept(d))
	}
	return trail
}

func (b *Box) kept(slot int) kept {
	k := kept{slot: slot, order: -1, r: b.r[slot], mark: b.marks[slot]}
	if s := &b.Layout.Slots[slot]; s.Derive != nil {
		k.order, k.limit = s.order, b.limit[s.order]
	}
	return k
}

// restore takes narrowings back, the last first.
func (b *Box) restore(trail []kept) {
	for i := len(trail) - 1; i >= 0; i-- {
		k := &trail[i]
		b.r[k.slot], b.marks[k.slot] = k.r, k.mark
		if k.order >= 0 {
			b.limit[k.order] = k.limit
		}
	}
}

// meet intersects; ok is false when nothing is left.
func (s *Slot) meet(a, c Range) (Range, bool) {
	if s.Finite {
		w := a.Words & c.Words
		return Range{Words: w}, w != 0
	}
	m := Range{Low: max(a.Low, c.Low), High: min(a.High, c.High)}
	return m, m.Low <= m.High
}

// Known tells whether only one value is possible.
func (b *Box) Known(slot int) bool {
	r := b.At(slot)
	if b.Layout.Slots[slot].Finite {
		return bits.OnesCount64(r.Words) == 1
	}
	return r.Low == r.High
}

// Contains tells whether every value of in is also possible in b.
func (b *Box) Contains(in *Box) bool {
	for i := range b.Layout.Slots {
		p, q := b.At(i), in.At(i)
		if b.Layout.Slots[i].Finite {
			if q.Words&^p.Words != 0 {
				return false
			}
		} else if q.Low < p.Low || q.High > p.High {
			return false
		}
	}
	return true
}
