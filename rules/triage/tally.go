package triage

import (
	"slices"
	"strings"

	"loosecell/rules/advice"
)

// Tally counts the cells by the words of one answer.
type Tally struct {
	Answer string
	Words  []string // in the order of the answer, others behind
	Cells  []int    // by place in Words
}

// count adds the cells of a row to each word of its answer.
func (t *Tally) count(answer string, list bool, cells int) {
	switch {
	case !list:
		t.add(answer, cells)
	case answer != "":
		for word := range strings.SplitSeq(answer, advice.ListSeparator) {
			t.add(word, cells)
		}
	}
}

func (t *Tally) add(word string, cells int) {
	i := slices.Index(t.Words, word)
	if i < 0 {
		t.Words, t.Cells = append(t.Words, word), append(t.Cells, 0)
		i = len(t.Words) - 1
	}
	t.Cells[i] += cells
}

// tallied tells that cells are counted by the words of an answer.
func tallied(a *advice.Answer) bool { return a.Words != nil || a.List }

// Summary is what a run did.
type Summary struct {
	Rows    int // read, but blank ones
	BadRows int
	Cells   int // in rows that were answered; more than one a row where count says so
	Tallies []Tally
}

func (s *Summary) add(other *Summary) {
	s.Rows += other.Rows
	s.BadRows += other.BadRows
	s.Cells += other.Cells
	for i := range other.Tallies {
		t := &other.Tallies[i]
		for k, word := range t.Words {
			s.Tallies[i].add(word, t.Cells[k])
		}
	}
}
