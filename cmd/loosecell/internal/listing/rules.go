package listing

import (
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules"
	"loosecell/rules/facts"
	"loosecell/rules/source"
)

// Rule is a rule as other programs read it.
type Rule struct {
	ID      string   `json:"id"`
	Topic   string   `json:"topic"`
	When    string   `json:"when,omitempty"` // absent: always
	From    string   `json:"from,omitempty"`
	Until   string   `json:"until,omitempty"`
	Effect  string   `json:"effect"`
	Does    []string `json:"does"`
	Because string   `json:"because"`
	Sources []Source `json:"sources"`
	Shop    bool     `json:"shop,omitempty"`
	Relaxes *Relaxes `json:"relaxes,omitempty"`
	At      string   `json:"at,omitempty"` // file:line
}

// Relaxes is what a rule of a shop declares about the shipped rule it loosens.
type Relaxes struct {
	Rule  string `json:"rule"`
	Why   string `json:"why"`
	Who   string `json:"who"`
	Until string `json:"until"` // the first day it no longer holds
}

// Source is a citation and how well its document is known.
type Source struct {
	Text  string `json:"text"`
	Known string `json:"known"` // read, secondary, memory, practice
}

// Rules shapes rules for other programs; never nil.
func Rules(all []rules.Rule) []Rule {
	out := make([]Rule, 0, len(all))
	for i := range all {
		r := &all[i]
		out = append(out, Rule{
			ID: r.ID, Topic: r.Topic, When: r.When.Text, From: r.From, Until: r.Until, Effect: r.EffectName(),
			Does: does(r), Because: r.Because, Sources: cite(r.Sources), Shop: r.Shop, Relaxes: (*Relaxes)(r.Relaxes), At: position(r),
		})
	}
	return out
}

func cite(citations []source.Citation) []Source {
	out := make([]Source, 0, len(citations))
	for _, c := range citations {
		s := Source{Text: c.String()}
		if c.Document != nil {
			s.Known = string(c.Document.Known)
		}
		out = append(out, s)
	}
	return out
}

func position(r *rules.Rule) string {
	if r.At.File == "" {
		return ""
	}
	return r.At.File + ":" + strconv.Itoa(r.At.Line)
}

// WriteRules prints a line or two a rule, by topic.
func WriteRules(w io.Writer, all []rules.Rule) error {
	p := &page.Page{}
	topic := ""
	for i := range all {
		r := &all[i]
		if r.Topic != topic || i == 0 {
			topic = r.Topic
			p.Heading(page.Clean(topic) + ":")
		}
		p.Item(page.Plain, "", 0, page.Clean(r.ID)+" ("+r.EffectName()+own(r)+")")
		p.Item(page.Plain, "", 4, page.Clean(sentenceOf(r)))
	}
	p.Blank()
	p.Item(page.Plain, "", 0, strconv.Itoa(len(all))+" rules")
	return p.Write(w, nil)
}

// own marks a rule of a shop.
func own(r *rules.Rule) string {
	switch {
	case r.Relaxes != nil:
		return ", the shop's own, relaxes " + page.Clean(r.Relaxes.Rule)
	case r.Shop:
		return ", the shop's own"
	}
	return ""
}

// sentenceOf is what the rule says to the technician.
func sentenceOf(r *rules.Rule) string {
	if r.Because != "" {
		return r.Because
	}
	return strings.Join(does(r), " ")
}

// WriteRulesInFull prints everything about each rule.
func WriteRulesInFull(w io.Writer, all []rules.Rule) error {
	p := &page.Page{}
	for i := range all {
		r := &all[i]
		condition := page.Clean(r.When.Text)
		if condition == "" {
			condition = "always"
		}
		rows := []page.Row{{"Topic", page.Clean(r.Topic)}, {"When", condition}, {"Holds", page.Clean(holds(r))}}
		if r.Shop {
			rows = append(rows, page.Row{"Whose", "the shop's own"})
		}
		for _, text := range does(r) {
			rows = append(rows, page.Row{"Effect", page.Clean(text)})
		}
		if r.Relaxes != nil {
			rows = append(rows, page.Row{"Relaxes", page.Clean(r.Relaxes.Rule + " until " + r.Relaxes.Until + ": " + r.Relaxes.Why + " (" + r.Relaxes.Who + ")")})
		}
		rows = append(rows, page.Row{"Because", page.Clean(r.Because)})
		for _, s := range cite(r.Sources) {
			rows = append(rows, page.Row{"Source", page.Clean(s.Text) + " (" + howKnown(s.Known) + ")"})
		}
		rows = append(rows, page.Row{"Stands in", page.Clean(position(r))})
		p.Rows(page.Clean(r.ID), rows)
	}
	return p.Write(w, nil)
}

