package triage

import "slices"

// Tally counts the cells by the words of one answer.
type Tally struct {
	Answer string
	Words  []string // in the order of the answer, others behind
	Cells  []int    // by place in Words
}

func (t *Tally) add(word string, cells int) {
	i := slices.Index(t.Words, word)
	if i < 0 {
		t.Words, t.Cells = append(t.Words, word), append(t.Cells, 0)
		i = len(t.Words) - 1
	}
	t.Cells[i] += cells
}

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
