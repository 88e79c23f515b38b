package difference

import (
	"slices"
	"strings"

	"loosecell/rules"
)

// bears tells that a rule or row is known to have a part in an answer: by its
// effect, or by the list or table it stands in. What reaches an answer by a way
// of its own, as a grade reaches the removal, is not known to.
func (v voice) bears(path string) bool {
	r := v.rule
	section, rest, _ := strings.Cut(path, ".")
	switch section {
	case "verdict":
		return r.Hold != nil || r.Alarm != nil || r.Grade != nil
	case "condition", "transport_state":
		return r.Grade != nil
	case "prepare":
		return r.Hold != nil && strings.HasPrefix(rest, r.Hold.Fact+".")
	case "removal":
		return v.removes(rest)
	case "shipping":
		mode, _, _ := strings.Cut(rest, ".")
		return v.carries(mode)
	case "storage":
		return v.stores(rest)
	case "after_removal":
		return says(r, "after")
	case "ppe", "stop_signs", "emergency", "cautions":
		return says(r, section)
	case "opening", "discharge", "heat", "solvent", "refit":
		if rest == "notes" || rest == "steps" {
			return says(r, section)
		}
		return v.works(section, rest)
	}
	return false
}

func says(r *rules.Rule, list string) bool { return r.Say != nil && r.Say.List == list }

// touches tells that a rule gives or takes what is permitted under a name: a
// permission, or all of a group (discharge).
func touches(r *rules.Rule, name string) bool {
	all := slices.Concat(r.Permit, r.Lift)
	if r.Restrict != nil {
		all = append(all, r.Restrict.Forbid...)
	}
	return slices.ContainsFunc(all, func(p rules.Permission) bool {
		return string(p) == name || strings.HasPrefix(string(p), name+".")
	})
}

// caps tells that a rule caps a number of a group (heat, store).
func caps(r *rules.Rule, group string) bool {
	if r.Restrict == nil {
		return false
	}
	for name := range r.Restrict.Caps {
		if strings.HasPrefix(name, group+".") {
			return true
		}
	}
	return false
}

// table tells that a row stands in a table of this name, or in one of a group
// ("waste.").
func table(r *rules.Rule, names ...string) bool {
	return r.Choose != nil && slices.ContainsFunc(names, func(name string) bool {
		return r.Choose.Answer == name || strings.HasSuffix(name, ".") && strings.HasPrefix(r.Choose.Answer, name)
	})
}

// works is about heat, solvent, discharge, opening and refit: whether it may be,
// or a number of it.
func (v voice) works(section, leaf string) bool {
	if leaf == "may" {
		return touches(v.rule, section)
	}
	return touches(v.rule, section) || caps(v.rule, section) || table(v.rule, section+".")
}

func (v voice) removes(rest string) bool {
	if rest == "steps" {
		return says(v.rule, "steps")
	}
	rung, leaf, _ := strings.Cut(strings.TrimPrefix(rest, "rungs."), ".")
	switch {
	case rung == rest:
		return false // the pick: the whole of the rungs
	case leaf == "fits":
		return slices.Contains(v.rule.Fit, rung)
	}
	return touches(v.rule, "rung."+rung)
}

// stores is about the store: each answer has a table, and the limits and notes
// have sentences and caps as well.
func (v voice) stores(leaf string) bool {
	r := v.rule
	switch leaf {
	case "class", "container", "look_again", "fallback":
		return table(r, "storage."+leaf)
	case "keep_apart_from":
		return table(r, "storage.keep_apart")
	case "waste":
		return table(r, "waste.") || says(r, "waste")
	case "store_verdict":
		return table(r, "store.")
	}
	if strings.HasPrefix(leaf, "soc_band_pct") {
		return table(r, "storage.soc_band") || caps(r, "store")
	}
	return says(r, "storage") || caps(r, "store") || table(r, "store.")
}

// carries is about a mode of carriage: its table, those that its rows send to,
// and those that no mode is decided by, which fill in editions, marks and caps.
func (v voice) carries(mode string) bool {
	switch {
	case touches(v.rule, "ship."+mode):
		return true
	case !table(v.rule, "ship."):
		return says(v.rule, "ship")
	case sent(v.book, "ship."+mode)[v.rule.Choose.Answer]:
		return true
	}
	for _, m := range rules.Modes {
		if sent(v.book, "ship."+m)[v.rule.Choose.Answer] {
			return false
		}
	}
	return true
}

// sent are the tables that decide an answer: the one of its name, and those that
// rows of these point to.
func sent(b *rules.Book, answer string) map[string]bool {
	seen := map[string]bool{}
	for next := []string{answer}; len(next) > 0; {
		name := next[0]
		next = next[1:]
		r := b.Table(name)
		if r == nil || seen[name] {
			continue
		}
		seen[name] = true
		for i := range r.Choose.Rows {
			fields, _ := r.Choose.Rows[i].Value.(map[string]any)
			if to, ok := fields["see"].(string); ok {
				next = append(next, to)
			}
		}
	}
	return seen
}
