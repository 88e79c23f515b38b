package advice

import (
	"cmp"
	"slices"

	"loosecell/rules"
	"loosecell/rules/facts"
)

// A ReadyList is what has to be done, fetched or measured before work may start,
// in the order in which it is done.
type ReadyList struct {
	Verdict string        `json:"verdict"` // what the case says now
	Reaches bool          `json:"reaches"` // with all of it, answered benignly, the verdict is proceed
	List    []Preparation `json:"list"`
	Minutes float64       `json:"minutes"` // in all
	Rung    string        `json:"rung,omitempty"`
}

// Ready lists what leads a case to proceed and nothing that could be left out of
// it: with any one item less the verdict stays what it is. Where no list of
// things to do or find out leads there, Reaches is false and the list holds what
// can be done all the same.
func Ready(b *rules.Book, c *facts.Case, opts Options) (*ReadyList, error) {
	a := &adviser{book: b, cat: c.Catalogue(), opts: opts}
	o, err := a.outcome(c)
	if err != nil {
		return nil, err
	}
	out := &ReadyList{Verdict: o.verdict, List: []Preparation{}, Reaches: o.verdict == "proceed", Rung: o.pick}
	if o.verdict != "prepare" {
		return out, nil
	}
	list, last := a.preparations(c, o, 6*mostPreparations)
	out.List, out.Rung, out.Reaches = list, last.pick, last.verdict == "proceed"
	for _, p := range out.List {
		out.Minutes += p.Minutes
	}
	return out, nil
}

// preparations is the whole list of what comes first, most at most, and the
// outcome that its benign answers lead to.
func (a *adviser) preparations(c *facts.Case, o *outcome, most int) ([]Preparation, *outcome) {
	work, now := c.Clone(), o
	seen := map[string]bool{}
	list := []Preparation{}
	for now.verdict == "prepare" && len(list) < most {
		item, ok := a.nextPreparation(work, now, seen)
		if !ok {
			break
		}
		seen[item.Fact] = true
		list = append(list, item)
		next, err := a.outcome(work)
		if err != nil {
			break
		}
		now = next
	}
	if now.verdict == "proceed" {
		list, now = a.shortest(c, list, now)
	}
	return list, now
}

// shortest leaves out, the longest first, what the others do not need. The look
// at the cell stays: what it finds decides everything else.
func (a *adviser) shortest(c *facts.Case, list []Preparation, last *outcome) ([]Preparation, *outcome) {
	order := slices.Clone(list)
	slices.SortStableFunc(order, func(x, y Preparation) int { return cmp.Compare(y.Minutes, x.Minutes) })
	for _, drop := range order {
		rest := slices.DeleteFunc(slices.Clone(list), func(p Preparation) bool { return p.Fact == drop.Fact })
		work := c.Clone()
		for _, p := range rest {
			if a.answered(work, p.Fact, p.Answer) != nil {
				return list, last
			}
		}
		if o, err := a.outcome(work); err == nil && o.verdict == "proceed" && o.pick == last.pick {
			list, last = rest, o
		}
	}
	return list, last
}
