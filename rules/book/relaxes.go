package book

import (
	"slices"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// relaxation reads what a shop declares about a rule that loosens a shipped one.
func (r *reader) relaxation(file string, v *yaml.Node) *rules.Relaxation {
	out := &rules.Relaxation{}
	r.mapping(file, v, func(key string, k, v *yaml.Node) {
		switch key {
		case "rule":
			out.Rule = v.Value
		case "why":
			out.Why = r.text(file, v)
		case "who":
			out.Who = r.text(file, v)
		case "until":
			out.Until = r.date(file, v)
		default:
			r.report(file, k, CodeUnknownKey, "use rule, why, who or until", "%q is no key of relaxes", key)
		}
	})
	for _, part := range []struct{ key, value, want string }{
		{"rule", out.Rule, "the shipped rule that is loosened"}, {"why", out.Why, "why this shop may do so"},
		{"who", out.Who, "who answers for it"}, {"until", out.Until, "the first day it no longer holds"},
	} {
		if part.value == "" {
			r.report(file, v, CodeRelaxes, "add "+part.key+": "+part.want, "the relaxation does not say %s", part.want)
		}
	}
	return out
}

// neighbours reads the rule or rules beside which a rule stands on purpose.
func (r *reader) neighbours(file string, v *yaml.Node) []string {
	if v.Kind == yaml.ScalarNode {
		return []string{v.Value}
	}
	var out []string
	for _, n := range r.words(file, v) {
		out = append(out, n.Value)
	}
	return out
}

// mayLoosen refuses a rule of a shop that loosens without saying what, and a
// relaxation where nothing is loosened.
func (r *reader) mayLoosen(file string, n *yaml.Node, rule *rules.Rule) {
	capped := rule.Restrict != nil && rule.Restrict.Caps != nil && rule.Restrict.Forbid == nil
	switch {
	case rule.Relaxes != nil && !rule.Shop:
		r.report(file, n, CodeRelaxes, "change the shipped rule instead", "rule %s is shipped and relaxes nothing", rule.ID)
	case rule.Relaxes != nil && rule.Permit == nil && rule.Lift == nil && !capped:
		r.report(file, n, CodeRelaxes, "use permit, lift or restrict: {cap: …}", "rule %s says it relaxes a rule but loosens nothing", rule.ID)
	case rule.Lift != nil && rule.Relaxes == nil:
		r.report(file, n, CodeRelaxes, "add relaxes: {rule: …, why: …, who: …, until: …}", "rule %s does not say which rule it lifts", rule.ID)
	case rule.Shop && (rule.Permit != nil && rule.Relaxes == nil || rule.Choose != nil || rule.Fit != nil):
		r.report(file, n, CodeShopPermits, "a shop's rules restrict, hold, grade, alarm or say; what loosens says which rule it relaxes",
			"rule %s of a shop would loosen the shipped rules", rule.ID)
	}
	if rule.Relaxes == nil {
		return
	}
	if rule.Until != "" && rule.Relaxes.Until >= rule.Until {
		rule.Relaxes.Until = rule.Until // the sheet tells when it really ends
		return
	}
	rule.Until = rule.Relaxes.Until
	if rule.From != "" && rule.Until != "" && rule.Until <= rule.From {
		r.report(file, n, CodeDate, "until is the first day it no longer holds", "rule %s ends before it starts", rule.ID)
	}
}

// neighbourhoods checks the rules that other rules name.
func (l *linker) neighbourhoods() {
	byID := map[string]*rawRule{}
	for _, raw := range l.rules {
		if raw.rule.ID != "" {
			byID[raw.rule.ID] = raw
		}
	}
	for _, raw := range l.rules {
		for _, id := range raw.rule.Beside {
			if byID[id] == nil || id == raw.rule.ID {
				l.report(raw.rule.At.File, raw.beside, CodeBeside, "name another rule of the book", "there is no rule %q to stand beside", id)
			}
		}
		if raw.rule.Relaxes != nil {
			l.relaxable(raw, byID[raw.rule.Relaxes.Rule])
		}
	}
}

// effectNouns name the effects that no shop may loosen.
var effectNouns = map[string]string{
	"grade": "a grade", "alarm": "an alarm", "fit": "a statement of what fits", "hold": "a hold",
	"say": "a sentence of the sheet", "choose": "a table",
}

// relaxable refuses to loosen what nobody may: alarms, grades, and the
// restriction that keeps hands off a critical cell.
func (l *linker) relaxable(raw, shipped *rawRule) {
	refuse := func(fix, format string, args ...any) {
		l.report(raw.rule.At.File, raw.relaxes, CodeRelaxes, fix, format, args...)
	}
	rule := &raw.rule
	id := rule.Relaxes.Rule
	switch {
	case shipped == nil || shipped.rule.Shop:
		refuse("'loosecell rules list' has the shipped rules", "there is no shipped rule %q", id)
	case shipped.rule.Restrict == nil && shipped.rule.Permit == nil:
		refuse("only a restriction, a cap or a permit may be relaxed", "rule %s is %s, which no shop may loosen", id, effectNouns[shipped.rule.EffectName()])
	case l.aboutCritical(shipped):
		refuse("nothing opens work on a critical cell", "rule %s keeps hands off critical cells, which no shop may loosen", id)
	case !loosens(rule, &shipped.rule):
		refuse("name what the shipped rule takes away", "rule %s does not touch what rule %s is about", rule.ID, id)
	}
}

// aboutCritical tells that a rule speaks of nothing but critical cells.
func (l *linker) aboutCritical(raw *rawRule) bool {
	f, _ := l.cat.Lookup("answer.condition")
	rank, _ := f.Word("critical")
	critical, err := l.Graded("condition", rank)
	if err != nil || l.rule(raw) != nil {
		return true
	}
	ref := raw.link.holds.Ref
	return l.arena.And(ref, critical.Ref.Not()) == expression.Never || ref == critical.Ref
}

// loosens tells that a shop's rule opens something the shipped rule closes, or
// something the shipped rule offers under stricter conditions.
func loosens(rule, shipped *rules.Rule) bool {
	about := slices.Concat(rule.Permit, rule.Lift)
	if rule.Restrict != nil {
		for name, value := range rule.Restrict.Caps {
			if shipped.Restrict == nil {
				return false
			}
			if was, ok := shipped.Restrict.Caps[name]; !ok || value <= was {
				return false
			}
		}
		return true
	}
	named := shipped.Permit
	if shipped.Restrict != nil {
		named = shipped.Restrict.Forbid
	} else if rule.Lift != nil {
		return false // a permit is not lifted
	}
	for _, p := range about {
		if !slices.Contains(named, p) {
			return false
		}
	}
	return len(about) > 0
}
