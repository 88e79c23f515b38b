package interview

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
)

// Lines asks in plain lines, for pipes, screen readers and simple terminals.
// All questions read from one buffer, so that no answer is lost between two.
type Lines struct {
	in    *bufio.Reader
	out   io.Writer
	began bool
}

// NewLines asks on out and reads answers from in, one a line.
func NewLines(in io.Reader, out io.Writer) *Lines {
	return &Lines{in: bufio.NewReaderSize(in, longestLine), out: out}
}

// longestLine is far more than any answer has.
const longestLine = 1 << 16

const howTo = "Empty line: I do not know. Or: ? how to find out, < back, ! what is settled so far, . enough, = FACT VALUE to correct one."

// Ask prints the question and reads until there is a reply that makes sense.
func (l *Lines) Ask(p Prompt) (Reply, error) {
	if !l.began {
		l.began = true
		l.put("", howTo)
	}
	if p.Wrong != "" {
		l.put("! ", p.Wrong)
	} else {
		fmt.Fprintln(l.out)
		if p.Settled != "" {
			l.put("So far: ", p.Settled)
		}
		l.put(strconv.Itoa(p.Number)+". ", p.Text+more(p.Left))
		l.choices(p)
	}
	for {
		fmt.Fprint(l.out, "> ")
		line, err := l.line()
		if err != nil {
			return Reply{}, err
		}
		reply, err := Read(p.Question, line)
		if err == nil {
			return reply, nil
		}
		l.put("! ", page.Clean(err.Error()))
	}
}

// more tells how many questions are open, this one included. An answer closes
// some of them and can open others.
func more(left int) string {
	switch left {
	case 0, 1:
		return "  (the last one open)"
	}
	return "  (" + strconv.Itoa(left) + " open)"
}

// choices prints what can be chosen, and for a number its form.
func (l *Lines) choices(p Prompt) {
	switch f := p.Fact; {
	case f == nil:
		for i, t := range p.Ticks {
			l.put("   "+pad(i+1)+" ", t.Text)
		}
		l.put("   ", "Numbers of what is so, 0 for none, a number with ? where you cannot tell.")
	case len(f.Words) > 0:
		for i, w := range menu(f) {
			l.put("   "+pad(i+1)+" ", w)
		}
	default:
		l.put("   ", format(f))
	}
}

func pad(i int) string {
	if i < 10 {
		return " " + strconv.Itoa(i)
	}
	return strconv.Itoa(i)
}

// Tell prints lines of help.
func (l *Lines) Tell(lines []string) {
	for _, text := range lines {
		indent := text[:len(text)-len(strings.TrimLeft(text, " "))]
		l.put("   "+indent, strings.TrimLeft(text, " "))
	}
}

// put prints text after a mark, wrapped beside it.
func (l *Lines) put(mark, text string) {
	blank := strings.Repeat(" ", page.Cells(mark))
	for _, line := range page.Wrap(text, page.Width-len(blank)) {
		fmt.Fprintln(l.out, mark+line)
		mark = blank
	}
}

// line reads one line; the last one needs no line break. The end of the input
// before any answer is ErrEnd: silence is not an answer.
func (l *Lines) line() (string, error) {
	line, err := l.in.ReadSlice('\n')
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return "", ErrTooLong
	case errors.Is(err, io.EOF) && len(line) == 0:
		fmt.Fprintln(l.out)
		return "", ErrEnd
	case err != nil && !errors.Is(err, io.EOF):
		return "", fmt.Errorf("reading the answers: %w", err)
	}
	return strings.TrimRight(string(line), "\r\n"), nil
}
