package advice

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// changes lists how a case differs from the benign one, for a failure's report.
func (w *testWorld) changed(c *facts.Case) (s string) {
	for i := range w.cat.Facts {
		f := &w.cat.Facts[i]
		if is, was := f.FormatValue(c.Get(f.Name)), f.FormatValue(w.base.Get(f.Name)); is != was {
			s += "  " + f.Name + ": " + is + " (was " + was + ")\n"
		}
	}
	return s
}

// statedNames lists the facts a case states that a rule could read.
func (w *testWorld) statedNames(c *facts.Case) []string {
	var out []string
	for _, name := range c.Names() {
		if f, _ := w.cat.Lookup(name); c.Get(name).State == facts.Stated && f.Kind != facts.Text && f.Kind != facts.Layers {
			out = append(out, name)
		}
	}
	return out
}

// Unknown never permits: taking any stated fact back to unknown gives no
// permission that was not there and raises no cap.
func TestUnknownNeverPermits(t *testing.T) {
	w := newWorld(t)
	rapid.Check(t, func(t *rapid.T) {
		c := w.anyCase(t)
		was := w.permitted(c)
		for _, name := range w.statedNames(c) {
			d := c.Clone()
			d.Set(name, facts.Value{State: facts.Unknown})
			if more := w.permitted(d).beyond(was); len(more) > 0 {
				t.Errorf("%s unknown permits %v; the benign case with\n%s", name, more, w.changed(c))
			}
		}
	})
}

// Cases that once broke the law, kept by name.
func TestUnknownNeverPermitsWhatWasRefused(t *testing.T) {
	w := newWorld(t)
	signs := []string{"battery.swelling", "battery.deformation", "battery.puncture", "battery.odour", "battery.venting"}
	for _, c := range []struct {
		name    string
		stated  map[string]string
		unsaid  []string
		unknown string
	}{
		{"a card that was tried makes the look stale", map[string]string{"job.tried": "[card]"}, append(signs, "job.force_used"), "job.tried"},
		{"a solvent that was tried bars heat", map[string]string{"job.tried": "[solvent]", "adhesive.kind": "plain-tape"}, []string{"adhesive.solvent_used"}, "job.tried"},
		{"a warming that was tried counts", map[string]string{"job.tried": "[warm]", "battery.temperature": "30..41 degC", "bench.air_temperature": "40 degC"}, []string{"job.warmings"}, "job.tried"},
		{"a power bank has more cells than a label shows", map[string]string{"battery.role": "power-bank"}, []string{"battery.series_cells", "device.kind"}, "battery.role"},
		{"volts printed on a laptop", map[string]string{"device.kind": "laptop", "battery.nominal_voltage": "11.4 V", "battery.rest_voltage": "10.2 V"}, []string{"battery.series_cells", "battery.charge_limit"}, "battery.nominal_voltage"},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := w.base.Clone()
			for name, text := range c.stated {
				if err := k.SetText(w.cat, name, text); err != nil {
					t.Fatal(err)
				}
			}
			for _, name := range c.unsaid {
				k.Unset(name)
			}
			was := w.permitted(k)
			k.Set(c.unknown, facts.Value{State: facts.Unknown})
			if more := w.permitted(k).beyond(was); len(more) > 0 {
				t.Errorf("%s unknown permits %v", c.unknown, more)
			}
		})
	}
}

// Two facts at once are no different.
func TestUnknownPairsNeverPermit(t *testing.T) {
	w := newWorld(t)
	rapid.Check(t, func(t *rapid.T) {
		c := w.anyCase(t)
		was := w.permitted(c)
		names := w.statedNames(c)
		if len(names) < 2 {
			return
		}
		for range 20 {
			d := c.Clone()
			one, other := rapid.SampledFrom(names).Draw(t, "one"), rapid.SampledFrom(names).Draw(t, "other")
			d.Set(one, facts.Value{State: facts.Unknown})
			d.Set(other, facts.Value{State: facts.Unknown})
			if more := w.permitted(d).beyond(was); len(more) > 0 {
				t.Errorf("%s and %s unknown permit %v; the benign case with\n%s", one, other, more, w.changed(c))
			}
		}
	})
}

// Worse never permits: moving an ordered fact to a worse value, as the
// catalogue has it, gives no permission that was not there and raises no cap.
func TestWorseNeverPermits(t *testing.T) {
	w := newWorld(t)
	rapid.Check(t, func(t *rapid.T) {
		c := w.anyCase(t)
		was := w.permitted(c)
		for _, name := range w.statedNames(c) {
			f, _ := w.cat.Lookup(name)
			if f.Worse == facts.NoOrder {
				continue
			}
			d := c.Clone()
			d.Set(name, w.worsened(t, f, c.Get(name)))
			if more := w.permitted(d).beyond(was); len(more) > 0 {
				t.Errorf("%s worsened to %s permits %v; the benign case with\n%s", name, f.FormatValue(d.Get(name)), more, w.changed(c))
			}
		}
	})
}

// worsened is a value as the catalogue has it worse, or the same at the end.
func (w *testWorld) worsened(t *rapid.T, f *facts.Fact, v facts.Value) facts.Value {
	if f.Kind == facts.Words {
		high := 0
		for i := range f.Words {
			if v.Has(i) {
				high = i
			}
		}
		v.Words = 1 << rapid.IntRange(high, len(f.Words)-1).Draw(t, "worse")
		return v
	}
	x := rapid.SampledFrom(w.at[f.Name]).Draw(t, "worse")
	if f.Worse == facts.HigherWorse {
		v.Low, v.High = max(v.Low, x), max(v.High, x)
	} else {
		v.Low, v.High = min(v.Low, x), min(v.High, x)
	}
	return v
}

