package why

import (
	"slices"

	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// bases lists the stated facts that a condition rests on, directly or through
// what is worked out from them, as slots in catalogue order.
func (x *explainer) bases(ref expression.Ref) []int {
	var out []int
	seen := map[int]bool{}
	var visit func(slot int)
	visit = func(slot int) {
		if seen[slot] {
			return
		}
		seen[slot] = true
		s := &x.book.Layout.Slots[slot]
		if s.Derive == nil {
			out = append(out, slot)
			return
		}
		for _, p := range s.Fact.Parents {
			for _, from := range x.book.Layout.SlotsOf(p.Name) {
				visit(from)
			}
		}
	}
	for _, slot := range x.book.Arena.Reads(ref) {
		visit(slot)
	}
	slices.Sort(out)
	return out
}

// seen lists the facts that a condition's truth rests on: of a decided one a
// smallest set that decides it, of an open one those that leave it open.
func (x *explainer) seen(ref expression.Ref, box *expression.Box, truth expression.Truth) []Seen {
	out := []Seen{}
	var slots []int
	if truth == expression.Open {
		for _, slot := range x.ask.Undecided(ref) {
			if x.book.Layout.Slots[slot].Derive == nil {
				slots = append(slots, slot)
				continue
			}
			slots = append(slots, x.unknownUnder(slot)...)
		}
	} else {
		slots = x.deciding(ref, box, truth)
	}
	for _, slot := range slots {
		if s := x.saw(slot); !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// deciding drops facts from those a condition rests on as long as it stays
// decided without them. Presumed ones go first, so that what was stated stays.
func (x *explainer) deciding(ref expression.Ref, box *expression.Box, truth expression.Truth) []int {
	free := box.Clone()
	all := x.bases(ref)
	order := slices.Clone(all)
	slices.SortStableFunc(order, func(a, b int) int { return x.weight(a) - x.weight(b) })
	gone := map[int]bool{}
	try := x.book.Ask(free, free)
	for _, slot := range order {
		was := free.At(slot)
		free.Set(slot, x.book.Layout.Slots[slot].Domain)
		if try.Explore(ref) == truth {
			gone[slot] = true
		} else {
			free.Set(slot, was)
		}
	}
	return slices.DeleteFunc(all, func(s int) bool { return gone[s] })
}

// weight orders facts by how much they are worth naming.
func (x *explainer) weight(slot int) int {
	v, _ := x.reckon.Value(x.c, x.book.Layout.Slots[slot].Fact.Name)
	switch {
	case v.State != facts.Stated:
		return 0
	case v.Origin == facts.Presumed:
		return 1
	case v.Origin == facts.FromLook:
		return 2
	}
	return 3
}

// unknownUnder lists the facts below a derived one that are not exactly known.
func (x *explainer) unknownUnder(slot int) []int {
	var out []int
	for _, p := range x.book.Layout.Slots[slot].Fact.Parents {
		for _, from := range x.book.Layout.SlotsOf(p.Name) {
			switch {
			case x.book.Layout.Slots[from].Derive != nil:
				out = append(out, x.unknownUnder(from)...)
			case !x.stand.Full.Known(from) && x.weight(from) == 0:
				out = append(out, from)
			}
		}
	}
	return out
}

// saw writes down a fact of the case as the rules saw it.
func (x *explainer) saw(slot int) Seen {
	f := x.book.Layout.Slots[slot].Fact
	if f.Stage != "" || f.Outside {
		r := x.stand.Full.At(slot)
		v := facts.Value{State: facts.Stated, Low: r.Low, High: r.High, Words: r.Words}
		return Seen{f.Name, f.FormatValue(v), "worked out"}
	}
	v, _ := x.reckon.Value(x.c, f.Name)
	switch {
	case v.State != facts.Stated:
		return Seen{f.Name, "unknown", "not known"}
	case v.Origin == facts.Presumed:
		return Seen{f.Name, f.FormatValue(v), "presumed"}
	case v.Origin == facts.FromLook && f.History:
		return Seen{f.Name, f.FormatValue(v), "asked and denied"}
	case v.Origin == facts.FromLook:
		return Seen{f.Name, f.FormatValue(v), "looked, and not there"}
	case v.Origin == facts.FromShop:
		return Seen{f.Name, f.FormatValue(v), "shop file"}
	}
	return Seen{f.Name, f.FormatValue(v), "stated"}
}
