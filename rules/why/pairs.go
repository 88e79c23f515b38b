package why

import (
	"cmp"
	"math"
	"slices"

	"loosecell/rules/facts"
)

// alongTwo tries pairs of values neither of which changes the answer alone: of
// facts that one rule reads together, and of facts that two of the rules which
// carry the answer read. Of each pair of facts and each other answer the nearest
// pair of values is kept.
func (x *explainer) alongTwo(inert []step, reasons []Reason, s *Search) ([]Flip, error) {
	mates := x.mates(reasons)
	type try struct {
		a, b step
		far  float64
		kind int
	}
	var all []try
	for i, a := range inert {
		for _, b := range inert[i+1:] {
			if mates[[2]string{a.slot.Name, b.slot.Name}] && worthTrying(a) && worthTrying(b) {
				all = append(all, try{a, b, a.far + b.far, worstKind(Flip{Parts: []Part{a.part, b.part}})})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b try) int { return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.far, b.far)) })
	s.Complete = len(all) <= mostPairs
	var out []Flip
	got := map[[3]string]bool{}
	for _, t := range all[:min(len(all), mostPairs)] {
		s.Pairs++
		is, ok, err := x.with(t.a, t.b)
		if err != nil {
			return nil, err
		}
		key := [3]string{t.a.slot.Name, t.b.slot.Name, is}
		if !ok || is == x.is || got[key] {
			continue
		}
		got[key] = true
		if t.a, t.b, err = x.nearer(t.a, t.b, is); err != nil {
			return nil, err
		}
		out = append(out, Flip{To: is, Parts: []Part{t.a.part, t.b.part}, Far: t.a.far + t.b.far})
	}
	return out, nil
}

// nearer moves the numbers of a pair towards what they are now as long as the
// pair gives the same answer.
func (x *explainer) nearer(a, b step, to string) (step, step, error) {
	for _, st := range []*step{&a, &b} {
		v, _ := x.reckon.Value(x.c, st.slot.Name)
		if !v.Exact() || st.slot.Kind == facts.Words || st.slot.Kind == facts.Members {
			continue
		}
		l := lineOf(st.slot)
		stays, flips := int(math.Round(v.Low/l.unit)), int(math.Round(st.value.Low/l.unit))
		for math.Abs(float64(flips-stays)) > 1 {
			was, mid := *st, stays+(flips-stays)/2
			*st = x.stepAt(l, v, v.Low, mid)
			is, ok, err := x.with(a, b)
			if err != nil {
				return a, b, err
			}
			if ok && is == to {
				flips = mid
			} else {
				*st, stays = was, mid
			}
		}
	}
	return a, b, nil
}

// worthTrying leaves out far values of numbers: a pair of two far readings is no
// small change.
func worthTrying(st step) bool {
	return st.slot.Kind == facts.Words || st.slot.Kind == facts.Members || st.far <= 1
}

// mates are the pairs of facts that stand in one rule behind the answer, or in
// two that carry it.
func (x *explainer) mates(reasons []Reason) map[[2]string]bool {
	out := map[[2]string]bool{}
	join := func(names []string) {
		for _, a := range names {
			for _, b := range names {
				if a != b {
					out[[2]string{a, b}] = true
				}
			}
		}
	}
	for i := range x.book.Rules() {
		r := &x.book.Rules()[i]
		if !x.concerns(r) {
			continue
		}
		// A rule over very many facts speaks of the grade; its grades stand as
		// rules of their own.
		for _, ref := range conditions(r) {
			if names := x.factsOf(x.bases(ref)); len(names) <= 8 {
				join(names)
			}
		}
	}
	var carrying []string
	for _, r := range reasons {
		for _, s := range r.Facts {
			carrying = append(carrying, s.Fact)
		}
	}
	join(carrying)
	return out
}

func (x *explainer) factsOf(slots []int) []string {
	var out []string
	for _, s := range slots {
		if name := x.book.Layout.Slots[s].Fact.Name; !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}
