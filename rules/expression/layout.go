package expression

import (
	"fmt"
	"math"

	"loosecell/rules/facts"
)

// Slot is one coordinate of a box: a fact, or one member of a fact that holds
// several things at once.
type Slot struct {
	Name   string
	Fact   *facts.Fact
	Member int  // index of the member word, -1 for a whole fact
	Finite bool // words or a member: Range.Words counts, else Range.Low..High
	Whole  bool // a count: the values are whole numbers
	Domain Range
	Derive Derive // nil for a stated fact

	order int // of a derived slot among the derived ones
}

// Derive computes what is possible for a derived fact from the box of its
// parents. It must only widen when the box widens.
type Derive func(b *Box) Range

// Layout gives every fact of a catalogue its slot.
type Layout struct {
	Slots   []Slot
	byName  map[string]int
	members map[string]int // fact name -> first member slot
	first   []int          // index of a fact -> its first slot, -1 if it has none
	// dependents[slot] lists the derived slots to forget when slot narrows.
	dependents [][]int
	// parents[slot] lists the slots a derived slot is computed from.
	parents [][]int
	// everything is the box in which everything is possible.
	everything Box
}

// NewLayout lays out the catalogue; derive holds the function of each derived
// fact by name, and every derived fact of the catalogue must have one.
func NewLayout(cat *facts.Catalogue, derive map[string]func(*Layout) Derive) (*Layout, error) {
	l := &Layout{byName: map[string]int{}, members: map[string]int{}}
	for i := range cat.Facts {
		l.add(&cat.Facts[i])
	}
	l.dependents = make([][]int, len(l.Slots))
	l.parents = make([][]int, len(l.Slots))
	for i := range l.Slots {
		s := &l.Slots[i]
		if !s.Fact.Derived {
			continue
		}
		bind, ok := derive[s.Name]
		if !ok {
			return nil, fmt.Errorf("expression: derived fact %s has no function", s.Name)
		}
		s.Derive = bind(l)
		for _, p := range s.Fact.Parents {
			for _, from := range l.SlotsOf(p.Name) {
				l.parents[i] = append(l.parents[i], from)
				l.dependents[from] = append(l.dependents[from], i)
			}
		}
	}
	l.open()
	return l, l.closeDependents()
}

// open prepares the box from which all others are copied.
func (l *Layout) open() {
	all := &l.everything
	all.Layout = l
	for i := range l.Slots {
		s := &l.Slots[i]
		var m mark
		if s.Derive != nil {
			m, s.order = stale, len(all.limit)
			all.limit = append(all.limit, s.Domain)
		}
		if s.Finite {
			m |= finite
		}
		all.r, all.marks = append(all.r, m.cell(s.Domain)), append(all.marks, m)
	}
}

func (l *Layout) add(f *facts.Fact) {
	l.first = append(l.first, len(l.Slots))
	switch f.Kind {
	case facts.Text, facts.Layers:
		l.first[len(l.first)-1] = -1
	case facts.Members:
		l.members[f.Name] = len(l.Slots)
		for m, word := range f.Words {
			l.byName[f.Name+"/"+word] = len(l.Slots)
			l.Slots = append(l.Slots, Slot{Name: f.Name + "/" + word, Fact: f, Member: m, Finite: true, Domain: Range{Words: 0b11}})
		}
	case facts.Words:
		l.byName[f.Name] = len(l.Slots)
		l.Slots = append(l.Slots, Slot{Name: f.Name, Fact: f, Member: -1, Finite: true, Domain: Range{Words: 1<<len(f.Words) - 1}})
	default:
		l.byName[f.Name] = len(l.Slots)
		l.Slots = append(l.Slots, Slot{Name: f.Name, Fact: f, Member: -1, Whole: f.Kind != facts.Number, Domain: Range{Low: f.Min, High: f.Max}})
	}
}

// SlotsOf lists the slots of a fact: one, or one a member.
func (l *Layout) SlotsOf(name string) []int {
	if first, ok := l.members[name]; ok {
		n := len(l.Slots[first].Fact.Words)
		out := make([]int, n)
		for i := range out {
			out[i] = first + i
		}
		return out
	}
	if s, ok := l.byName[name]; ok {
		return []int{s}
	}
	return nil
}

// closeDependents makes the lists transitive, so that narrowing one fact
// forgets everything that rests on it.
func (l *Layout) closeDependents() error {
	const working, done = 1, 2
	state := make([]int, len(l.Slots))
	var visit func(int) error
	visit = func(s int) error {
		switch state[s] {
		case working:
			return fmt.Errorf("expression: derived fact %s rests on itself", l.Slots[s].Name)
		case done:
			return nil
		}
		state[s] = working
		seen := map[int]bool{}
		var all []int
		for _, d := range l.dependents[s] {
			if err := visit(d); err != nil {
				return err
			}
			for _, e := range append([]int{d}, l.dependents[d]...) {
				if !seen[e] {
					seen[e] = true
					all = append(all, e)
				}
			}
		}
		l.dependents[s] = all
		state[s] = done
		return nil
	}
	for s := range l.Slots {
		if err := visit(s); err != nil {
			return err
		}
	}
	return nil
}

// Slot finds the slot of a fact by its catalogue name.
func (l *Layout) Slot(name string) (int, bool) {
	s, ok := l.byName[name]
	return s, ok
}

// FirstSlot finds the slot of the fact at an index of the catalogue, the first
// of them where it holds several things at once.
func (l *Layout) FirstSlot(fact int) (slot int, ok bool) { return l.first[fact], l.first[fact] >= 0 }

// MustSlot is Slot for names that the program itself spells.
func (l *Layout) MustSlot(name string) int {
	s, ok := l.byName[name]
	if !ok {
		panic("expression: the catalogue has no fact " + name)
	}
	return s
}

// MemberSlots gives the first slot of a fact that holds several things at
// once; the members follow in catalogue order.
func (l *Layout) MemberSlots(name string) (first, count int, ok bool) {
	first, ok = l.members[name]
	if !ok {
		return 0, 0, false
	}
	return first, len(l.Slots[first].Fact.Words), true
}

// below is the largest value under x that the slot can take.
func (s *Slot) below(x float64) float64 {
	if s.Whole {
		return math.Ceil(x) - 1
	}
	return math.Nextafter(x, math.Inf(-1))
}

// above is the smallest value over x that the slot can take.
func (s *Slot) above(x float64) float64 {
	if s.Whole {
		return math.Floor(x) + 1
	}
	return math.Nextafter(x, math.Inf(1))
}
