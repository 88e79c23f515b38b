package inquiry

import (
	"slices"
	"testing"

	"loosecell/rules"
	"loosecell/rules/facts"
)

// How many questions it takes until the answers equal those of the full case,
// on average over the cases of testdata that an interview reaches:
//
//	go test ./rules/inquiry -run XXX -bench Questions -benchtime 1x
//
// asked: this package's order. to-end: until it stops by itself. fixed: a
// questionnaire in catalogue order that asks, of the same questions, those the
// case leaves open. best: the shortest set of the questions asked that gives
// the answers, where two to eight of them are open, against asked-small.
func BenchmarkQuestions(b *testing.B) {
	book := shipped(b)
	var asked, end, fixed, n, best, small, sets float64
	for b.Loop() {
		asked, end, fixed, n, best, small, sets = 0, 0, 0, 0, 0, 0, 0
		for _, sc := range scenarios(b) {
			if _, skip := notCovered[sc.name]; skip {
				continue
			}
			p := person{sc.full, facts.Shipped()}
			enough, all, ids := untilEqual(b, book, p, facts.NewCase(facts.Shipped(), ""))
			if enough == 0 {
				continue
			}
			n++
			asked, end = asked+float64(enough), end+float64(all)
			fixed += float64(fixedOrder(b, book, p, ids))
			if s, least := bestSet(b, book, p); s > 0 {
				small, best, sets = small+float64(s), best+float64(least), sets+1
			}
		}
	}
	b.ReportMetric(asked/n, "asked/case")
	b.ReportMetric(end/n, "to-end/case")
	b.ReportMetric(fixed/n, "fixed/case")
	b.ReportMetric(small/sets, "asked-small/case")
	b.ReportMetric(best/sets, "best-small/case")
	b.ReportMetric(0, "ns/op")
}

// untilEqual counts the questions until the answers are those of the full case
// for good, and until the interview ends; 0 if they never are.
func untilEqual(t testing.TB, b *rules.Book, p person, from *facts.Case) (enough, all int, ids []string) {
	q := New(b, from, Options{Now: today})
	want := answersOf(t, b, p.full)
	equal := -1
	for range mostQuestions {
		question, s, _, err := q.Next()
		if err != nil {
			t.Fatal(err)
		}
		got := s.Answers()
		if s.Alarmed && question == nil {
			got, want = got[:1], want[:1]
		}
		switch {
		case !slices.Equal(got, want):
			equal = -1
		case equal < 0:
			equal = len(ids)
		}
		if question == nil {
			return max(equal, 0), len(ids), ids
		}
		ids = append(ids, question.ID)
		p.answer(t, q, question)
	}
	return 0, len(ids), ids
}

// everyQuestion lists the questions of an interview in the order of the
// catalogue, lists where their first fact stands.
func everyQuestion(q *Inquiry) []string {
	var ids []string
	for i := range q.cat.Facts {
		f := &q.cat.Facts[i]
		if !f.Statable() || f.Kind == facts.Text || f.Kind == facts.Layers || f.Group() == "dispatch" || f.Group() == "store" {
			continue
		}
		if id := q.idOf(f.Name); !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	return ids
}

func (q *Inquiry) idOf(fact string) string {
	s, err := q.Settled()
	if err != nil {
		return fact
	}
	if id, ok := q.listFor(fact, q.place(s)); ok {
		return id
	}
	return fact
}

// fixedOrder counts the questions of the questionnaire until the answers are
// those of the full case. It asks only for what the case says something of.
func fixedOrder(t testing.TB, b *rules.Book, p person, _ []string) int {
	q := New(b, facts.NewCase(facts.Shipped(), ""), Options{Now: today})
	if err := q.Correct("battery.place", q.cat.Facts[0].FormatValue(facts.Value{})); err != nil && p.full.Get("battery.place").State == facts.Stated {
		t.Fatal(err)
	}
	want := answersOf(t, b, p.full)
	n := 0
	for _, id := range everyQuestion(q) {
		question := q.byID(id)
		if question == nil {
			continue
		}
		p.answer(t, q, question)
		n++
		s, err := q.Settled()
		if err != nil {
			t.Fatal(err)
		}
		if s.Alarmed {
			return n
		}
		if slices.Equal(s.Answers(), want) {
			return n
		}
	}
	return n
}

// byID makes a question from its id, nil if it is of the wrong place.
func (q *Inquiry) byID(id string) *Question {
	if _, ok := q.cat.Lookup(id); ok {
		return q.single(id)
	}
	return group(id, func(string) bool { return false })
}

// bestSet finds, by trying all, the fewest answers after which a case with a few
// open facts has its answers; asked is what the interview takes. 0 where the
// case is not fit for it.
func bestSet(t testing.TB, b *rules.Book, p person) (asked, least int) {
	// The five facts that the case states last are forgotten, the rest is known.
	c := p.full.Clone()
	var names []string
	for _, name := range p.full.Names() {
		f, _ := p.cat.Lookup(name)
		if f.Kind != facts.Text && f.Kind != facts.Date && f.Group() != "job" && name != "battery.place" && !f.Sign {
			names = append(names, name)
		}
	}
	if len(names) < 8 {
		return 0, 0
	}
	var forgotten []string
	for i := range 8 {
		forgotten = append(forgotten, names[i*len(names)/8])
		c.Unset(forgotten[i])
	}
	asked, _, _ = untilEqual(t, b, p, c)
	if asked == 0 {
		return 0, 0
	}
	want := answersOf(t, b, p.full)
	least = len(forgotten) + 1
	for set := range 1 << len(forgotten) {
		try, n := c.Clone(), 0
		for i, name := range forgotten {
			if set>>i&1 == 1 {
				try.Set(name, p.full.Get(name))
				n++
			}
		}
		if n < least && slices.Equal(answersOf(t, b, try), want) {
			least = n
		}
	}
	if least > len(forgotten) {
		return 0, 0
	}
	return asked, max(least, 1)
}
