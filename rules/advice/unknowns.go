package advice

import (
	"cmp"
	"slices"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// mostUnknowns keeps the list of a sheet to what is worth finding out.
const mostUnknowns = 12

// unknowns lists the missing facts that could still change an answer, those
// that could change most first, and what each could change and to what.
func (a *adviser) unknowns(c *facts.Case, o *outcome) []Unknown {
	a.ask.About(o.full, o.alarm)
	weight := map[*facts.Fact]int{}
	var order []*facts.Fact
	for _, ref := range a.openQuestions(o) {
		for _, slot := range a.ask.Undecided(ref) {
			f := a.askable(o, slot)
			if f == nil || !f.Statable() || c.Get(f.Name).State == facts.Stated && f.Name != "battery.looked" {
				continue
			}
			if weight[f] == 0 {
				order = append(order, f)
			}
			weight[f]++
		}
	}
	slices.SortStableFunc(order, func(x, y *facts.Fact) int { return cmp.Compare(weight[y], weight[x]) })
	out := []Unknown{}
	for _, f := range order {
		if len(out) == mostUnknowns {
			break
		}
		if changes := a.changes(c, o, f); len(changes) > 0 {
			out = append(out, Unknown{Fact: f.Name, Ask: f.Ask, How: f.Find, StandIn: f.StandIn, Minutes: f.Minutes, Changes: changes})
		}
	}
	a.ask.About(o.full, o.alarm)
	return out
}

// openQuestions are the conditions of this case that are still open.
func (a *adviser) openQuestions(o *outcome) []expression.Ref {
	var out []expression.Ref
	for _, p := range rules.Permissions {
		if o.may[p] == expression.Open {
			out = append(out, a.book.May(p))
		}
	}
	for _, r := range rules.Rungs {
		if o.fits[r] == expression.Open {
			out = append(out, a.book.Fits(r))
		}
	}
	for _, f := range o.graded.By {
		out = append(out, f.Rule.Holds)
	}
	for _, h := range o.holds {
		out = append(out, h.Rule.Holds)
	}
	return out
}

// changes says which answers another value of one fact would give.
func (a *adviser) changes(c *facts.Case, o *outcome, f *facts.Fact) []Change {
	var out []Change
	add := func(ch Change) {
		same := func(have Change) bool { return have.Answer == ch.Answer && have.To == ch.To }
		if !slices.ContainsFunc(out, same) && len(out) < 6 {
			out = append(out, ch)
		}
	}
	for _, answer := range a.sampleAnswers(c, o, f) {
		work := c.Clone()
		if work.SetText(a.cat, f.Name, answer) != nil {
			continue
		}
		other, err := a.outcome(work)
		if err != nil {
			continue
		}
		for _, d := range difference(o, other) {
			add(Change{Answer: d[0], If: answer, To: d[1]})
		}
	}
	return out
}

// difference lists the answers in which two outcomes differ.
func difference(was, is *outcome) [][2]string {
	var out [][2]string
	for _, d := range [][3]string{
		{"verdict", was.verdict, is.verdict}, {"removal.pick", was.pick, is.pick},
		{"condition", conditionWord(was), conditionWord(is)},
		{"discharge.action", was.action, is.action},
		{"heat.may", mayWord(was.may["heat"]), mayWord(is.may["heat"])},
		{"solvent.may", mayWord(was.may["solvent"]), mayWord(is.may["solvent"])},
		{"discharge.may", mayWord(was.dischargeMay()), mayWord(is.dischargeMay())},
	} {
		if d[1] != d[2] {
			out = append(out, [2]string{d[0], d[2]})
		}
	}
	return out
}

func conditionWord(o *outcome) string {
	return o.full.Layout.Slots[o.full.Layout.MustSlot("answer.condition")].Fact.Words[o.graded.Condition]
}

// sampleAnswers are values of a fact that lie in different regions: each word,
// or a benign and a grave number.
func (a *adviser) sampleAnswers(c *facts.Case, o *outcome, f *facts.Fact) []string {
	switch f.Kind {
	case facts.Words:
		return f.Words[:min(len(f.Words), 6)]
	case facts.Number, facts.Count:
		benign := a.benignAnswer(c, o, f.Name)
		if f.Unseen == nil {
			return []string{benign}
		}
		grave := f.FormatValue(facts.Value{State: facts.Stated, Low: graveNumber(f), High: graveNumber(f)})
		return []string{benign, grave}
	}
	return nil
}

// graveNumber is a clearly worse value than the unremarkable one, within reason.
func graveNumber(f *facts.Fact) float64 {
	switch {
	case f.Unit == "%":
		return f.Max
	case f.Worse == facts.LowerWorse:
		return max(f.Min, f.Unseen.Number/4)
	}
	return min(f.Max, max(1, f.Unseen.Number)*2)
}
