// Package examine puts the cards of a quiz to a person in a terminal, line by
// line, and keeps the record of how it went.
package examine

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/handout"
	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/quiz"
)

// longestLine is far more than any answer has.
const longestLine = 1 << 12

// The ways a quiz can end before its last card.
var (
	ErrEnd  = errors.New("the input ended before the quiz did; nothing is recorded")
	ErrQuit = errors.New("the quiz was broken off; nothing is recorded")
)

// Result is how a quiz went.
type Result struct {
	Right int
	Bold  int      // wrong answers that dare more than the right one
	Wrong []string // the scenes of the cards that were answered wrongly
	Cards int
}

// passShare is the part of the cards that has to be right.
const passShare = 0.8

// Passed tells that enough was right and nothing was too bold (common practice:
// the law asks for a test and names no mark, 49 CFR 172.702(d)).
func (r Result) Passed() bool {
	return r.Bold == 0 && float64(r.Right) >= passShare*float64(r.Cards)-1e-9
}

// Line is the result in one sentence.
func (r Result) Line() string {
	text := fmt.Sprintf("%d of %d right", r.Right, r.Cards)
	if r.Bold > 0 {
		text += fmt.Sprintf(", %d bolder than is safe", r.Bold)
	}
	if r.Passed() {
		return text + ": passed."
	}
	return text + ": not passed (80 % right and none too bold)."
}

// Run asks every card. All of them read from one buffer, so that no answer is
// lost between two.
func Run(in io.Reader, out io.Writer, cards []quiz.Card) (Result, error) {
	e := &examiner{in: bufio.NewReaderSize(in, longestLine), out: out}
	r := Result{Cards: len(cards)}
	e.put("", "What a card does not mention is as it should be. Answer with a letter; q ends the quiz without a record.")
	for i := range cards {
		c := &cards[i]
		word, err := e.ask(c, len(cards))
		if err != nil {
			return r, err
		}
		e.tell(c, word)
		switch {
		case word == c.Answer:
			r.Right++
		default:
			r.Wrong = append(r.Wrong, c.Scene)
			if c.Bold(word) {
				r.Bold++
			}
		}
	}
	fmt.Fprintln(out)
	e.put("", r.Line())
	return r, nil
}

type examiner struct {
	in  *bufio.Reader
	out io.Writer
}

// ask prints a card and reads until there is an answer to it.
func (e *examiner) ask(c *quiz.Card, of int) (word string, err error) {
	fmt.Fprintln(e.out)
	e.put(strconv.Itoa(c.Number)+"/"+strconv.Itoa(of)+"  ", c.Story)
	for _, k := range c.Known {
		e.put("     - ", k.Ask+" "+k.Value)
	}
	e.put("     ", c.Question)
	for _, o := range c.Options {
		e.put("     "+handout.Letter(c, o.Word)+") ", o.Text)
	}
	for {
		fmt.Fprint(e.out, "> ")
		line, err := e.line()
		if err != nil {
			return "", err
		}
		answer := strings.ToLower(strings.TrimRight(strings.TrimSpace(line), ")."))
		if answer == "q" || answer == "quit" {
			return "", ErrQuit
		}
		for _, o := range c.Options {
			if answer == handout.Letter(c, o.Word) {
				return o.Word, nil
			}
		}
		e.put("! ", "Answer with "+handout.Letter(c, c.Options[0].Word)+" to "+handout.Letter(c, c.Options[len(c.Options)-1].Word)+", or q to end.")
	}
}

// tell says whether it was right, why, and what would make it another answer.
func (e *examiner) tell(c *quiz.Card, word string) {
	switch {
	case word == c.Answer:
		e.put("  Right. ", "")
	case c.Bold(word):
		e.put("  No, and too bold. ", "It is "+handout.Letter(c, c.Answer)+") "+c.Right())
	default:
		e.put("  No. ", "It is "+handout.Letter(c, c.Answer)+") "+c.Right())
	}
	for _, l := range c.Because {
		e.put("    Why: ", l.Text)
	}
	e.put("    ", handout.FlipLine(c))
	for _, l := range c.Flip.Because {
		e.put("    Why: ", l.Text)
	}
}

// put prints text after a mark, wrapped beside it.
func (e *examiner) put(mark, text string) {
	lines := page.Wrap(page.Clean(text), page.Width-page.Cells(mark))
	if len(lines) == 0 {
		fmt.Fprintln(e.out, strings.TrimRight(mark, " "))
	}
	for _, line := range lines {
		fmt.Fprintln(e.out, mark+line)
		mark = strings.Repeat(" ", page.Cells(mark))
	}
}

// line reads one line. A line without its break at the end of the input counts;
// the end before any letter is ErrEnd.
func (e *examiner) line() (string, error) {
	line, err := e.in.ReadSlice('\n')
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return "", errors.New("an answer is longer than any answer is")
	case errors.Is(err, io.EOF) && len(line) == 0:
		fmt.Fprintln(e.out)
		return "", ErrEnd
	case err != nil && !errors.Is(err, io.EOF):
		return "", fmt.Errorf("reading the answers: %w", err)
	}
	return string(line), nil
}
