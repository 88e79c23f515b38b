package consign

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules/facts"
)

// lookFor is the look that tells a sound cell from one that nobody vouches for.
var lookFor = []string{
	"Both faces and all edges: flat, no pillow, dent, crease, hole, stain or wet edge.",
	"No smell, not warm to the back of a hand held near it.",
	"Ask where it came from: wet, dropped, overheated, wrong charger, under recall?",
	"Read the label: chemistry, cells in series, Wh.",
	"Volts at the contacts, with the probes on the contacts only.",
}

// restVolts are a resting voltage per cell at which nothing is wrong, used only
// to see what a look could change. 2.5 V suits every rechargeable kind.
const restVolts = 2.5

// looked is the case as it would stand after a look that finds nothing.
func (k *kind) looked() *facts.Case {
	return k.without(func(v facts.Value) bool { return v.State != facts.Stated })
}

// sound is the case as it would stand if it had no damage at all.
func (k *kind) sound() *facts.Case {
	c := k.without(func(facts.Value) bool { return true })
	_ = c.SetText(c.Catalogue(), "job.force_used", "no")
	return c
}

// without is the case with each sign and each bad memory taken as absent, of
// those whose value may be replaced.
func (k *kind) without(may func(facts.Value) bool) *facts.Case {
	c := k.facts.Clone()
	cat := c.Catalogue()
	set := func(fact, text string) { _ = c.SetText(cat, fact, text) }
	open := func(fact string) bool { return c.Get(fact).State != facts.Stated }
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if (f.Sign || f.History) && may(c.Get(f.Name)) {
			set(f.Name, f.Words[0])
		}
	}
	set("battery.looked", "both-faces")
	set("battery.history_asked", "yes")
	if open("battery.series_cells") {
		set("battery.series_cells", "1")
	}
	if v := c.Get("battery.series_cells"); open("battery.rest_voltage") && v.Exact() {
		set("battery.rest_voltage", trim(restVolts*v.Low)+" V")
		set("battery.volts_at", "cell")
	}
	return c
}

// look keeps what a kind would be if a look found nothing, where only that is
// missing.
func (p *packer) look(k *kind) error {
	if k.verdict.Condition != "unproven" {
		return nil
	}
	v, err := p.ask.Classify(k.looked(), p.q.Mode)
	if err != nil {
		return fmt.Errorf("classifying a cell: %w", err)
	}
	if v.TransportState == "not-damaged" {
		k.then = &v
	}
	return nil
}

// sort counts the cells that only a look keeps from being sound, and what the
// look would save.
func (p *packer) sort(now *plan) *Sort {
	var rows []string
	cells := 0
	for i, r := range p.rows {
		if p.kinds[p.of[i]].then != nil {
			rows = append(rows, r.ID)
			cells += r.Count
		}
	}
	if cells == 0 {
		return nil
	}
	then := p.plan(func(k *kind) *Verdict {
		if k.then != nil {
			return k.then
		}
		return &k.verdict
	}, nil)
	minutes := p.limits.lines["look_minutes"].Value
	s := &Sort{Cells: cells, Minutes: minutes * float64(cells), LookFor: lookFor, Rows: rows,
		PackagesNow: now.packages(), AsideNow: p.asideCells(now),
		PackagesThen: then.packages(), AsideThen: p.asideCells(then)}
	s.Text = fmt.Sprintf("%d to look at, about %s minutes each, then %s if all are sound; as they are now %s.",
		cells, trim(minutes), s.count(s.PackagesThen, s.AsideThen), s.count(s.PackagesNow, s.AsideNow))
	if s.PackagesThen == s.PackagesNow && s.AsideThen == s.AsideNow {
		s.Text = fmt.Sprintf("%d to look at, about %s minutes each. A look alone does not get them packed: see SET ASIDE for what else is open.",
			cells, trim(minutes))
	}
	return s
}

func (s *Sort) count(packages, aside int) string {
	text := plural(packages, "package", "packages")
	if aside > 0 {
		text += " and " + plural(aside, "cell", "cells") + " set aside"
	}
	return text
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// collection tells whether the way by collection box to a sorter is open to
// this holder, and for how many of the cells.
func (p *packer) collection(now *plan) (*Collection, error) {
	if p.q.Mode != "road" && p.q.Mode != "rail" {
		return nil, nil
	}
	out := &Collection{Open: "no"}
	waste, damaged := 0, 0
	for i, r := range p.rows {
		k := p.kinds[p.of[i]]
		if place := k.word("dispatch.jurisdiction"); place != "eu" && place != "uk" {
			continue
		}
		if purpose := k.word("dispatch.purpose"); !strings.Contains(purpose, "recycle") && !strings.Contains(purpose, "dispose") {
			continue
		}
		waste += r.Count
		v, err := p.toSorter(k)
		if err != nil {
			return nil, err
		}
		route := collectionBasis(v.Basis)
		if v.Allowed != "yes" || route == "" {
			continue
		}
		out.Cells += r.Count
		if k.verdict.TransportState != "not-damaged" {
			damaged += r.Count
		}
		if !slices.Contains(out.Basis, route) {
			out.Basis = append(out.Basis, route)
		}
	}
	switch {
	case waste == 0:
		return nil, nil
	case out.Cells == 0:
		out.Text = []string{"The collection box to a sorter (SP 636, SP 670) is not open to these cells."}
		return out, nil
	case out.Cells == waste:
		out.Open = "yes"
	default:
		out.Open = "partly"
	}
	line := p.limits.lines["collection_load"]
	out.Text = append(out.Text,
		fmt.Sprintf("By collection box to the sorter, under %s: %s, at most %s kg on one vehicle. The collector keeps the quality system that the rule asks for; have it in writing.",
			strings.Join(out.Basis, " and "), plural(out.Cells, "cell", "cells"), trim(line.Value)))
	if damaged > 0 {
		out.Text = append(out.Text, fmt.Sprintf("The law lets damaged small ones (%d of these), if none is critical, ride in that box as far as the sorter. Pack them as P908 anyway, as this list does (common practice).", damaged))
	}
	return out, nil
}

// toSorter is what the rulebook says of a kind on its way to a sorter. SP 636
// and SP 670 set SP 376 aside, so a cell that is damaged and not critical is
// asked for as if it were sound; one that nobody has looked at is not.
func (p *packer) toSorter(k *kind) (Verdict, error) {
	c := k.facts
	switch {
	case k.verdict.handsOff():
		return Verdict{}, nil
	case k.verdict.TransportState == "not-damaged":
	case k.verdict.TransportState == "damaged" && k.verdict.Condition != "unproven" && k.verdict.Allowed == "yes":
		c = k.sound()
	default:
		return Verdict{}, nil
	}
	if c.Get("dispatch.destination").State != facts.Stated {
		c = c.Clone()
		_ = c.SetText(c.Catalogue(), "dispatch.destination", "sorter")
	}
	v, err := p.ask.Classify(c, p.q.Mode)
	if err != nil {
		return v, fmt.Errorf("classifying a cell: %w", err)
	}
	return v, nil
}

// collectionBasis is the collection rule a verdict rests on; "" if none.
func collectionBasis(basis []string) string {
	for _, b := range basis {
		if strings.HasPrefix(b, "SP 636") || strings.HasPrefix(b, "SP 670") {
			return b
		}
	}
	return ""
}
