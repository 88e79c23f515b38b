package inquiry

import (
	"errors"
	"math"
	"slices"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Options are what the command line says about an interview.
type Options struct {
	On   string      // ISO date to read the law at; "" as in advice.Options
	Now  time.Time   // the day of the asking
	Shop *facts.Case // lies under the case; nil if none
}

// Inquiry is one interview: what is known so far and what was asked. It is used
// by one goroutine at a time.
type Inquiry struct {
	book    *rules.Book
	cat     *facts.Catalogue
	shop    *facts.Case
	reckon  *advice.Reckoner
	ask     *rules.Question
	eval    *expression.Evaluator
	explore *expression.Explorer

	gradeRules, alarmRules, holdRules []*rules.Rule
	isRemoved                         expression.Ref
	plain                             map[string]bool
	readBy                            map[expression.Ref]map[string]bool
	scratch                           *expression.Box
	cuts                              map[int][]float64 // slot: values beyond each cut of the rules

	known *facts.Case
	asked map[string]bool // questions put, by id
	past  []moment
}

// moment is what was known before a question was answered.
type moment struct {
	known *facts.Case
	asked map[string]bool
	id    string
}

// New starts an interview over what a case already says. The case is not
// changed. A shop file lies under it as it does under every case.
func New(b *rules.Book, c *facts.Case, o Options) *Inquiry {
	q := &Inquiry{
		book: b, cat: c.Catalogue(), shop: o.Shop, known: c.Clone(), asked: map[string]bool{},
		reckon: advice.NewReckoner(b, c.Catalogue(), advice.Options{On: o.On, Now: o.Now}),
		cuts:   map[int][]float64{}, plain: map[string]bool{}, readBy: map[expression.Ref]map[string]bool{},
	}
	q.isRemoved = b.Arena.Among(b.Layout.MustSlot("battery.place"), 1<<removed)
	q.ask = b.Ask(expression.NewBox(b.Layout), expression.NewBox(b.Layout))
	q.eval, q.explore = expression.NewEvaluator(b.Arena), expression.NewExplorer(b.Arena)
	for i := range b.Rules() {
		switch r := &b.Rules()[i]; {
		case r.Grade != nil:
			q.gradeRules = append(q.gradeRules, r)
		case r.Alarm != nil:
			q.alarmRules = append(q.alarmRules, r)
		case r.Hold != nil:
			q.holdRules = append(q.holdRules, r)
		}
	}
	q.findCuts()
	q.findPlain()
	return q
}

// findCuts notes for each number a value on either side of where a rule changes
// its mind.
func (q *Inquiry) findCuts() {
	for i := range q.book.Rules() {
		r := &q.book.Rules()[i]
		if r.Say != nil {
			continue
		}
		for _, atom := range q.book.Arena.Atoms(r.Holds) {
			s := &q.book.Layout.Slots[atom.Slot]
			if s.Finite || s.Derive != nil || !s.Fact.Statable() {
				continue
			}
			step := max(1e-6, math.Abs(atom.Cut)*1e-6)
			if s.Whole {
				step = 1
			}
			for _, x := range []float64{atom.Cut, atom.Cut + step} {
				if !slices.Contains(q.cuts[atom.Slot], x) && x >= s.Domain.Low && x <= s.Domain.High {
					q.cuts[atom.Slot] = append(q.cuts[atom.Slot], x)
				}
			}
		}
	}
}

// Case is what is known so far, without what the shop file says.
func (q *Inquiry) Case() *facts.Case { return q.known }

// Whole is what is known so far over the shop file.
func (q *Inquiry) Whole() *facts.Case { return q.known.Over(q.shop) }

// Asked counts the questions that were answered.
func (q *Inquiry) Asked() int { return len(q.past) }

// Catalogue is the catalogue of the case.
func (q *Inquiry) Catalogue() *facts.Catalogue { return q.cat }

// onRecord are the facts that a finished case is the record of, and an
// interview is not yet: as long as nobody was asked, silence denies nothing.
var onRecord = []string{"job.goal", "job.tried", "job.force_used", "adhesive.solvent_used"}

// countedOnceBegun are kept count of as soon as the job has begun.
var countedOnceBegun = []string{"job.warmings", "job.minutes", "adhesive.solvent_volume"}

// doubted is the case as the interview sees it: what is presumed only because
// a case is the record of its job counts as unknown until it was asked.
func (q *Inquiry) doubted() *facts.Case {
	c := q.Whole()
	doubt := func(name string) {
		if c.Get(name).State == facts.Missing {
			c.Set(name, facts.Value{State: facts.Unknown})
		}
	}
	for _, name := range onRecord {
		if !q.leftBy(c, name) {
			doubt(name)
		}
	}
	begun := false
	for _, name := range onRecord[1:] {
		f, _ := q.cat.Lookup(name)
		v := c.Get(name)
		begun = begun || v.State == facts.Stated && (f.Kind == facts.Members && v.Words != 0 || f.Kind == facts.Words && v.Words != 1)
	}
	if begun {
		for _, name := range countedOnceBegun {
			doubt(name)
		}
	}
	return c
}

// traceOf names the rung that leaves a record behind when it was tried.
var traceOf = map[string]string{"job.force_used": "card", "adhesive.solvent_used": "solvent"}

// leftBy tells that what was tried already says what the record is.
func (q *Inquiry) leftBy(c *facts.Case, name string) bool {
	rung, ok := traceOf[name]
	v := c.Get("job.tried")
	f, _ := q.cat.Lookup("job.tried")
	i, known := f.Word(rung)
	return ok && known && v.State == facts.Stated && v.Has(i)
}

// Settled is where the case stands with what is known so far.
func (q *Inquiry) Settled() (*advice.Standing, error) { return q.reckon.Standing(q.doubted()) }

// remember notes the moment before an answer, so that one can go back to it.
func (q *Inquiry) remember(id string) {
	asked := make(map[string]bool, len(q.asked))
	for k, v := range q.asked {
		asked[k] = v
	}
	q.past = append(q.past, moment{q.known.Clone(), asked, id})
	q.asked[id] = true
}

// Back takes the last answer, or correction, away; false if there is none.
func (q *Inquiry) Back() bool {
	if len(q.past) == 0 {
		return false
	}
	last := q.past[len(q.past)-1]
	q.past = q.past[:len(q.past)-1]
	q.known, q.asked = last.known, last.asked
	return true
}

// Correct states one fact as a case file would, whatever was said of it before;
// "" takes it out of the case, so that it can be asked again. The error is of
// type facts.Problems.
func (q *Inquiry) Correct(name, text string) error {
	next := q.known.Clone()
	if text == "" {
		f, ok := q.cat.Lookup(name)
		if !ok || !f.Statable() {
			return next.SetText(q.cat, name, "unknown") // says what is wrong with the name
		}
		next.Unset(name)
	} else if err := next.SetText(q.cat, name, text); err != nil {
		return err
	}
	if err := q.consistent(next); err != nil {
		return err
	}
	q.remember("= " + name)
	delete(q.asked, "= "+name)
	q.asked[name] = text != ""
	q.known = next
	return nil
}

// consistent tells whether what is known can all be so at once.
func (q *Inquiry) consistent(c *facts.Case) error {
	if problems := facts.Contradictions(c.Over(q.shop)); len(problems) > 0 {
		for i := range problems {
			problems[i].At = facts.Position{}
		}
		return problems
	}
	return nil
}

// Say answers a question about one fact, written as in a case file. An empty
// text is "I do not know".
func (q *Inquiry) Say(question *Question, text string) error {
	if question.Fact == nil {
		return errors.New("inquiry: a list is answered by ticking")
	}
	name := question.Fact.Name
	next := q.known.Clone()
	if text == "" {
		if q.silenceMisleads(name) {
			next.Set(name, facts.Value{State: facts.Unknown})
		}
	} else if err := next.SetText(q.cat, name, text); err != nil {
		return err
	}
	if err := q.consistent(next); err != nil {
		return err
	}
	q.remember(question.ID)
	q.known = next
	return nil
}

// silenceMisleads tells whether leaving a fact out of the case would say more
// than "not known": a reading that nobody took, and a fact that the catalogue
// presumes for want of better, are left out; all else is written as unknown.
func (q *Inquiry) silenceMisleads(name string) bool {
	for _, f := range onRecord {
		if f == name {
			return true
		}
	}
	f, _ := q.cat.Lookup(name)
	return len(f.Presume) == 0 && (f.Kind == facts.Words || f.Kind == facts.Members)
}

// Mark is what a person says of one line of a list.
type Mark uint8

// The marks of a line.
const (
	NotSo   Mark = iota // seen, and it is not so
	So                  // it is so
	CantSay             // could not be told
)

// Tick answers a list, one mark a line; nil is "I do not know any of it".
func (q *Inquiry) Tick(question *Question, marks []Mark) error {
	next := q.known.Clone()
	if marks == nil {
		for _, t := range question.Ticks {
			for _, s := range t.sets {
				if q.silenceMisleads(s.fact) && next.Get(s.fact).State == facts.Missing {
					next.Set(s.fact, facts.Value{State: facts.Unknown})
				}
			}
		}
	} else {
		if len(marks) != len(question.Ticks) {
			return errors.New("inquiry: one mark a line is due")
		}
		if err := q.ticked(next, question, marks); err != nil {
			return err
		}
	}
	if err := q.consistent(next); err != nil {
		return err
	}
	q.remember(question.ID)
	q.known = next
	return nil
}

// ticked states what the lines say, those that are not so first, so that a line
// that is so and one that cannot be told override them.
func (q *Inquiry) ticked(c *facts.Case, question *Question, marks []Mark) error {
	state := func(list []set) error {
		for _, s := range list {
			if err := q.state(c, s); err != nil {
				return err
			}
		}
		return nil
	}
	if err := state(question.states); err != nil {
		return err
	}
	for _, pass := range []Mark{NotSo, CantSay, So} {
		for i, t := range question.Ticks {
			if marks[i] != pass {
				continue
			}
			switch pass {
			case NotSo:
				if err := state(t.otherwise); err != nil {
					return err
				}
			case So:
				if err := state(t.sets); err != nil {
					return err
				}
			case CantSay:
				for _, s := range t.sets {
					if q.silenceMisleads(s.fact) {
						c.Set(s.fact, facts.Value{State: facts.Unknown})
					} else {
						c.Unset(s.fact)
					}
				}
			}
		}
	}
	return nil
}

// state states one fact of a ticked line. A member is added to those stated; of
// two lines of one sign the graver counts.
func (q *Inquiry) state(c *facts.Case, s set) error {
	f, _ := q.cat.Lookup(s.fact)
	before := c.Get(s.fact)
	if s.value[0] == '+' {
		if before.State == facts.Unknown {
			return nil // one cannot be told, and so the whole list cannot
		}
		i, _ := f.Word(s.value[1:])
		before.State, before.Words = facts.Stated, before.Words|1<<i
		c.Set(s.fact, before)
		return nil
	}
	return c.SetText(q.cat, s.fact, s.value)
}
