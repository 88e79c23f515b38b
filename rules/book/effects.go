package book

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/facts"
	"loosecell/rules/source"
)

func (r *reader) text(file string, v *yaml.Node) string {
	if v.Kind != yaml.ScalarNode {
		r.report(file, v, CodeShape, "write plain text", "text is wanted here")
		return ""
	}
	return strings.Join(strings.Fields(v.Value), " ")
}

func (r *reader) id(file string, v *yaml.Node) string {
	switch at, taken := r.ids[v.Value]; {
	case !ruleID.MatchString(v.Value):
		r.report(file, v, CodeID, "use lower-case words joined by hyphens", "%q is no rule id", v.Value)
	case taken:
		r.report(file, v, CodeID, "choose another", "rule %s stands already at %s:%d", v.Value, at.File, at.Line)
	default:
		r.ids[v.Value] = facts.Position{File: file, Line: v.Line, Column: v.Column}
		return v.Value
	}
	return ""
}

func (r *reader) date(file string, v *yaml.Node) string {
	if _, err := time.Parse(time.DateOnly, v.Value); err != nil {
		r.report(file, v, CodeDate, "write it as 2026-01-31", "%q is no date", v.Value)
		return ""
	}
	return v.Value
}

// cite reads one citation or a list of them.
func (r *reader) cite(file string, v *yaml.Node) []source.Citation {
	nodes := []*yaml.Node{v}
	if v.Kind == yaml.SequenceNode {
		nodes = v.Content
	}
	var out []source.Citation
	for _, n := range nodes {
		c, err := r.sources.Resolve(n.Value)
		if err != nil || n.Kind != yaml.ScalarNode {
			r.report(file, n, CodeSource, "add it to the table of documents, or cite common-practice", "no document %q", n.Value)
			continue
		}
		out = append(out, c)
	}
	return out
}

// effect reads the value of an effect key; false if the key is none.
func (r *reader) effect(file string, raw *rawRule, key string, k, v *yaml.Node) bool {
	rule := &raw.rule
	switch key {
	case "permit":
		rule.Permit = r.permissions(file, v)
	case "lift":
		rule.Lift = r.permissions(file, v)
	case "restrict":
		rule.Restrict = r.restrict(file, v)
	case "grade":
		rule.Grade = r.grade(file, v)
	case "alarm":
		rule.Alarm = r.alarm(file, v)
	case "fit":
		rule.Fit = r.rungs(file, v)
	case "hold":
		rule.Hold = r.hold(file, v)
	case "say":
		rule.Say = r.say(file, v)
	case "choose":
		r.table(file, raw, v)
	default:
		r.report(file, k, CodeUnknownKey, "use id, when, because, source, from, until, beside, relaxes or an effect", "%q is no key of a rule", key)
		return false
	}
	return true
}

func (r *reader) words(file string, v *yaml.Node) []*yaml.Node {
	if v.Kind != yaml.SequenceNode || len(v.Content) == 0 {
		r.report(file, v, CodeShape, "write [a, b]", "a list is wanted here")
		return nil
	}
	return v.Content
}

func (r *reader) permissions(file string, v *yaml.Node) []rules.Permission {
	var out []rules.Permission
	for _, n := range r.words(file, v) {
		p := rules.Permission(n.Value)
		if !p.Known() {
			r.report(file, n, CodePermission, "", "there is no permission %q", n.Value)
			continue
		}
		out = append(out, p)
	}
	return out
}

func (r *reader) rungs(file string, v *yaml.Node) []string {
	var out []string
	for _, n := range r.words(file, v) {
		if !slices.Contains(rules.Rungs, n.Value) {
			r.report(file, n, CodeRung, "use one of "+strings.Join(rules.Rungs, ", "), "there is no rung %q", n.Value)
			continue
		}
		out = append(out, n.Value)
	}
	return out
}

