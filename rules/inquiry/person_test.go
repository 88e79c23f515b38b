package inquiry

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

var today = time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)

func shipped(t testing.TB) *rules.Book {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// person answers questions from what a full case says. What the case does not
// mention, and no look or question of it denies, the person does not know.
type person struct {
	full *facts.Case
	cat  *facts.Catalogue
}

func (p person) answer(t testing.TB, q *Inquiry, question *Question) {
	t.Helper()
	var err error
	if question.Fact != nil {
		v := p.full.Get(question.Fact.Name)
		text := question.Fact.FormatValue(v)
		err = q.Say(question, text)
	} else {
		marks := make([]Mark, len(question.Ticks))
		known := false
		for i, tick := range question.Ticks {
			marks[i] = p.mark(tick.sets[0])
			if tick.sets[0].value[0] != '+' || marks[i] != NotSo {
				for _, s := range tick.sets[1:] {
					marks[i] = max(marks[i], p.mark(s))
				}
			}
			known = known || marks[i] != CantSay
		}
		if !known {
			marks = nil
		}
		err = q.Tick(question, marks)
	}
	if err != nil {
		t.Fatalf("%s: %v", question.ID, err)
	}
}

func (p person) mark(s set) Mark {
	f, _ := p.cat.Lookup(s.fact)
	v := p.full.Get(s.fact)
	if s.fact == "battery.self_heating" && v.State == facts.Missing && p.measuredWarm() {
		return CantSay // the thermometer tells, the hand does not
	}
	if v.State != facts.Stated {
		if v.State == facts.Missing && p.denied(f) {
			return NotSo
		}
		return CantSay
	}
	if s.value[0] == '+' {
		i, _ := f.Word(s.value[1:])
		if v.Has(i) {
			return So
		}
		return NotSo
	}
	set := uint64(0)
	for w := range strings.SplitSeq(s.value, "|") {
		one, _ := f.Set(w)
		set |= one
	}
	switch {
	case v.Words&^set == 0:
		return So
	case v.Words&set == 0:
		return NotSo
	}
	return CantSay
}

// measuredWarm tells that the case has a reading 5 K or more over its room.
func (p person) measuredWarm() bool {
	cell, air := p.full.Get("battery.temperature"), p.full.Get("bench.air_temperature")
	return cell.State == facts.Stated && (air.State != facts.Stated || cell.High-air.Low >= 5)
}

// denied tells that the case, being silent on a fact, denies it.
func (p person) denied(f *facts.Fact) bool {
	switch {
	case f.Sign:
		looked, _ := p.cat.Lookup("battery.looked")
		need, _ := looked.Word(f.SeenBy)
		place := p.full.Get("battery.place")
		if place.State == facts.Stated && place.Words == 1<<removed && f.SeenBy == "opened" {
			need = 0
		}
		v, force := p.full.Get("battery.looked"), p.full.Get("job.force_used")
		stale := force.State == facts.Unknown || force.State == facts.Stated && force.Words != 1
		return v.State == facts.Stated && !stale && v.Words>>(need+1) == 0
	case f.History:
		v := p.full.Get("battery.history_asked")
		return v.State == facts.Stated && v.Words == 1
	case f.Name == "job.tried" || f.Name == "job.force_used" || f.Name == "adhesive.solvent_used":
		return true // a case is the record of its job
	}
	return false
}

type scenario struct {
	name string
	full *facts.Case
}

// scenarios are the cases of testdata, those without a bench over the shop file.
func scenarios(t testing.TB) []scenario {
	t.Helper()
	files, err := filepath.Glob("../../testdata/cases/[0-9]*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no cases", err)
	}
	read := func(file string, parse func(*facts.Catalogue, string, []byte) (*facts.Case, error)) *facts.Case {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		c, err := parse(facts.Shipped(), file, data)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	shop := read("../../testdata/shops/harbour-lane.yaml", facts.ParseShop)
	var out []scenario
	for _, file := range files {
		c := read(file, facts.ParseCase)
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		if strings.HasPrefix(name, "9") {
			c = c.Over(shop)
		}
		out = append(out, scenario{name, c})
	}
	return out
}

func answersOf(t testing.TB, b *rules.Book, c *facts.Case) [][2]string {
	t.Helper()
	s, err := advice.NewReckoner(b, c.Catalogue(), advice.Options{Now: today}).Standing(c)
	if err != nil {
		t.Fatal(err)
	}
	return s.Answers()
}
