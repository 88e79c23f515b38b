package inquiry

import (
	"math/rand/v2"
	"slices"
	"testing"

	"loosecell/rules"
	"loosecell/rules/facts"
)

// How many questions it takes until the answers equal those of the full case,
// on average over the cases of testdata that an interview reaches:
//
//	go test ./rules/inquiry -run '^$' -bench Questions -benchtime 1x
//
// asked: this package's order. to-end: until it stops by itself. fixed: a
// questionnaire in the order of the catalogue. best-small: where eight facts of
// a case are forgotten, the fewest that give its answers, chosen by somebody who
// knows them all; asked-small: what the interview takes there.
//
// The second benchmark does the same over cases that are put together at random.
func BenchmarkQuestions(b *testing.B) { count(b, scenarios(b)) }

func BenchmarkQuestionsRandom(b *testing.B) {
	random := rand.New(rand.NewPCG(7, 1))
	all := scenarios(b)
	var mixed []scenario
	for len(mixed) < 60 {
		from, other := all[random.IntN(len(all))], all[random.IntN(len(all))]
		c := from.full.Clone()
		for _, name := range other.full.Names() { // a fifth of one case lies over another
			if random.IntN(5) == 0 {
				c.Set(name, other.full.Get(name))
			}
		}
		if _, skip := notCovered[from.name]; !skip && len(facts.Contradictions(c)) == 0 {
			mixed = append(mixed, scenario{"random", c})
		}
	}
	count(b, mixed)
}

func count(b *testing.B, cases []scenario) {
	book := shipped(b)
	var asked, end, fixed, n, best, small, sets float64
	for b.Loop() {
		asked, end, fixed, n, best, small, sets = 0, 0, 0, 0, 0, 0, 0
		for _, sc := range cases {
			if _, skip := notCovered[sc.name]; skip {
				continue
			}
			p := person{sc.full, facts.Shipped()}
			enough, all := untilEqual(b, book, p, facts.NewCase(facts.Shipped(), ""))
			if enough == 0 {
				continue
			}
			n++
			asked, end = asked+float64(enough), end+float64(all)
			fixed += float64(fixedOrder(b, book, p))
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
func untilEqual(t testing.TB, b *rules.Book, p person, from *facts.Case) (enough, all int) {
	q := New(b, from, Options{Now: today})
	want := answersOf(t, b, p.full)
	equal := -1
	for n := range mostQuestions {
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
			equal = n
		}
		if question == nil {
			return max(equal, 0), n
		}
		p.answer(t, q, question)
	}
	return 0, mostQuestions
}

// fixedOrder counts the questions of a questionnaire in the order of the
// catalogue, lists where their first fact stands, until the answers are those of
// the full case. It leaves out what only carriage and stores ask for.
func fixedOrder(t testing.TB, b *rules.Book, p person) int {
	q := New(b, facts.NewCase(facts.Shipped(), ""), Options{Now: today})
	want := answersOf(t, b, p.full)
	var done []string
	for i := range q.cat.Facts {
		f := &q.cat.Facts[i]
		if !f.Statable() || f.Kind == facts.Text || f.Kind == facts.Layers || f.Group() == "dispatch" || f.Group() == "store" {
			continue
		}
		s, err := q.Settled()
		if err != nil {
			t.Fatal(err)
		}
		if s.Alarmed || slices.Equal(s.Answers(), want) {
			break
		}
		question := q.single(f.Name)
		if id, ok := q.listFor(f.Name, q.place(s)); ok {
			question = group(id, func(fact string) bool { return q.Case().Get(fact).State != facts.Missing })
		}
		if question == nil || slices.Contains(done, question.ID) {
			continue
		}
		done = append(done, question.ID)
		p.answer(t, q, question)
	}
	return len(done)
}

// bestSet finds, by trying all, the fewest answers after which a case with a few
// open facts has its answers; asked is what the interview takes. 0 where the
// case is not fit for it.
func bestSet(t testing.TB, b *rules.Book, p person) (asked, least int) {
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
	asked, _ = untilEqual(t, b, p, c)
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
