package proof

import (
	"fmt"
	"runtime"
	"sync"
	"time"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Options say how much to spend and what to hold a book to beyond its laws.
type Options struct {
	Invariants []book.File // statements beside the shipped ones
	OnlyLaws   []string    // nil: all laws
	Budget     int         // regions one question may cost; 0: DefaultBudget
	Workers    int         // questions at once; 0: one a processor
	Bare       bool        // leave the shipped statements out (books of a test)
	// Progress is told after each question, from several goroutines in turn.
	Progress func(done, total int)
}

// DefaultBudget settles every question about the shipped rules with room to
// spare, and costs about a second a question when it is spent.
const DefaultBudget = 1_000_000

// The days over which the law is read: from the first edition held to a year
// after the last date that any rule names.
const firstDay = "2024-01-01"

// prover holds what the questions share. Conditions are added while questions
// are gathered; from then on the arena is only read.
type prover struct {
	book   *rules.Book
	arena  *expression.Arena
	cat    *facts.Catalogue
	opts   Options
	domain *expression.Box // all facts, the law's dates
	anyDay *expression.Box // the same, on any day up to the last
	law    int             // slot of law.date
	ranks  []gradeRank
	cuts   map[int][]float64 // what rules compare numbers with
	tasks  []task

	shopRules int // rules of a shop in the book
}

// task is one question: the finding it fills, and how.
type task struct {
	Finding
	run func(w *worker, f *Finding)
}

// worker is what one goroutine needs.
type worker struct {
	*prover
	search *expression.Search
	eval   *expression.Evaluator
	point  *expression.Box
}

// Prove holds a book to its laws. The error tells of statements that cannot be
// read.
func Prove(b *rules.Book, opts Options) (*Report, error) {
	start := time.Now()
	p := newProver(b, opts)
	statements, err := p.invariants()
	if err != nil {
		return nil, err
	}
	for _, gather := range []struct {
		law string
		add func()
	}{
		{LawMonotone, p.monotone}, {LawUnknown, p.unknown}, {LawDead, p.dead}, {LawMasked, p.masked}, {LawDates, p.dates},
		{LawInvariant, func() { p.hold(statements) }},
	} {
		if p.wants(gather.law) {
			gather.add()
		}
	}
	r := &Report{Schema: Schema, Rules: len(b.Rules()), Findings: make([]Finding, len(p.tasks)), Workers: p.opts.Workers}
	r.ShopRules = p.shopRules
	days := p.domain.At(p.law)
	r.From, r.To = isoDay(days.Low), isoDay(days.High)
	r.Regions = p.answer(r.Findings)
	r.Millis = millis(time.Since(start))
	return r, nil
}

func newProver(b *rules.Book, opts Options) *prover {
	if opts.Budget == 0 {
		opts.Budget = DefaultBudget
	}
	if opts.Workers == 0 {
		opts.Workers = runtime.GOMAXPROCS(0)
	}
	p := &prover{book: b, arena: b.Arena.Clone(), cat: facts.Shipped(), opts: opts, law: b.Layout.MustSlot("law.date")}
	for i := range b.Rules() {
		if b.Rules()[i].Shop {
			p.shopRules++
		}
	}
	p.domain = expression.NewBox(b.Layout)
	last := p.lastDate() + 365
	p.domain.Set(p.law, expression.Range{Low: dayOf(firstDay), High: last})
	p.anyDay = p.domain.Clone()
	p.anyDay.Set(p.law, expression.Range{Low: b.Layout.Slots[p.law].Domain.Low, High: last})
	p.ranks, p.cuts = p.readings(), p.arena.Cuts()
	return p
}

func (p *prover) wants(law string) bool {
	if p.opts.OnlyLaws == nil {
		return true
	}
	for _, l := range p.opts.OnlyLaws {
		if l == law {
			return true
		}
	}
	return false
}

func (p *prover) add(f Finding, run func(*worker, *Finding)) {
	p.tasks = append(p.tasks, task{f, run})
}

// answer runs the questions on all workers and returns the regions visited.
func (p *prover) answer(into []Finding) int {
	var mu sync.Mutex
	var wg sync.WaitGroup
	next, done, regions := 0, 0, 0
	for range p.opts.Workers {
		wg.Go(func() {
			w := &worker{prover: p, search: expression.NewSearch(p.arena, p.opts.Budget),
				eval: expression.NewEvaluator(p.arena), point: expression.NewBox(p.book.Layout)}
			for {
				mu.Lock()
				i := next
				next++
				mu.Unlock()
				if i >= len(p.tasks) {
					break
				}
				into[i] = w.settle(&p.tasks[i])
				mu.Lock()
				done++
				if p.opts.Progress != nil {
					p.opts.Progress(done, len(p.tasks))
				}
				mu.Unlock()
			}
			mu.Lock()
			regions += w.search.Regions
			mu.Unlock()
		})
	}
	wg.Wait()
	return regions
}

func (w *worker) settle(t *task) Finding {
	start, before := time.Now(), w.search.Regions
	f := t.Finding
	t.run(w, &f)
	f.Regions = w.search.Regions - before
	f.Millis = millis(time.Since(start))
	return f
}

// lastDate is the last date that a rule, a row or a condition names, in days.
func (p *prover) lastDate() float64 {
	last := dayOf(firstDay)
	see := func(iso string) {
		if iso != "" {
			last = max(last, dayOf(iso))
		}
	}
	for i := range p.book.Rules() {
		r := &p.book.Rules()[i]
		see(r.From)
		see(r.Until)
		if r.Choose == nil {
			continue
		}
		for j := range r.Choose.Rows {
			see(r.Choose.Rows[j].From)
			see(r.Choose.Rows[j].Until)
		}
	}
	return last
}

func dayOf(iso string) float64 {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return 0
	}
	return float64(t.Unix() / 86400)
}

func isoDay(day float64) string {
	return time.Unix(int64(day)*86400, 0).UTC().Format(time.DateOnly)
}

// place is where a rule stands.
func place(at facts.Position) string {
	if at.File == "" {
		return ""
	}
	return fmt.Sprintf("%s:%d", at.File, at.Line)
}