func (r *reader) restrict(file string, v *yaml.Node) *rules.Restrict {
	out := &rules.Restrict{}
	before := r.found
	r.mapping(file, v, func(key string, k, v *yaml.Node) {
		switch key {
		case "forbid":
			out.Forbid = r.permissions(file, v)
		case "cap":
			out.Caps = map[string]float64{}
			r.mapping(file, v, func(name string, k, v *yaml.Node) { r.cap(file, out.Caps, name, k, v) })
		default:
			r.report(file, k, CodeUnknownKey, "use forbid or cap", "%q is no key of restrict", key)
		}
	})
	if out.Forbid == nil && len(out.Caps) == 0 && r.found == before {
		r.report(file, v, CodeMissing, "add forbid or cap", "the restriction takes nothing away")
	}
	return out
}

func (r *reader) cap(file string, caps map[string]float64, name string, k, v *yaml.Node) {
	c, ok := rules.CapNamed(name)
	if !ok {
		r.report(file, k, CodeCap, "", "there is no cap %q", name)
		return
	}
	low, high, err := facts.ParseQuantity(v.Value, c.Unit)
	switch {
	case err != nil || low != high:
		r.report(file, v, CodeCap, "write it as '30 "+c.Unit+"'", "%q is no cap in %s", v.Value, c.Unit)
	case low < c.Low || low > c.High:
		r.report(file, v, CodeCap, "to rule it out altogether, forbid it", "a cap of %s lies within %s, and %s does not",
			name, facts.FormatQuantity(c.Low, c.High, c.Unit), facts.FormatQuantity(low, low, c.Unit))
	default:
		caps[name] = low
	}
}

func (r *reader) grade(file string, v *yaml.Node) *rules.Grade {
	out := &rules.Grade{}
	r.mapping(file, v, func(key string, k, v *yaml.Node) {
		fact, ok := r.cat.Lookup("answer." + map[string]string{"condition": "condition", "transport": "transport_state"}[key])
		if !ok {
			r.report(file, k, CodeGrade, "use condition or transport", "%q is no reading", key)
			return
		}
		rank, ok := fact.Word(v.Value)
		if !ok || rank == 0 {
			r.report(file, v, CodeGrade, "use one of "+strings.Join(fact.Words[1:], ", "), "%q is no grade of %s", v.Value, key)
			return
		}
		if key == "condition" {
			out.Condition = rank
		} else {
			out.Transport = rank
		}
	})
	return out
}

func (r *reader) alarm(file string, v *yaml.Node) *rules.Alarm {
	out := &rules.Alarm{}
	r.mapping(file, v, func(key string, k, v *yaml.Node) {
		if key != "verdict" || v.Value != "stop" && v.Value != "evacuate" {
			r.report(file, k, CodeVerdict, "write verdict: stop or verdict: evacuate", "an alarm gives a verdict")
			return
		}
		out.Verdict = v.Value
	})
	return out
}

func (r *reader) hold(file string, v *yaml.Node) *rules.Hold {
	out := &rules.Hold{Kind: "blocking"}
	r.mapping(file, v, func(key string, k, v *yaml.Node) {
		switch key {
		case "fact":
			if f, ok := r.cat.Lookup(v.Value); !ok || !f.Statable() {
				r.report(file, v, CodeHold, "name a fact that a case can state", "a hold cannot wait for %q", v.Value)
			}
			out.Fact = v.Value
		case "kind":
			if v.Value != "blocking" && v.Value != "quick" {
				r.report(file, v, CodeHold, "use blocking or quick", "%q is no kind of hold", v.Value)
			}
			out.Kind = v.Value
		case "minutes":
			m, err := strconv.ParseFloat(v.Value, 64)
			if err != nil || !(m >= 0 && m < 10000) {
				r.report(file, v, CodeHold, "write a number of minutes", "%q is no number of minutes", v.Value)
			}
			out.Minutes = m
		case "text":
			out.Text = r.filled(file, v)
		case "answer":
			out.Answer = v.Value
		case "certain":
			out.Certain = v.Value == "true"
		default:
			r.report(file, k, CodeUnknownKey, "use fact, kind, minutes, text, answer or certain", "%q is no key of hold", key)
		}
	})
	if out.Fact == "" {
		r.report(file, v, CodeHold, "add fact:", "the hold names no fact")
	}
	return out
}

