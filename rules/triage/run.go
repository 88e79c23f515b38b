package triage

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"slices"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// Options are what is asked of a run.
type Options struct {
	Name    string          // of the input, in messages
	Answers []advice.Answer // in the order of the output
	Keep    []string        // columns that are no facts, copied to the output
	Format  Format          // of the output; "" is that of the input
	Shop    *facts.Case     // what holds for every cell; nil if nothing
	Advice  advice.Options
	Workers int // 0: one a processor

	Bad      func(Bad) error // takes what is wrong with rows, in their order
	Progress func(rows, badRows int, bytes int64)
}

// DefaultAnswers are what a collection point sorts by.
var DefaultAnswers = []string{"verdict", "condition", "transport_state", "storage.class"}

// reader reads rows of one input format. Each worker has its own.
type reader interface {
	read(text string, r *row)
	heading(column int) string
	clone(cat *facts.Catalogue) (reader, error)
}

// Run answers every row of in, in order, and writes the answers to out. What is
// wrong with the input as a whole is facts.Problems, and then nothing was
// written; a row that cannot be read goes to o.Bad. Input without anything in it
// has no rows, and nothing is written. Where the book has a rule of a shop that
// loosens a shipped one, advice.Relaxed is the last answer unless o asks for it.
// When ctx ends, also while the input is waited for, it returns the cause of that
// at once; the rows written by then are whole.
func Run(ctx context.Context, b *rules.Book, in io.Reader, out io.Writer, o Options) (Summary, error) {
	cat := facts.Shipped()
	o.Answers = withRelaxed(b, o.Answers)
	src := newRecords(&stoppable{ctx, in})
	rows, format, echo, err := opened(cat, src, o)
	switch {
	case ctx.Err() != nil:
		return Summary{}, context.Cause(ctx)
	case errors.Is(err, io.EOF):
		return newSummary(o.Answers), nil
	case err != nil:
		return Summary{}, err
	}
	separator := byte(',')
	if t, ok := rows.(*table); ok {
		separator = t.separator
	}
	if o.Format != "" {
		format = o.Format
	}
	w := writer{format: format, separator: separator, names: append([]string{}, echo...)}
	for _, a := range o.Answers {
		w.names = append(w.names, a.Name)
	}
	if _, err := out.Write(w.heading()); err != nil {
		return Summary{}, fmt.Errorf("writing the answers: %w", err)
	}
	line := &pipeline{options: o, out: out, source: src, writer: w}
	workers := o.Workers
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	for range workers {
		own, err := rows.clone(cat)
		if err != nil {
			return Summary{}, err
		}
		line.workers = append(line.workers, &worker{
			reader: own, row: newRow(cat, o.Shop, len(echo)), writer: &line.writer,
			desk: advice.NewDesk(b, o.Advice, o.Answers...), asked: o.Answers,
		})
	}
	return line.run(ctx)
}

// withRelaxed adds to the answers asked for which rules of the shop loosen a
// shipped one, where some can: nobody is to read a "yes" without them.
func withRelaxed(b *rules.Book, asked []advice.Answer) []advice.Answer {
	if !slices.ContainsFunc(b.Rules(), func(r rules.Rule) bool { return r.Relaxes != nil }) ||
		slices.ContainsFunc(asked, func(a advice.Answer) bool { return a.Name == advice.Relaxed }) {
		return asked
	}
	relaxed, err := advice.FindAnswer(advice.Relaxed)
	if err != nil {
		panic(err) // it is an answer
	}
	return append(slices.Clone(asked), relaxed)
}
