// Package difference compares two rulebooks, or one on two dates, by what they
// answer for given cases and not by their text.
package difference

import (
	"encoding/json"
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Side is a rulebook, read on a date.
type Side struct {
	Book *rules.Book
	On   string // ISO date; "": the case's own, else Now
	Now  time.Time
}

// Change is one answer that differs between two sides.
type Change struct {
	Answer string   `json:"answer"` // its path: shipping.air-cargo.allowed
	From   string   `json:"from"`
	To     string   `json:"to"`
	By     []string `json:"by,omitempty"` // rules and rows that hold on one side only: -id, +id
}

// Changes lists the answers of one case that differ. The error tells of bad
// options.
func Changes(a, b Side, c *facts.Case) ([]Change, error) {
	was, wasHeld, err := answers(a, c)
	if err != nil {
		return nil, err
	}
	is, isHeld, err := answers(b, c)
	if err != nil {
		return nil, err
	}
	var paths []string
	for path := range was {
		paths = append(paths, path)
	}
	for path := range is {
		if _, both := was[path]; !both {
			paths = append(paths, path)
		}
	}
	sort.Strings(paths)
	var out []Change
	for _, path := range paths {
		if was[path] != is[path] {
			from, to := apart(was[path], is[path])
			out = append(out, Change{Answer: path, From: from, To: to, By: turned(path, wasHeld, isHeld)})
		}
	}
	return out, nil
}

// between stands between the texts of a list.
const between = " | "

// apart leaves out of two lists of texts what stands in both.
func apart(a, b string) (string, string) {
	was, is := strings.Split(a, between), strings.Split(b, between)
	only := func(list, other []string) string {
		var out []string
		for _, text := range list {
			if !slices.Contains(other, text) {
				out = append(out, text)
			}
		}
		return strings.Join(out, between)
	}
	return only(was, is), only(is, was)
}

// held is which rules and rows speak on one side, by id, with the answer a row
// belongs to.
type held struct {
	truth  map[string]expression.Truth
	answer map[string]string
	says   map[string]bool // it only says or holds something
	order  []string
}

// answers flattens the answers of one side to texts by path.
func answers(s Side, c *facts.Case) (map[string]string, *held, error) {
	opts := advice.Options{On: s.On, Now: s.Now}
	full, err := advice.Advise(s.Book, c, opts)
	if err != nil {
		return nil, nil, err
	}
	d, err := advice.Decide(s.Book, c, opts)
	if err != nil {
		return nil, nil, err
	}
	data, err := json.Marshal(full)
	if err != nil {
		return nil, nil, err
	}
	var tree map[string]any
	if err := json.Unmarshal(data, &tree); err != nil {
		return nil, nil, err
	}
	out := map[string]string{}
	for _, key := range compared {
		flatten(out, key, tree[key])
	}
	return out, speaking(s.Book, d), nil
}

// compared are the answers that are looked at; the rest is their words, their
// reasons or the case itself.
var compared = []string{"verdict", "condition", "transport_state", "prepare", "removal", "opening", "discharge", "heat", "solvent",
	"refit", "storage", "shipping", "ppe", "stop_signs", "emergency", "cautions", "after_removal"}

// skipped are parts of answers that tell of themselves rather than answer.
var skipped = []string{"why", "back", "source", "rule", "number", "minutes", "quick_ways", "window", "vapour", "drying"}

// flatten writes a value's leaves under their paths. Entries of a list are named
// by what they are about; texts in a list stand together.
func flatten(out map[string]string, path string, value any) {
	switch v := value.(type) {
	case nil:
	case map[string]any:
		for key, inner := range v {
			if !slices.Contains(skipped, key) {
				flatten(out, path+"."+key, inner)
			}
		}
	case []any:
		flattenList(out, path, v)
	default:
		out[path] = fmt.Sprint(v)
	}
}

func flattenList(out map[string]string, path string, list []any) {
	var texts []string
	for _, item := range list {
		m, ok := item.(map[string]any)
		if !ok {
			texts = append(texts, fmt.Sprint(item))
			continue
		}
		name, ok := nameOf(m)
		if !ok {
			texts = append(texts, fmt.Sprint(m["text"]))
			continue
		}
		flatten(out, path+"."+name, m)
	}
	if texts != nil {
		out[path] = strings.Join(texts, between)
	}
}

func nameOf(m map[string]any) (string, bool) {
	for _, key := range []string{"mode", "rung", "fact"} {
		if name, ok := m[key].(string); ok {
			return name, true
		}
	}
	return "", false
}

// speaking reads every rule and row on the boxes of one outcome.
func speaking(b *rules.Book, d *advice.Decided) *held {
	h := &held{truth: map[string]expression.Truth{}, answer: map[string]string{}, says: map[string]bool{}}
	explore := expression.NewExplorer(b.Arena)
	add := func(id, answer string, ref expression.Ref, box *expression.Box) {
		h.truth[id], h.answer[id] = explore.Truth(ref, box), answer
		h.order = append(h.order, id)
	}
	for i := range b.Rules() {
		r := &b.Rules()[i]
		if r.Choose == nil {
			add(r.ID, "", r.Holds, d.Full)
			h.says[r.ID] = r.Say != nil || r.Hold != nil
			continue
		}
		box := d.Full
		if strings.HasPrefix(r.Choose.Answer, "ship.") {
			box = d.Parcel
		}
		for j := range r.Choose.Rows {
			add(r.Choose.Rows[j].ID, r.Choose.Answer, r.Choose.Rows[j].Holds, box)
		}
	}
	return h
}

// mostNamed is how many rules are named for one change.
const mostNamed = 12

// turned lists the rules and rows that speak on one side of an answer only:
// first those that one side does not have, then those that decide, then those
// that only say something.
func turned(path string, was, is *held) []string {
	var ranks [3][]string
	note := func(h, other *held, sign string) {
		for _, id := range h.order {
			if !h.truth[id].Possible() || other.truth[id].Possible() || !about(path, h.answer[id]) {
				continue
			}
			rank := 1
			if _, both := other.truth[id]; !both {
				rank = 0
			} else if h.says[id] {
				rank = 2
			}
			ranks[rank] = append(ranks[rank], sign+id)
		}
	}
	note(was, is, "-")
	note(is, was, "+")
	all := slices.Concat(ranks[:]...)
	return all[:min(len(all), mostNamed)]
}

// about tells whether a table can have a part in an answer: carriage in
// shipping, waste and store in storage, and rules that are no table elsewhere.
func about(path, answer string) bool {
	switch {
	case strings.HasPrefix(path, "shipping."):
		return strings.HasPrefix(answer, "ship.")
	case strings.HasPrefix(path, "storage."):
		return strings.HasPrefix(answer, "waste.") || strings.HasPrefix(answer, "stor") || answer == ""
	}
	return !strings.HasPrefix(answer, "ship.") && !strings.HasPrefix(answer, "waste.")
}
