package inquiry

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"loosecell/rules/facts"
)

// Question is one thing to ask: a single fact, or a list of which a person
// ticks what is so.
type Question struct {
	ID      string      // the fact's name, or the group's
	Fact    *facts.Fact // nil for a list
	Ticks   []Tick
	Text    string  // as one asks a person
	Find    string  // how to find it out without harm
	StandIn string  // a cheap observation that stands in, "" if none
	Minutes float64 // to find it out
	Worth   float64 // what the reckoning expects of it; 0 if it was not reckoned

	states []set // stated by any answer, whatever is ticked
}

// Tick is one line of a list: what it says and what ticking it, or not, states.
type Tick struct {
	Text            string
	sets, otherwise []set
}

// set states one fact; a value that starts with + is one member more.
type set struct{ fact, value string }

// Facts lists the facts that an answer states, each once.
func (q *Question) Facts() []string {
	if q.Fact != nil {
		return []string{q.Fact.Name}
	}
	var out []string
	seen := map[string]bool{}
	add := func(list []set) {
		for _, s := range list {
			if !seen[s.fact] {
				seen[s.fact] = true
				out = append(out, s.fact)
			}
		}
	}
	for _, t := range q.Ticks {
		add(t.sets)
	}
	add(q.states)
	return out
}

//go:embed data/groups.csv
var groupData string

//go:embed data/ticks.csv
var tickData string

// groups are the lists in the order of the file.
var groups = sync.OnceValue(func() []Question {
	var out []Question
	for _, row := range rows(groupData) {
		minutes, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			panic(fmt.Sprintf("inquiry: groups.csv: %s: %v", row[0], err))
		}
		out = append(out, Question{ID: row[0], Minutes: minutes, Text: row[2], Find: row[3], states: sets(row[4])})
	}
	for _, row := range rows(tickData) {
		for i := range out {
			if out[i].ID == row[0] {
				out[i].Ticks = append(out[i].Ticks, Tick{Text: row[1], sets: sets(row[2]), otherwise: sets(row[3])})
			}
		}
	}
	return out
})

func rows(data string) [][]string {
	all, err := csv.NewReader(strings.NewReader(data)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("inquiry: built-in table: %v", err))
	}
	return all[1:]
}

// sets reads "battery.odour=yes; job.tried=+card".
func sets(text string) []set {
	var out []set
	for part := range strings.SplitSeq(text, ";") {
		if fact, value, ok := strings.Cut(strings.TrimSpace(part), "="); ok {
			out = append(out, set{fact, value})
		}
	}
	return out
}

// group finds a list by its id and leaves out the lines whose facts a case
// states already; nil if none is left.
func group(id string, known func(fact string) bool) *Question {
	for _, g := range groups() {
		if g.ID != id {
			continue
		}
		q := g
		q.Ticks = nil
		for _, t := range g.Ticks {
			if !known(t.sets[0].fact) {
				q.Ticks = append(q.Ticks, t)
			}
		}
		if len(q.Ticks) == 0 && len(q.states) == 0 {
			return nil
		}
		return &q
	}
	return nil
}

// listed maps each fact that a list asks for to the lists' ids.
var listed = sync.OnceValue(func() map[string][]string {
	out := map[string][]string{}
	for i := range groups() {
		g := &groups()[i]
		for _, f := range g.Facts() {
			out[f] = append(out[f], g.ID)
		}
	}
	return out
})
