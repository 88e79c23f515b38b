package consign

import (
	"fmt"
	"math"
	"slices"

	"loosecell/rules/facts"
)

// Build sorts and packs a list. The error is of type facts.Problems where rows
// and request contradict each other, and tells of a bad request otherwise.
// The same rows, request and rulebook give the same answer.
func Build(rows []Row, q Request, ask Classifier) (*Consignment, error) {
	if err := q.Check(); err != nil {
		return nil, err
	}
	if problems := q.against(rows); len(problems) > 0 {
		return nil, problems
	}
	p := &packer{rows: rows, ask: &remembering{Classifier: ask, known: map[string]Verdict{}}, q: q, limits: shippedLimits()}
	p.kinds, p.of = kinds(rows, q)
	if err := p.classify(); err != nil {
		return nil, err
	}
	now, packed, err := p.settle()
	if err != nil {
		return nil, err
	}
	out := p.written(now, packed)
	out.Sort = p.sort(now)
	if out.Collection, err = p.collection(now); err != nil {
		return nil, err
	}
	return out, nil
}

// remembering asks the same question once.
type remembering struct {
	Classifier
	known map[string]Verdict
}

func (r *remembering) Classify(c *facts.Case, mode string) (Verdict, error) {
	key := mode + "\n" + string(c.YAML())
	if v, ok := r.known[key]; ok {
		return v, nil
	}
	v, err := r.Classifier.Classify(c, mode)
	if err == nil {
		r.known[key] = v
	}
	return v, err
}

func (p *packer) classify() error {
	for _, k := range p.kinds {
		v, err := p.ask.Classify(k.facts, p.q.Mode)
		if err != nil {
			return fmt.Errorf("classifying a cell: %w", err)
		}
		k.verdict, k.then = v, nil
		k.measure()
		if err := p.look(k); err != nil {
			return err
		}
	}
	return nil
}

// seal is what the rulebook says of a package as it was filled.
type seal struct {
	scheme  *Scheme
	verdict Verdict
}

// mostRounds bounds how often a plan is drawn anew because a package, as
// packed, is not allowed after all. Each round sets at least one kind aside.
const mostRounds = 8

// settle plans, puts every package to the rulebook as it is packed, and plans
// anew without the kinds that may not travel so.
func (p *packer) settle() (*plan, map[*bin]seal, error) {
	if err := p.load(); err != nil {
		return nil, nil, err
	}
	barred := map[int]refusal{}
	asItIs := func(k *kind) *Verdict { return &k.verdict }
	for round := 0; ; round++ {
		pl := p.plan(asItIs, barred)
		seals, more, err := p.seal(pl)
		if err != nil {
			return nil, nil, err
		}
		if len(more) == 0 {
			return pl, seals, nil
		}
		for k, why := range more {
			barred[k] = why
		}
		if round == mostRounds {
			for i := range p.kinds {
				if _, ok := barred[i]; !ok && p.inPlan(pl, i) {
					barred[i] = refusal{"the packages could not be settled", []string{"Pack it by hand with a dangerous-goods adviser."}}
				}
			}
		}
	}
}

func (p *packer) inPlan(pl *plan, kind int) bool {
	for _, g := range pl.groups {
		for _, it := range g.items {
			if p.of[it.row] == kind {
				return true
			}
		}
	}
	return false
}

// load asks again with the whole load on one vehicle where that passes a line:
// over it, the collection rules do not hold for any of them.
func (p *packer) load() error {
	pl := p.plan(func(k *kind) *Verdict { return &k.verdict }, nil)
	kilos, line := 0.0, math.Inf(1)
	for _, g := range pl.groups {
		if math.IsInf(g.scheme.LoadKg, 1) {
			continue
		}
		line = min(line, g.scheme.LoadKg)
		for _, it := range g.items {
			kilos += float64(it.count) * float64(it.netMg) / 1e6
		}
	}
	for _, k := range p.kinds {
		if v := k.facts.Get("dispatch.load_per_vehicle"); v.At.Line > 0 && v.High >= kilos {
			continue // someone said so
		}
		text := fmt.Sprintf("..%s kg", trim(max(kilos, 1)))
		if kilos > line {
			text = trim(kilos) + " kg"
		}
		_ = k.facts.SetText(k.facts.Catalogue(), "dispatch.load_per_vehicle", text)
	}
	if kilos > line {
		return p.classify()
	}
	return nil
}

// seal puts every package to the rulebook as it is packed. It returns what the
// rulebook says of each, and the kinds that may not travel so.
func (p *packer) seal(pl *plan) (map[*bin]seal, map[int]refusal, error) {
	seals := map[*bin]seal{}
	barred := map[int]refusal{}
	packages := pl.packages()
	for _, g := range pl.groups {
		for i := range g.bins {
			b := &g.bins[i]
			var asked []int
			s := seal{scheme: g.scheme}
			for _, h := range b.holds {
				k := p.of[h.row]
				if slices.Contains(asked, k) {
					continue
				}
				asked = append(asked, k)
				v, err := p.ask.Classify(p.packed(p.kinds[k], b, g, packages, 0), p.q.Mode)
				if err != nil {
					return nil, nil, fmt.Errorf("classifying a package: %w", err)
				}
				if v.Allowed != "yes" {
					why := refusal{"as packed it is not allowed", p.next(p.kinds[k], &v)}
					if len(v.Why) > 0 {
						why.reason = "as packed: " + lowerFirst(v.Why[0])
					}
					barred[k] = why
					continue
				}
				if len(asked) == 1 {
					s.verdict = v
				} else {
					s.verdict.merge(v)
				}
			}
			place := p.kinds[p.of[b.holds[0].row]].word("dispatch.jurisdiction")
			if as := p.limits.schemeFor(s.verdict.Basis, g.verdict.TransportState, p.q.Mode, place, g.form); as != nil {
				s.scheme = as
			}
			seals[b] = s
		}
	}
	return seals, barred, nil
}

// merge adds what another kind in the same package asks for.
func (v *Verdict) merge(o Verdict) {
	union := func(to *[]string, more []string) {
		for _, s := range more {
			if !slices.Contains(*to, s) {
				*to = append(slices.Clone(*to), s)
			}
		}
	}
	union(&v.Basis, o.Basis)
	union(&v.Packing, o.Packing)
	union(&v.Marks, o.Marks)
	union(&v.Documents, o.Documents)
	union(&v.Notes, o.Notes)
}
