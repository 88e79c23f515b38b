package quiz

import (
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// nothingAgainst is the reason of an answer that allows: no rule forbids it.
const nothingAgainst = "Nothing on the card stands against it."

// mostReasons is how many sentences of a why are printed.
const mostReasons = 3

// because is why the answer is what it is, and why the smallest change gives
// another: the rules that speak for the one case and not for the other. Where no
// rule does so alone, it is what the advice itself gives as its reason.
func (d *drawer) because(card *Card, flipped *facts.Case) error {
	here, err := advice.Advise(d.book, card.Case, options)
	if err != nil {
		return err
	}
	there, err := advice.Advise(d.book, flipped, options)
	if err != nil {
		return err
	}
	card.Because = d.reasons(here, there, card.Asks)
	card.Flip.Because = d.reasons(there, here, card.Asks)
	return nil
}

// reasons are what an advice says that the other does not, or else its own. Of a
// grade and of the place that follows from it only the rules that carry it count.
func (d *drawer) reasons(a, other *advice.Advice, asks string) []advice.Line {
	var out []advice.Line
	lines := apart(a, other, asks)
	if asks == "condition" || asks == "storage.class" {
		carry := d.carrying(a, asks)
		lines = slices.DeleteFunc(lines, func(l advice.Line) bool {
			return !slices.ContainsFunc(carry, func(c advice.Line) bool { return c.Rule == l.Rule })
		})
		if len(lines) == 0 {
			lines = carry
		}
	}
	if len(lines) == 0 {
		lines = fallback(a, asks)
	}
	for _, l := range lines {
		if l.Text != "" && len(out) < mostReasons && !slices.ContainsFunc(out, func(o advice.Line) bool { return o.Text == l.Text }) {
			out = append(out, l)
		}
	}
	return out
}

// apart lists what one advice says about the answer and the other does not.
func apart(a, b *advice.Advice, asks string) []advice.Line {
	said := spoken(b, asks)
	var out []advice.Line
	for _, l := range spoken(a, asks) {
		if !slices.ContainsFunc(said, func(o advice.Line) bool { return o.Rule == l.Rule && o.Text == l.Text }) {
			out = append(out, l)
		}
	}
	return out
}

// spoken are the sentences of the rules that have a say in an answer.
func spoken(a *advice.Advice, asks string) []advice.Line {
	var out []advice.Line
	for _, t := range a.Trace {
		if !concerns(t, asks) {
			continue
		}
		out = append(out, advice.Line{Text: t.Because, Source: t.Source, Rule: t.Rule})
	}
	for _, s := range a.Shipping {
		if asks != "ship."+s.Mode {
			continue
		}
		for _, why := range s.Why {
			out = append(out, advice.Line{Text: why, Source: strings.Join(s.Basis, ", ")})
		}
		for _, open := range s.AllowedIf {
			out = append(out, advice.Line{Text: "It would be allowed if: " + open, Source: strings.Join(s.Basis, ", ")})
		}
	}
	if strings.HasPrefix(asks, "discharge.") {
		out = append(out, a.Discharge.Notes...)
	}
	return out
}

// carrying are the rules that give a case its grade, or the table that sends it
// where it waits if no rule grades it down.
func (d *drawer) carrying(a *advice.Advice, asks string) []advice.Line {
	rank := -1
	if f, ok := facts.Shipped().Lookup("answer.condition"); ok {
		rank = slices.Index(f.Words, a.Condition)
	}
	grades := map[string]int{}
	for _, r := range d.book.Rules() {
		if r.Grade != nil {
			grades[r.ID] = r.Grade.Condition
		}
	}
	var out []advice.Line
	for _, t := range a.Trace {
		// What may be worse than unproven, and is not known, carries unproven.
		if t.Answer == "condition" && rank > 0 && (grades[t.Rule] == rank || rank == rules.Unproven && grades[t.Rule] > rank) {
			out = append(out, advice.Line{Text: t.Because, Source: t.Source, Rule: t.Rule})
		}
	}
	for _, r := range d.book.Rules() {
		if len(out) == 0 && r.Choose != nil && r.Choose.Answer == asks {
			out = append(out, advice.Line{Text: r.Because, Source: r.Cited(), Rule: r.ID})
		}
	}
	return out
}

// concerns tells that a rule of the trace has a say in an answer: the rules on
// grades in every one of them.
func concerns(t advice.Trace, asks string) bool {
	switch {
	case t.Answer == "condition":
		return true
	case asks == "verdict":
		return t.Answer == "verdict"
	case asks == "removal.pick":
		return strings.HasPrefix(t.Answer, "rung.")
	case asks == "heat.may" || asks == "solvent.may" || asks == "refit.may":
		return t.Answer == strings.TrimSuffix(asks, ".may")
	case strings.HasPrefix(asks, "discharge."):
		return strings.HasPrefix(t.Answer, "discharge")
	case strings.HasPrefix(asks, "ship."):
		return t.Answer == asks
	}
	return false
}

// fallback is the reason the advice gives by itself.
func fallback(a *advice.Advice, asks string) []advice.Line {
	var out []advice.Line
	for _, list := range []struct {
		asks string
		why  []string
	}{{"discharge.", a.Discharge.Why}, {"heat.", a.Heat.Why}, {"solvent.", a.Solvent.Why}, {"refit.", a.Refit.Why}} {
		if strings.HasPrefix(asks, list.asks) {
			for _, why := range list.why {
				out = append(out, advice.Line{Text: why})
			}
		}
	}
	switch {
	case len(out) > 0:
	case asks == "verdict" || asks == "removal.pick":
		out = append(out, advice.Line{Text: a.Because})
	default:
		out = append(out, advice.Line{Text: nothingAgainst})
	}
	return out
}

// plainValue writes a value for a person: words without hyphens, and what nobody
// knows as that.
func plainValue(f *facts.Fact, v facts.Value) string {
	if v.State != facts.Stated {
		return "nobody knows"
	}
	text := f.FormatValue(v)
	if len(f.Words) > 0 {
		text = strings.Trim(strings.NewReplacer("-", " ", " | ", " or ").Replace(text), "[]")
	}
	if text == "" {
		return "none"
	}
	return strings.NewReplacer("degC", "°C", "m3", "m³").Replace(text)
}
