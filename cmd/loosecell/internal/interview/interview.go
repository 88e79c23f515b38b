// Package interview puts the questions of an inquiry to a person and hands the
// answers back: as forms on a terminal, as plain lines everywhere else. It
// decides nothing; what to ask and what an answer means is the inquiry's.
package interview

import (
	"errors"
	"fmt"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
	"loosecell/rules/inquiry"
)

// Source is what asks: an inquiry over a case, or over a shop.
type Source interface {
	Next() (*inquiry.Question, *advice.Standing, int, error)
	Settled() (*advice.Standing, error)
	Say(*inquiry.Question, string) error
	Tick(*inquiry.Question, []inquiry.Mark) error
	Correct(fact, text string) error
	Back() bool
	Case() *facts.Case
	Asked() int
	Catalogue() *facts.Catalogue
}

// Screen shows one question at a time and brings back what a person did.
type Screen interface {
	Ask(Prompt) (Reply, error)
	Tell(lines []string)
}

// Prompt is a question as it is put.
type Prompt struct {
	*inquiry.Question
	Number  int
	Left    int    // questions open now, this one included
	Settled string // where the case stands, one line; "" for a shop
	Wrong   string // why the last answer was not taken, "" if it was
}

// Act is what a person does with a question.
type Act uint8

// The acts.
const (
	Answer  Act = iota // Text or Marks
	Unknown            // I do not know
	Help               // how do I find out?
	Show               // what is settled so far?
	Back
	Correct // Fact and Text
	Enough
)

// Reply is what a person did.
type Reply struct {
	Act   Act
	Text  string
	Fact  string
	Marks []inquiry.Mark
}

// The errors of an interview that did not come to its end.
var (
	ErrEnd     = errors.New("the input ended before the interview did")
	ErrBreak   = errors.New("the interview was broken off")
	ErrTooLong = errors.New("an answer is longer than any answer is")
)

// End is how an interview ended without an error.
type End uint8

// The ends.
const (
	Settled    End = iota // nothing left can change what matters
	Alarmed               // what was said ends the job
	HadEnough             // the person stopped it
	nowhereYet End = 255
)

// Run asks until there is an end, and saves after every answer.
func Run(s Source, screen Screen, save func(*facts.Case) error) (End, error) {
	wrong := ""
	for {
		question, standing, left, err := s.Next()
		if err != nil {
			return nowhereYet, err
		}
		if question == nil {
			if standing != nil && standing.Alarmed {
				return Alarmed, nil
			}
			return Settled, nil
		}
		reply, err := screen.Ask(Prompt{Question: question, Number: s.Asked() + 1, Left: left,
			Settled: SettledLine(standing), Wrong: wrong})
		if err != nil {
			return nowhereYet, err
		}
		wrong = ""
		if reply.Act == Enough {
			return HadEnough, nil
		}
		changed, err := take(s, screen, question, reply)
		if err != nil {
			wrong = Plainly(err)
			continue
		}
		if changed {
			if err := save(s.Case()); err != nil {
				return nowhereYet, err
			}
		}
	}
}

// take does what a reply says; changed tells that there is something to save.
func take(s Source, screen Screen, question *inquiry.Question, r Reply) (changed bool, err error) {
	switch r.Act {
	case Help:
		screen.Tell(HelpLines(question))
	case Show:
		screen.Tell(ShownLines(s))
	case Back:
		if !s.Back() {
			return false, errors.New("this is the first question")
		}
		return true, nil
	case Correct:
		return true, correct(s, r)
	case Unknown:
		if question.Fact == nil {
			return true, s.Tick(question, nil)
		}
		return true, s.Say(question, "")
	default:
		if question.Fact == nil {
			return true, s.Tick(question, r.Marks)
		}
		return true, s.Say(question, r.Text)
	}
	return false, nil
}

// correct states an earlier fact anew; without a value it is asked again.
func correct(s Source, r Reply) error {
	if _, ok := s.Catalogue().Lookup(r.Fact); !ok {
		if near := s.Catalogue().Nearest(r.Fact); near != "" {
			return fmt.Errorf("there is no fact %q; did you mean %s?", page.Clean(r.Fact), near)
		}
	}
	return s.Correct(r.Fact, r.Text)
}

// Plainly words an error for a person: what is wrong and what would be right.
func Plainly(err error) string {
	var problems facts.Problems
	if !errors.As(err, &problems) {
		return page.Clean(err.Error())
	}
	var out []string
	for _, p := range problems {
		text := p.Message
		if p.Fix != "" {
			text += "; " + p.Fix
		}
		out = append(out, page.Clean(text))
	}
	return strings.Join(out, ". ")
}
