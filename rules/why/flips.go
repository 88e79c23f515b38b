package why

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// The kinds of a change of a case.
const (
	Changeable = "changeable" // a person can bring it about: air the room, run the charge down
	Measurable = "measurable" // it is not known yet and may turn out so
	Fixed      = "fixed"      // it is as it is
)

// A Flip is a smallest change of the case that gives another answer: without
// any part of it, or with a number less far away, the answer stands.
type Flip struct {
	To    string  `json:"to"`
	Parts []Part  `json:"parts"`
	Far   float64 `json:"distance"` // how far it is, without a unit: words or share of the reading
}

// A Part is one fact of a flip.
type Part struct {
	Fact    string  `json:"fact"`
	From    string  `json:"from"` // "unknown" if it is
	To      string  `json:"to"`
	Kind    string  `json:"kind"`
	How     string  `json:"how,omitempty"` // how it is brought about or found out
	Minutes float64 `json:"minutes,omitempty"`
}

// Search tells what was looked through for flips.
type Search struct {
	Facts    int  `json:"facts"`    // facts that some rule behind the answer reads
	Values   int  `json:"values"`   // values of one fact that were tried
	Pairs    int  `json:"pairs"`    // pairs of values that were tried
	Complete bool `json:"complete"` // every pair of the set was tried
}

// mostPairs bounds the search over two facts.
const mostPairs = 600

// step is one value of one fact that was tried.
type step struct {
	part  Part
	value facts.Value
	far   float64
	slot  *facts.Fact
	grid  bool // no rule has a bound here
}

// flips looks for the smallest changes over one and two facts.
func (x *explainer) flips(reasons []Reason) ([]Flip, Search, error) {
	var s Search
	out := []Flip{}
	flipping := map[string]bool{} // facts of which one value alone flips it
	var inert []step
	for _, f := range x.searched() {
		s.Facts++
		found, dead, n, err := x.alongOne(f)
		if err != nil {
			return nil, s, err
		}
		s.Values += n
		out = append(out, found...)
		flipping[f.Name] = len(found) > 0
		inert = append(inert, dead...)
	}
	pairs, err := x.alongTwo(inert, reasons, &s)
	if err != nil {
		return nil, s, err
	}
	out = append(out, pairs...)
	slices.SortStableFunc(out, func(a, b Flip) int {
		return cmp.Or(cmp.Compare(len(a.Parts), len(b.Parts)), cmp.Compare(worstKind(a), worstKind(b)),
			cmp.Compare(a.Far, b.Far), cmp.Compare(a.Parts[0].Fact, b.Parts[0].Fact), cmp.Compare(a.To, b.To))
	})
	return out, s, nil
}

func worstKind(f Flip) int {
	worst := 0
	for _, p := range f.Parts {
		worst = max(worst, slices.Index([]string{Changeable, Measurable, Fixed}, p.Kind))
	}
	return worst
}

// alongOne tries the values of one fact, the nearest first, and keeps for each
// other answer the nearest that gives it. dead are the values that change
// nothing.
func (x *explainer) alongOne(f *facts.Fact) (found []Flip, dead []step, tried int, err error) {
	if f.Kind != facts.Words && f.Kind != facts.Members {
		return x.alongLine(f)
	}
	got := map[string]bool{}
	for _, st := range x.wordSteps(f) {
		is, ok, err := x.with(st)
		if err != nil {
			return nil, nil, tried, err
		}
		tried++
		switch {
		case !ok:
		case is == x.is:
			dead = append(dead, st)
		case !got[is]:
			got[is] = true
			found = append(found, Flip{To: is, Parts: []Part{st.part}, Far: st.far})
		}
	}
	return found, dead, tried, nil
}

// with is the answer of the case with some facts changed; ok is false when no
// case can say all of that at once.
func (x *explainer) with(steps ...step) (is string, ok bool, err error) {
	c := x.c.Clone()
	for _, st := range steps {
		if st.slot.Name == "battery.looked" {
			advice.LookAgain(c, st.part.To)
			continue
		}
		c.Set(st.slot.Name, st.value)
	}
	if len(facts.Contradictions(c)) > len(facts.Contradictions(x.c)) {
		return "", false, nil
	}
	is, err = x.reckon.Answer(c, x.path)
	return is, is != "", err
}

// wordSteps are the words a fact could be instead, the nearest first.
func (x *explainer) wordSteps(f *facts.Fact) []step {
	v, _ := x.reckon.Value(x.c, f.Name)
	var out []step
	add := func(words uint64, far float64) {
		value := facts.Value{State: facts.Stated, Words: words}
		if v.State == facts.Stated && v.Words == words {
			return
		}
		out = append(out, step{part: x.part(f, v, value), value: value, far: far, slot: f})
	}
	if forgets(f) {
		for i := range f.Words {
			if v.State != facts.Stated || v.Words>>(i+1) != 0 {
				add(1<<i, 1)
			}
		}
		return out
	}
	if f.Kind == facts.Members {
		had := uint64(0)
		if v.State == facts.Stated {
			had = v.Words
		}
		for i := range f.Words {
			add(had^1<<i, 1)
		}
		return out
	}
	for i := range f.Words {
		far := 1.0
		if f.Ordered && v.State == facts.Stated {
			far = rankDistance(v.Words, i)
		}
		add(1<<i, far)
	}
	slices.SortStableFunc(out, func(a, b step) int { return cmp.Compare(a.far, b.far) })
	return out
}

