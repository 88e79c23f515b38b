package triage

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"sync"
	"sync/atomic"

	"loosecell/rules/advice"
)

// The size of a batch: enough that handing it over costs nothing beside it, and
// little enough to stay in a processor's cache.
const (
	batchRows  = 64
	batchBytes = 1 << 15
)

// batch is a run of rows on its way from the input to the output.
type batch struct {
	text    []byte
	rows    []span
	bytes   int64 // of the input taken when the batch was full
	out     []byte
	bad     []Bad
	summary Summary
	err     error
	done    chan struct{}
}

// span is one row of a batch.
type span struct {
	from, to int // in batch.text
	line     int
	broken   string
}

// pipeline is one run: one goroutine parts the input into batches, the workers
// answer them, and the caller's writes them in the order of the input. The
// number of batches under way is fixed, and so is the memory.
type pipeline struct {
	options Options
	source  *records
	workers []*worker
	writer  writer
	out     io.Writer

	free    chan *batch
	work    chan *batch
	ordered chan *batch
	stop    atomic.Bool
	readErr error
}

func (p *pipeline) run(ctx context.Context) (Summary, error) {
	n := 3*len(p.workers) + 2
	p.free, p.work, p.ordered = make(chan *batch, n), make(chan *batch, n), make(chan *batch, n)
	for range n {
		p.free <- &batch{done: make(chan struct{}, 1)}
	}
	defer context.AfterFunc(ctx, func() { p.stop.Store(true) })()
	var all sync.WaitGroup
	for _, w := range p.workers {
		all.Go(func() {
			for b := range p.work {
				w.answer(b, &p.stop)
				b.done <- struct{}{}
			}
		})
	}
	all.Go(p.feed)
	total, err := p.collect(ctx)
	all.Wait()
	if ctx.Err() != nil {
		return total, context.Cause(ctx)
	}
	return total, errors.Join(err, p.readErr)
}

// feed parts the input into batches.
func (p *pipeline) feed() {
	defer close(p.ordered)
	defer close(p.work)
	now := <-p.free
	hand := func() {
		if len(now.rows) == 0 {
			return
		}
		now.bytes = p.source.taken
		p.ordered <- now
		p.work <- now
		now = <-p.free
	}
	// Whoever feeds rows slowly sees answers as soon as there is nothing to read.
	p.source.idle = hand
	for !p.stop.Load() {
		rec, err := p.source.next()
		if err != nil {
			if !errors.Is(err, io.EOF) {
				p.readErr = fmt.Errorf("reading %s: %w", p.options.Name, err)
			}
			break
		}
		from := len(now.text)
		now.text = append(now.text, rec.text...)
		now.rows = append(now.rows, span{from, len(now.text), rec.line, rec.broken})
		if len(now.rows) == batchRows || len(now.text) >= batchBytes {
			hand()
		}
	}
	hand()
}

// collect writes finished batches in order. After a failure, or when ctx has
// ended, it only drains.
func (p *pipeline) collect(ctx context.Context) (Summary, error) {
	total := newSummary(p.options.Answers)
	var failed error
	for b := range p.ordered {
		<-b.done
		if failed == nil && ctx.Err() == nil {
			failed = p.write(b, &total)
		}
		if failed != nil {
			p.stop.Store(true)
		}
		b.empty()
		p.free <- b
	}
	return total, failed
}

func (p *pipeline) write(b *batch, total *Summary) error {
	if b.err != nil {
		return b.err
	}
	if len(b.out) > 0 {
		if _, err := p.out.Write(b.out); err != nil {
			return fmt.Errorf("writing the answers: %w", err)
		}
	}
	for _, bad := range b.bad {
		if err := p.options.Bad(bad); err != nil {
			return fmt.Errorf("writing the bad rows: %w", err)
		}
	}
	total.add(&b.summary)
	if p.options.Progress != nil {
		p.options.Progress(total.Rows, total.BadRows, b.bytes)
	}
	return nil
}

func (b *batch) empty() {
	b.text, b.rows, b.out, b.bad, b.err = b.text[:0], b.rows[:0], b.out[:0], b.bad[:0], nil
}

func newSummary(asked []advice.Answer) Summary {
	var s Summary
	for i := range asked {
		if a := &asked[i]; tallied(a) {
			s.Tallies = append(s.Tallies, Tally{Answer: a.Name, Words: append([]string{}, a.Words...), Cells: make([]int, len(a.Words))})
		}
	}
	return s
}

// worker answers batches, in memory of its own.
type worker struct {
	reader  reader
	row     *row
	desk    *advice.Desk
	asked   []advice.Answer
	answers []string
	writer  *writer
}

// answer answers a batch, or less of it once stop is set and nobody will write
// it. A panic below is a fault of the program and must never look like an answer:
// it ends the run.
func (w *worker) answer(b *batch, stop *atomic.Bool) {
	defer func() {
		if fault := recover(); fault != nil {
			b.err = fmt.Errorf("triage: a fault of the program: %v\n%s", fault, debug.Stack())
		}
	}()
	b.summary = newSummary(w.asked)
	for _, s := range b.rows {
		if stop.Load() {
			return
		}
		b.summary.Rows++
		if b.err = w.one(b, s); b.err != nil {
			return
		}
		if len(w.row.bad) > 0 {
			b.summary.BadRows++
			b.bad = append(b.bad, w.row.bad...)
		}
	}
}

// one answers a row, or leaves in w.row what is wrong with it.
func (w *worker) one(b *batch, s span) error {
	r := w.row
	if !r.take(w.reader, s.line, s.broken, string(b.text[s.from:s.to])) {
		return nil
	}
	var err error
	if w.answers, err = w.desk.Answers(r.facts, w.answers[:0]); err != nil {
		return err
	}
	b.out = w.writer.row(b.out, r.line, r.echo, w.answers)
	b.summary.Cells += r.count
	tally := 0
	for i := range w.asked {
		if tallied(&w.asked[i]) {
			b.summary.Tallies[tally].count(w.answers[i], w.asked[i].List, r.count)
			tally++
		}
	}
	return nil
}