var placeholder = regexp.MustCompile(`\{([^{}]*)\}`)

// filled reads text in which braces stand for this case's numbers.
func (r *reader) filled(file string, v *yaml.Node) string {
	text := r.text(file, v)
	for _, m := range placeholder.FindAllStringSubmatch(text, -1) {
		if !slices.Contains(rules.Placeholders, m[1]) {
			r.report(file, v, CodePlaceholder, "use one of "+strings.Join(rules.Placeholders, ", "), "there is no number {%s}", m[1])
		}
	}
	return text
}

func (r *reader) say(file string, v *yaml.Node) *rules.Say {
	out := &rules.Say{}
	r.mapping(file, v, func(key string, k, v *yaml.Node) {
		switch key {
		case "list":
			if !slices.Contains(rules.Lists, v.Value) {
				r.report(file, v, CodeList, "use one of "+strings.Join(rules.Lists, ", "), "a sheet has no list %q", v.Value)
			}
			out.List = v.Value
		case "order":
			n, err := strconv.Atoi(v.Value)
			if err != nil {
				r.report(file, v, CodeShape, "write a whole number", "%q is no place in a list", v.Value)
			}
			out.Order = n
		case "text":
			out.Text = r.filled(file, v)
		case "certain":
			out.Certain = v.Value == "true"
		default:
			r.report(file, k, CodeUnknownKey, "use list, order, text or certain", "%q is no key of say", key)
		}
	})
	if out.List == "" {
		r.report(file, v, CodeList, "add list:", "the sentence belongs to no list")
	}
	return out
}

// table reads a choose with its rows.
func (r *reader) table(file string, raw *rawRule, v *yaml.Node) {
	out := &rules.Choose{Stricter: "first"}
	raw.rule.Choose = out
	r.mapping(file, v, func(key string, k, v *yaml.Node) {
		switch key {
		case "answer":
			out.Answer = v.Value
		case "stricter":
			if v.Value != "first" && v.Value != "last" {
				r.report(file, v, CodeRows, "use first or last", "%q is no end of a table", v.Value)
			}
			out.Stricter = v.Value
		case "rows":
			for _, n := range r.words(file, v) {
				row, when := r.row(file, n)
				out.Rows, raw.rows = append(out.Rows, row), append(raw.rows, when)
			}
		default:
			r.report(file, k, CodeUnknownKey, "use answer, stricter or rows", "%q is no key of choose", key)
		}
	})
	switch {
	case out.Answer == "":
		r.report(file, v, CodeRows, "add answer:", "the table answers nothing")
	case len(out.Rows) == 0:
		r.report(file, v, CodeRows, "add rows:", "the table %s has no rows", out.Answer)
	case raw.rows[len(raw.rows)-1] != nil:
		r.report(file, v, CodeRows, "end with a row without when", "the table %s has no row for everything else", out.Answer)
	}
}

func (r *reader) row(file string, n *yaml.Node) (rules.Row, *yaml.Node) {
	row := rules.Row{At: facts.Position{File: file, Line: n.Line, Column: n.Column}}
	var when *yaml.Node
	r.mapping(file, n, func(key string, k, v *yaml.Node) {
		switch key {
		case "id":
			row.ID = r.id(file, v)
		case "when":
			when = v
		case "from":
			row.From = r.date(file, v)
		case "until":
			row.Until = r.date(file, v)
		case "because":
			row.Because = r.text(file, v)
		case "source":
			row.Sources = r.cite(file, v)
		case "value":
			if err := v.Decode(&row.Value); err != nil {
				r.report(file, v, CodeShape, "", "%v", err)
			}
		default:
			r.report(file, k, CodeUnknownKey, "use id, when, from, until, value, because or source", "%q is no key of a row", key)
		}
	})
	if row.Value == nil {
		r.report(file, n, CodeRows, "add value:", "the row has no value")
	}
	return row, when
}

// rowName is how a row is named in a trace when it has no id of its own.
func rowName(rule *rules.Rule, i int) string { return fmt.Sprintf("%s-row-%d", rule.ID, i+1) }
