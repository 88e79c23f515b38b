package why

import (
	"regexp"
	"slices"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// reasons finds the rules that carry the answer: those without which it would
// be another and, where several say the same, those that each or together are
// enough.
func (x *explainer) reasons() ([]Reason, error) {
	var out []Reason
	speak := x.speakers()
	needed := map[string]bool{}
	var rest []*rules.Rule
	for _, r := range speak {
		is, err := x.without(map[string]bool{r.ID: true}, false)
		if err != nil {
			return nil, err
		}
		if is != x.is {
			needed[r.ID] = true
			out = append(out, x.reason(r, Needed))
		} else {
			rest = append(rest, r)
		}
	}
	// What takes away and what gives are looked at apart: with both gone at once
	// one would hide the other.
	against, giving := filter(rest, tightens), filter(rest, loosens)
	for _, group := range [][]*rules.Rule{against, giving} {
		more, err := x.together(group, false)
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	more, err := x.ungranted(append(against, filter(speak, func(r *rules.Rule) bool { return needed[r.ID] && tightens(r) })...))
	if err != nil {
		return nil, err
	}
	for _, r := range more {
		if !needed[r.Rule] {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b Reason) int { return importance(a) - importance(b) })
	return append(out, x.behind(out)...), nil
}

// importance orders reasons: what alarms, what comes first, what takes away,
// what gives, and last what would give and does not.
func importance(r Reason) int {
	if r.Part == Offer {
		return 10
	}
	return slices.Index([]string{"alarm", "grade", "hold", "restrict", "choose", "permit", "lift", "fit"}, r.Effect)
}

// withheld are the answers by which something is not given.
var withheld = []string{"no", "open", "prepare", "stop", "undecided", "leave-in-and-refer"}

// ungranted explains an answer that would stand even if nothing took anything
// away, because nothing offers it: what stands against it all the same, and the
// offers that do not hold.
func (x *explainer) ungranted(against []*rules.Rule) ([]Reason, error) {
	if !slices.Contains(withheld, x.is) {
		return nil, nil
	}
	bare, err := x.without(ids(against), false)
	if err != nil || bare != x.is {
		return nil, err
	}
	var out []Reason
	is, err := x.without(nil, true)
	if err != nil {
		return nil, err
	}
	if is == x.is {
		if out, err = x.together(against, true); err != nil {
			return nil, err
		}
	}
	if free, err := x.without(ids(against), true); err != nil || free == x.is {
		return out, err // not a matter of offers
	}
	return append(out, x.offers()...), nil
}

// offers lists the permits of what is asked about that do not hold.
func (x *explainer) offers() []Reason {
	wanted := []rules.Permission{rules.Permission(x.path)}
	switch x.path {
	case "discharge":
		wanted = []rules.Permission{"discharge.in-device", "discharge.resistor"}
	case "verdict", "removal.pick":
		wanted = nil
		for _, rung := range rules.Rungs {
			if x.ask.Fits(rung).Possible() {
				wanted = append(wanted, rules.RungPermission(rung))
			}
		}
	}
	var out []Reason
	for i := range x.book.Rules() {
		r := &x.book.Rules()[i]
		if slices.ContainsFunc(r.Permit, func(p rules.Permission) bool { return slices.Contains(wanted, p) }) &&
			x.ask.Explore(r.Holds) != expression.True {
			out = append(out, x.reason(r, Offer))
		}
	}
	return out
}

// tightens tells that a rule takes something away, loosens that it gives.
func tightens(r *rules.Rule) bool {
	return r.Restrict != nil || r.Grade != nil || r.Alarm != nil || r.Hold != nil
}

func loosens(r *rules.Rule) bool { return r.Permit != nil || r.Fit != nil || r.Lift != nil }

func filter(list []*rules.Rule, keep func(*rules.Rule) bool) []*rules.Rule {
	var out []*rules.Rule
	for _, r := range list {
		if keep(r) {
			out = append(out, r)
		}
	}
	return out
}

// speakers are the rules that can hold in this case and say more than a
// sentence: no other can carry an answer, since a rule that cannot hold does
// nothing.
func (x *explainer) speakers() []*rules.Rule {
	var out []*rules.Rule
	for i := range x.book.Rules() {
		r := &x.book.Rules()[i]
		switch {
		case r.Say != nil:
		case r.Choose != nil, x.ask.Explore(r.Holds).Possible(), x.ask.Stated(r.Holds).Possible():
			out = append(out, r)
		}
	}
	return out
}

// together finds, among rules of which none is needed alone, those that the
// answer rests on once the others are gone.
func (x *explainer) together(group []*rules.Rule, grant bool) ([]Reason, error) {
	all := ids(group)
	is, err := x.without(all, grant)
	if err != nil || is == x.is {
		return nil, err
	}
	var out []Reason
	for _, r := range group {
		given := ids(group)
		delete(given, r.ID)
		is, err := x.without(given, grant)
		if err != nil {
			return nil, err
		}
		if is == x.is {
			reason := x.reason(r, Enough)
			reason.Given, reason.Granted = sorted(given), grant
			out = append(out, reason)
		}
	}
	if len(out) > 0 {
		return out, nil
	}
	return x.joint(group, grant)
}

// joint takes rules away one by one, the least likely first, as long as the
// answer stands; what is left carries it together.
func (x *explainer) joint(group []*rules.Rule, grant bool) ([]Reason, error) {
	gone := map[string]bool{}
	kept := slices.Clone(group)
	slices.Reverse(kept)
	slices.SortStableFunc(kept, func(a, b *rules.Rule) int { return x.nearness(b) - x.nearness(a) })
	for _, r := range slices.Clone(kept) {
		gone[r.ID] = true
		is, err := x.without(gone, grant)
		if err != nil {
			return nil, err
		}
		if is != x.is {
			delete(gone, r.ID)
		}
	}
	var out []Reason
	for _, r := range group {
		if !gone[r.ID] {
			reason := x.reason(r, Joint)
			reason.Given, reason.Granted = sorted(gone), grant
			out = append(out, reason)
		}
	}
	return out, nil
}

// nearness orders rules by how far they are from what was picked: 0 speaks of
// the picked way of freeing the cell.
func (x *explainer) nearness(r *rules.Rule) int {
	pick := x.stand.Pick
	if slices.Contains(r.Fit, pick) || slices.Contains(r.Permit, rules.RungPermission(pick)) {
		return 0
	}
	return 1
}

var readsGrade = regexp.MustCompile(`\b(condition|transport_state)\s*(?:>=|>|==)\s*'([a-z-]+)'`)

// behind finds the grades that make a reason's condition true, where that
// condition speaks of the grade or reads the answer that the grades add up to.
func (x *explainer) behind(reasons []Reason) []Reason {
	var out []Reason
	have := map[string]bool{}
	for _, r := range reasons {
		have[r.Rule] = true
	}
	for _, r := range reasons {
		rule, ok := x.book.Rule(r.Rule)
		if !ok {
			continue
		}
		var grades []*rules.Rule
		for _, compared := range x.gradesIn(rule.When.Text, map[string]bool{}) {
			for _, g := range x.gradesOf("answer."+compared[0], compared[1]) {
				if x.implies(g, rule) {
					grades = append(grades, g)
				}
			}
		}
		for _, s := range r.Facts {
			if s.Fact == "answer.condition" || s.Fact == "answer.transport_state" {
				grades = append(grades, x.gradesOf(s.Fact, s.Value)...)
			}
		}
		for _, g := range grades {
			if have[g.ID] {
				continue
			}
			have[g.ID] = true
			reason := x.reason(g, Behind)
			reason.For = r.Rule
			out = append(out, reason)
		}
	}
	return out
}

// gradesOf lists the rules that give a grade, or leave it possible.
func (x *explainer) gradesOf(answer, word string) []*rules.Rule {
	f, _ := x.cat.Lookup(answer)
	rank, _ := f.Word(word)
	var out []*rules.Rule
	for _, g := range x.ask.Grade().By {
		of := g.Rule.Grade.Condition
		if answer == "answer.transport_state" {
			of = g.Rule.Grade.Transport
		}
		if rank > 0 && of >= rank {
			out = append(out, g.Rule)
		}
	}
	return out
}

// implies tells that the rule holds whatever else is so, when only the facts of
// the grade are known.
func (x *explainer) implies(grade, rule *rules.Rule) bool {
	box := expression.NewBox(x.book.Layout)
	full := x.stand.Full
	for _, slot := range x.bases(grade.Holds) {
		box.Set(slot, full.At(slot))
	}
	return x.book.Ask(box, box).Explore(rule.Holds) == expression.True
}

// gradesIn lists the comparisons of a grade, as its name and word, in a
// condition and the named ones it rests on.
func (x *explainer) gradesIn(text string, seen map[string]bool) [][2]string {
	var out [][2]string
	for _, m := range readsGrade.FindAllStringSubmatch(text, -1) {
		out = append(out, [2]string{m[1], m[2]})
	}
	for _, word := range names.FindAllString(text, -1) {
		if cond, ok := x.book.Named[word]; ok && !seen[word] {
			seen[word] = true
			out = append(out, x.gradesIn(cond.Text, seen)...)
		}
	}
	return out
}

var names = regexp.MustCompile(`[a-z_][a-z0-9_]*`)

func ids(list []*rules.Rule) map[string]bool {
	out := map[string]bool{}
	for _, r := range list {
		out[r.ID] = true
	}
	return out
}

func sorted(set map[string]bool) []string {
	var out []string
	for id := range set {
		out = append(out, id)
	}
	slices.Sort(out)
	return out
}