// forgets tells that a worse word of the fact would only mean that less is
// known than was found out already, which is no change of the job.
func forgets(f *facts.Fact) bool {
	return f.Name == "battery.looked" || f.Name == "battery.history_asked"
}

// rankDistance is how many words a word lies from a set of them.
func rankDistance(set uint64, i int) float64 {
	best := 64.0
	for j := range 64 {
		if set>>j&1 == 1 {
			best = min(best, math.Abs(float64(i-j)))
		}
	}
	return best
}

// part says what a change of a fact is and how it comes about.
func (x *explainer) part(f *facts.Fact, from, to facts.Value) Part {
	p := Part{Fact: f.Name, From: "unknown", To: f.FormatValue(to), Kind: Fixed}
	if from.State == facts.Stated {
		p.From = f.FormatValue(from)
	}
	switch {
	case f.Change != nil && x.canBring(f) && toward(f, from, to):
		p.Kind, p.How, p.Minutes = Changeable, f.Change.Text, f.Change.Minutes
	case mayTurnOut(from, to, f):
		p.Kind, p.How, p.Minutes = Measurable, f.Find, f.Minutes
	}
	return p
}

// canBring tells that what a person could do about a fact may be done in this
// case: a cell that must not be discharged is not run down to open a way.
func (x *explainer) canBring(f *facts.Fact) bool {
	return f.Name != "battery.gauge_charge" || x.stand.Discharge != "no"
}

// toward tells that what a person can do about a fact leads to a value.
func toward(f *facts.Fact, from, to facts.Value) bool {
	if f.Change.To != "" {
		i, ok := f.Word(f.Change.To)
		better := from.State != facts.Stated || !f.Ordered || from.Words>>(i+1) != 0
		return ok && better && to.Words == 1<<i
	}
	if from.State != facts.Stated {
		return false
	}
	switch f.Worse {
	case facts.HigherWorse:
		return to.High < from.High
	case facts.LowerWorse:
		return to.Low > from.Low
	}
	return true
}

// mayTurnOut tells that a value is still possible as far as anyone has stated.
func mayTurnOut(from, to facts.Value, f *facts.Fact) bool {
	if from.State != facts.Stated || from.Origin == facts.Presumed || from.Origin == facts.FromLook {
		return true
	}
	if f.Kind == facts.Words {
		return from.Words&to.Words == to.Words
	}
	return f.Kind != facts.Members && from.Low <= to.Low && to.High <= from.High
}

// searched are the facts that a rule behind this answer reads.
func (x *explainer) searched() []*facts.Fact {
	slots := map[int]bool{}
	for i := range x.book.Rules() {
		r := &x.book.Rules()[i]
		if !x.concerns(r) {
			continue
		}
		for _, ref := range conditions(r) {
			for _, slot := range x.bases(ref) {
				slots[slot] = true
			}
		}
	}
	var out []*facts.Fact
	seen := map[string]bool{}
	for slot := range x.book.Layout.Slots {
		f := x.book.Layout.Slots[slot].Fact
		if slots[slot] && f.Statable() && !seen[f.Name] {
			seen[f.Name] = true
			out = append(out, f)
		}
	}
	return out
}

func conditions(r *rules.Rule) []expression.Ref {
	if r.Choose == nil {
		return []expression.Ref{r.Holds}
	}
	var out []expression.Ref
	for i := range r.Choose.Rows {
		out = append(out, r.Choose.Rows[i].Holds)
	}
	return out
}

// concerns tells that a rule can have a say in this answer.
func (x *explainer) concerns(r *rules.Rule) bool {
	if r.Say != nil {
		return false
	}
	p := rules.Permission(x.path)
	switch {
	case x.path == "condition" || x.path == "transport_state":
		return r.Grade != nil
	case p.Known() && p != "discharge" && !isShip(p):
		return slices.Contains(r.Permit, p) || r.Lift != nil || r.Restrict != nil && slices.Contains(r.Restrict.Forbid, p)
	case isShip(p):
		return r.Grade != nil || r.Choose != nil && strings.HasPrefix(r.Choose.Answer, x.path)
	case x.path == "storage.class":
		return r.Choose == nil || r.Choose.Answer == "storage.class"
	}
	return r.Choose == nil || r.Choose.Answer == "discharge.target"
}

func isShip(p rules.Permission) bool { return strings.HasPrefix(string(p), "ship.") }

// KindOf is the kind of a whole flip: that of its hardest part.
func KindOf(f Flip) string { return []string{Changeable, Measurable, Fixed}[worstKind(f)] }