// The same case, date and rules give the same bytes, also from a rulebook that
// was read anew.
func TestSameInputSameBytes(t *testing.T) {
	w := newWorld(t)
	again, err := book.With()
	if err != nil {
		t.Fatal(err)
	}
	cases := rapid.Custom(w.anyCase)
	for seed := range 12 {
		c := cases.Example(seed)
		var first []byte
		for i, b := range []*rules.Book{w.book, w.book, again} {
			a, err := Advise(b, c.Clone(), w.opts)
			if err != nil {
				t.Fatal(err)
			}
			out, err := json.Marshal(a)
			if err != nil {
				t.Fatal(err)
			}
			if i == 0 {
				first = out
			} else if string(out) != string(first) {
				t.Errorf("case %d: run %d differs\n%s\n%s\nthe benign case with\n%s", seed, i+1, first, out, w.changed(c))
			}
		}
	}
}

// exactFacts are the facts over whose completions the engine answers exactly:
// words, and numbers that nothing else is computed from.
func (w *testWorld) exactFacts() []string {
	parents := map[string]bool{}
	for i := range w.cat.Facts {
		for _, p := range w.cat.Facts[i].Parents {
			parents[p.Name] = true
		}
	}
	var out []string
	for _, name := range w.names {
		if f, _ := w.cat.Lookup(name); f.Kind == facts.Words || f.Kind != facts.Members && !parents[name] {
			out = append(out, name)
		}
	}
	return out
}

// mostCompletions keeps a brute force within a second.
const mostCompletions = 400

// With up to six facts unknown, what may be is what trying every completion
// finds: the engine is not open because it could not be bothered.
func TestMayEqualsBruteForce(t *testing.T) {
	w := newWorld(t)
	names := w.exactFacts()
	cases := rapid.Custom(func(t *rapid.T) bruteCase { return w.partlyUnknown(t, names) })
	decided := map[expression.Truth]int{}
	for seed := range 24 {
		c := cases.Example(seed)
		r := resolve(w.book.Layout, c.Case, today)
		q := w.book.Ask(r.full, r.alarm)
		for _, p := range permissionsOffered(w) {
			ref := w.book.May(p)
			q.About(r.full, r.alarm)
			got := q.Explore(ref)
			decided[got]++
			if want := w.bruteForce(q, ref, r.full, c.open); got != want {
				t.Errorf("case %d, %s: %v, by trying every completion %v", seed, p, got, want)
			}
		}
	}
	t.Logf("%v", decided)
}

// What may be is never less than what some completion finds, also where the
// unknown facts are such that others follow from them. There the engine may be
// open although every completion agrees; how often is logged.
func TestMayCoversEveryCompletion(t *testing.T) {
	w := newWorld(t)
	var names []string
	for _, name := range w.names {
		if f, _ := w.cat.Lookup(name); f.Kind != facts.Members {
			names = append(names, name)
		}
	}
	cases := rapid.Custom(func(t *rapid.T) bruteCase { return w.partlyUnknown(t, names) })
	blurred, all := 0, 0
	for seed := range 24 {
		c := cases.Example(seed)
		r := resolve(w.book.Layout, c.Case, today)
		q := w.book.Ask(r.full, r.alarm)
		for _, p := range permissionsOffered(w) {
			ref := w.book.May(p)
			q.About(r.full, r.alarm)
			got := q.Explore(ref)
			want := w.bruteForce(q, ref, r.full, c.open)
			if want&^got != 0 {
				t.Errorf("case %d, %s: %v, yet some completion makes it %v", seed, p, got, want)
			}
			if all++; got != want {
				blurred++
			}
		}
	}
	t.Logf("%d of %d answers are open though the completions tried agree", blurred, all)
}

type bruteCase struct {
	*facts.Case
	open []int
}

// partlyUnknown draws a case with up to six facts unknown, few enough in values
// to try them all.
func (w *testWorld) partlyUnknown(t *rapid.T, names []string) bruteCase {
	c := bruteCase{Case: w.anyCase(t)}
	n := 1
	for range 12 {
		name := rapid.SampledFrom(names).Draw(t, "unknown")
		slot := w.book.Layout.MustSlot(name)
		if k := len(w.completions(slot)); len(c.open) < 6 && n*k <= mostCompletions {
			n *= k
			c.open = append(c.open, slot)
			c.Set(name, facts.Value{State: facts.Unknown})
		}
	}
	return c
}

// completions lists the values of a slot that stand for all of them.
func (w *testWorld) completions(slot int) []expression.Range {
	s := &w.book.Layout.Slots[slot]
	var out []expression.Range
	if s.Finite {
		for i := range s.Fact.Words {
			out = append(out, expression.Word(i))
		}
		return out
	}
	for _, x := range w.at[s.Name] {
		out = append(out, expression.Exactly(x))
	}
	return out
}

func (w *testWorld) bruteForce(q *rules.Question, ref expression.Ref, b *expression.Box, open []int) expression.Truth {
	if len(open) == 0 {
		q.About(b, b)
		is := q.Explore(ref)
		if b.Empty() {
			return 0 // what is stated contradicts this completion
		}
		return is
	}
	var seen expression.Truth
	for _, r := range w.completions(open[0]) {
		one := b.Clone()
		one.Narrow(open[0], r)
		if seen |= w.bruteForce(q, ref, one, open[1:]); seen == expression.Open {
			break
		}
	}
	return seen
}
