package advice

import (
	"fmt"

	"loosecell/rules"
	"loosecell/rules/facts"
)

// Desk answers many cases from one rulebook: of each only what it was told to,
// and without the words of a sheet. It answers as Advise would, keeps its memory
// from case to case, and is used by one goroutine at a time.
type Desk struct {
	asked []Answer
	until stage
	fill  bool // some answer is a sentence with this case's numbers
	boxes resolved
	adviser
}

// NewDesk opens a desk that gives the answers in the order asked for.
func NewDesk(b *rules.Book, opts Options, asked ...Answer) *Desk {
	d := &Desk{asked: asked, adviser: adviser{book: b, cat: facts.Shipped(), opts: opts}, boxes: resolved{brief: true}}
	for i := range asked {
		a := &asked[i]
		d.until = max(d.until, a.needs(b))
		d.fill = d.fill || a.sentence
	}
	return d
}

// Answers appends the answers for a case to a list, "" where there is none. The
// error tells of bad options.
func (d *Desk) Answers(c *facts.Case, to []string) ([]string, error) {
	date, err := dateOf(c, d.opts)
	if err != nil {
		return to, err
	}
	d.boxes.resolve(d.book.Layout, c, date)
	o := &outcome{resolved: &d.boxes}
	d.turn(o)
	if d.until >= graded {
		o.grade()
		o.answerGrade()
	}
	if d.until >= planned {
		o.decide()
		o.plan(&d.adviser)
	}
	w := &deskWriter{writer: writer{adviser: &d.adviser, outcome: o}}
	if d.fill {
		w.fill = o.placeholders()
	}
	for i := range d.asked {
		text, err := d.asked[i].of(w)
		if err != nil {
			return to, fmt.Errorf("%s: %w", d.asked[i].Name, err)
		}
		to = append(to, text)
	}
	return to, nil
}
