package advice

import (
	"cmp"
	"math"
	"slices"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// mostUnknowns keeps the list of a sheet to what is worth finding out, and
// mostWeighed what is looked at for it.
const (
	mostUnknowns = 12
	mostWeighed  = 16
)

// unknowns lists the missing facts that could still change an answer, what each
// could change and to what, the one most worth finding out first: danger before
// permission, the verdict before its parts, and what takes long only where it
// is worth as much more.
func (a *adviser) unknowns(c *facts.Case, o *outcome) []Unknown {
	a.ask.About(o.full, o.alarm)
	questions := a.openQuestions(o)
	weight := map[*facts.Fact]int{}
	var order []*facts.Fact
	for _, ref := range questions {
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
	for _, f := range order[:min(len(order), mostWeighed)] {
		if changes := a.changes(c, o, f, questions); len(changes) > 0 {
			out = append(out, Unknown{Fact: f.Name, Ask: f.Ask, How: f.Find, StandIn: f.StandIn, Minutes: f.Minutes, Changes: changes})
		}
	}
	slices.SortStableFunc(out, func(x, y Unknown) int {
		return cmp.Compare(worthIt(y), worthIt(x))
	})
	a.ask.About(o.full, o.alarm)
	return out[:min(len(out), mostUnknowns)]
}

// worths is how much it is worth to know that an answer could change; a verdict
// that could turn to danger is worth more than all the rest together.
var worths = map[string]int{"verdict": 16, "removal.pick": 8, "condition": 6, "discharge.action": 3,
	"heat.may": 2, "solvent.may": 2, "discharge.may": 2}

// worthIt weighs what a fact could change against the minutes it takes. One look
// settles many signs at once and is worth more than any of them.
func worthIt(u Unknown) float64 {
	is := float64(worth(u.Changes))
	if u.Fact == "battery.looked" {
		is += 40
	}
	return is / (1 + u.Minutes/10)
}

var dangers = map[string]int{"stop": 40, "evacuate": 80}

// worth adds up what the changes of a fact could change, each answer once and
// the verdict by the worst it could become.
func worth(changes []Change) int {
	best := map[string]int{}
	for _, ch := range changes {
		is := worths[ch.Answer]
		if ch.Answer == "verdict" {
			is += dangers[ch.To]
		}
		best[ch.Answer] = max(best[ch.Answer], is)
	}
	sum := 0
	for _, is := range best {
		sum += is
	}
	return sum
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

// mostChanges is how many changes are told of one fact.
const mostChanges = 6

// changes says which answers another value of one fact would give, those that
// weigh most first.
func (a *adviser) changes(c *facts.Case, o *outcome, f *facts.Fact, questions []expression.Ref) []Change {
	var out []Change
	weigh := func(work *facts.Case, answer string) {
		other, err := a.outcome(work)
		if err != nil {
			return
		}
		for _, d := range difference(o, other) {
			same := func(have Change) bool { return have.Answer == d[0] && have.To == d[1] }
			if !slices.ContainsFunc(out, same) {
				out = append(out, Change{Answer: d[0], If: answer, To: d[1]})
			}
		}
	}
	for _, answer := range a.sampleAnswers(c, o, f, questions) {
		work := c.Clone()
		if a.answered(work, f.Name, answer) == nil {
			weigh(work, answer)
		}
	}
	for _, sign := range a.couldShow(o, f) {
		work := c.Clone()
		worst := sign.Words[len(sign.Words)-1]
		if work.SetText(a.cat, sign.Name, worst) == nil {
			weigh(work, sign.Key()+" "+worst)
		}
	}
	slices.SortStableFunc(out, func(x, y Change) int { return cmp.Compare(worth([]Change{y}), worth([]Change{x})) })
	return out[:min(len(out), mostChanges)]
}

// couldShow lists the signs that a look, and the memories that a question, may
// bring to light: one a worst reading, which is what makes them worth it.
func (a *adviser) couldShow(o *outcome, f *facts.Fact) []*facts.Fact {
	var names []string
	switch f.Name {
	case "battery.looked":
		names = []string{"battery.venting", "battery.odour", "battery.swelling"}
	case "battery.history_asked":
		names = []string{"battery.recalled", "battery.wetted"}
	}
	var out []*facts.Fact
	for _, name := range names {
		if sign, ok := a.cat.Lookup(name); ok && o.values[name].State != facts.Stated {
			out = append(out, sign)
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
// an unremarkable number and those just beyond the nearest bounds of the open
// questions.
func (a *adviser) sampleAnswers(c *facts.Case, o *outcome, f *facts.Fact, questions []expression.Ref) []string {
	switch f.Kind {
	case facts.Words:
		return f.Words[:min(len(f.Words), 6)]
	case facts.Members:
		out := []string{"[]"}
		for _, w := range f.Words[:min(len(f.Words), 4)] {
			out = append(out, "["+w+"]")
		}
		return out
	case facts.Number, facts.Count:
		out := []string{a.benignAnswer(c, o, f.Name)}
		add := func(x float64) {
			x = min(max(x, f.Min), f.Max)
			out = append(out, f.FormatValue(facts.Value{State: facts.Stated, Low: x, High: x}))
		}
		if f.Name == "battery.rest_voltage" {
			// What it means hangs on the cell: one over any limit, one under any cut-off.
			series := o.full.At(o.full.Layout.MustSlot("battery.series_cells")).Low
			add(overAnyLimitV * series)
			add(underAnyCutOffV * series)
			return out
		}
		for _, x := range a.beyondBounds(o, f, questions) {
			add(x)
		}
		if len(out) == 1 && f.Unseen != nil {
			add(graveNumber(f))
		}
		return out
	}
	return nil
}

// Volts per cell over every charge limit of the chemistry table, and under every
// cut-off and the 1.5 V below which no cell recovers.
const (
	overAnyLimitV   = 4.6
	underAnyCutOffV = 1.2
)

// mostBounds is how many bounds of a number are tried.
const mostBounds = 3

// beyondBounds are the numbers just beyond the bounds that the open questions
// set a fact, those nearest to the unremarkable first.
func (a *adviser) beyondBounds(o *outcome, f *facts.Fact, questions []expression.Ref) []float64 {
	slot, ok := o.full.Layout.Slot(f.Name)
	if !ok || f.Unseen == nil {
		return nil
	}
	var out []float64
	for _, ref := range questions {
		for _, atom := range a.book.Arena.Atoms(ref) {
			if atom.Slot != slot {
				continue
			}
			x := math.Round(atom.Cut*1000) / 1000
			if x >= f.Unseen.Number {
				x += legibleStep(x)
			} else {
				x -= legibleStep(x)
			}
			x = math.Round(x*1000) / 1000
			if !slices.Contains(out, x) {
				out = append(out, x)
			}
		}
	}
	slices.SortFunc(out, func(x, y float64) int {
		return cmp.Or(cmp.Compare(math.Abs(x-f.Unseen.Number), math.Abs(y-f.Unseen.Number)), cmp.Compare(x, y))
	})
	return out[:min(len(out), mostBounds)]
}

// legibleStep is the last figure in which a person would write a number.
func legibleStep(x float64) float64 {
	switch size := math.Abs(x); {
	case size >= 10:
		return math.Pow(10, math.Floor(math.Log10(size))-1)
	case size >= 0.01:
		return math.Pow(10, math.Floor(math.Log10(size)))
	}
	return 0.01
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