func holds(r *rules.Rule) string {
	switch {
	case r.From == "" && r.Until == "":
		return ""
	case r.Until == "":
		return "from " + r.From
	case r.From == "":
		return "until " + r.Until
	}
	return "from " + r.From + " until " + r.Until
}

var knownWords = map[string]string{
	"read": "read", "secondary": "known from another text: confirm in the current edition",
	"memory": "from memory: only tightens", "practice": "no published number",
}

func howKnown(word string) string {
	if text := knownWords[word]; text != "" {
		return text
	}
	return word
}

// does tells the rule's effect, one text a part of it.
func does(r *rules.Rule) []string {
	switch {
	case r.Permit != nil:
		return []string{"permits " + join(r.Permit) + " when certain"}
	case r.Lift != nil:
		return []string{"lifts " + join(r.Lift) + " from rule " + r.Relaxes.Rule + " when certain, until " + r.Relaxes.Until}
	case r.Restrict != nil:
		return restricts(r.Restrict)
	case r.Grade != nil:
		return grades(r.Grade)
	case r.Alarm != nil:
		return []string{"verdict " + r.Alarm.Verdict}
	case r.Fit != nil:
		return []string{"says that " + strings.Join(r.Fit, ", ") + " fits"}
	case r.Hold != nil:
		return []string{"asks first (" + r.Hold.Kind + "): " + r.Hold.Text}
	case r.Say != nil:
		return []string{"says under " + r.Say.List + ": " + r.Say.Text}
	case r.Choose != nil:
		return chooses(r.Choose)
	}
	return []string{}
}

// grades names the grades; rank 0 of either is the best one and says nothing.
func grades(g *rules.Grade) []string {
	var parts []string
	for _, part := range []struct {
		answer, label string
		rank          int
	}{{"answer.condition", "handling", g.Condition}, {"answer.transport_state", "transport", g.Transport}} {
		answer, ok := facts.Shipped().Lookup(part.answer)
		if ok && part.rank > 0 && part.rank < len(answer.Words) {
			parts = append(parts, part.label+" "+answer.Words[part.rank])
		}
	}
	return []string{"grades the cell: " + strings.Join(parts, ", ")}
}

func restricts(r *rules.Restrict) []string {
	out := []string{}
	if len(r.Forbid) > 0 {
		out = append(out, "forbids "+join(r.Forbid)+" when possible")
	}
	for _, name := range slices.Sorted(maps.Keys(r.Caps)) {
		unit := ""
		for _, c := range rules.Caps {
			if c.Name == name {
				unit = " " + c.Unit
			}
		}
		out = append(out, "caps "+name+" at "+strconv.FormatFloat(r.Caps[name], 'f', -1, 64)+unit)
	}
	return out
}

func chooses(c *rules.Choose) []string {
	out := []string{"chooses " + c.Answer + ", the " + c.Stricter + " row being the strictest"}
	for _, row := range c.Rows {
		condition := row.When.Text
		if condition == "" {
			condition = "otherwise"
		}
		out = append(out, condition+": "+value(row.Value))
	}
	return out
}

func value(v any) string {
	if word, ok := v.(string); ok {
		return word
	}
	data, err := json.Marshal(v)
	if err != nil {
		return fmt.Sprint(v)
	}
	return string(data)
}

func join(permissions []rules.Permission) string {
	words := make([]string, len(permissions))
	for i, p := range permissions {
		words[i] = string(p)
	}
	return strings.Join(words, ", ")
}
