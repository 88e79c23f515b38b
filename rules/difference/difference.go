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
	By     []string `json:"by,omitempty"` // rules and rows that turned and bear on this answer
}

// Difference is how the answers to one case differ between two sides.
type Difference struct {
	Changes []Change `json:"changes"`
	// Besides are rules and rows that turned and of which no change says more:
	// what they decide comes to the answers through others.
	Besides []string `json:"besides,omitempty"`
}

// Between compares the answers to one case. Rules and rows that speak on one side
// only are named -id and +id. The error tells of bad options.
func Between(a, b Side, c *facts.Case) (*Difference, error) {
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
	out := &Difference{Changes: []Change{}}
	all := turned(wasHeld, isHeld)
	told := map[string]bool{}
	for _, path := range paths {
		if was[path] == is[path] {
			continue
		}
		ch := Change{Answer: path}
		ch.From, ch.To = apart(was[path], is[path])
		for _, v := range all {
			if v.bears(path) {
				ch.By, told[v.name()] = append(ch.By, v.name()), true
			}
		}
		out.Changes = append(out.Changes, ch)
	}
	for _, v := range all {
		if len(out.Changes) > 0 && !told[v.name()] {
			out.Besides = append(out.Besides, v.name())
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

// answers flattens the answers of one side to texts by path.
func answers(s Side, c *facts.Case) (map[string]string, held, error) {
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
