package derive_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"loosecell/battery"
	"loosecell/rules/derive"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

func layout(t testing.TB) *expression.Layout {
	l, err := derive.Layout(facts.Shipped())
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// ancestors lists the stated facts a derived fact rests on, through others.
func ancestors(l *expression.Layout, f *facts.Fact) []int {
	var out []int
	for _, p := range f.Parents {
		s, ok := l.Slot(p.Name)
		if !ok {
			first, n, _ := l.MemberSlots(p.Name)
			for i := range n {
				out = append(out, first+i)
			}
			continue
		}
		if parent := l.Slots[s].Fact; parent.Derived {
			out = append(out, ancestors(l, parent)...)
		} else {
			out = append(out, s)
		}
	}
	return out
}

// usual are values at which the models behave differently.
var usual = map[string][]float64{
	"battery.rest_voltage":    {-1, 0, 0.4, 1.5, 2.4, 3, 3.4, 3.6, 3.7, 3.85, 4.1, 4.2, 4.4, 4.5, 5, 7.2, 8.4, 17},
	"battery.series_cells":    {1, 1, 1, 2, 3, 4},
	"battery.parallel_cells":  {1, 2, 3},
	"battery.nominal_voltage": {2.3, 3, 3.2, 3.6, 3.7, 3.8, 3.85, 7.6, 11.4},
	"battery.charge_limit":    {2.7, 3.65, 4.2, 4.35, 4.4, 4.45, 8.8},
	"battery.rated_energy":    {1, 15, 20, 60, 100},
	"battery.rated_capacity":  {0.05, 1, 4, 5.2},
	"battery.length":          {20, 80}, "battery.width": {10, 60}, "battery.thickness": {3, 5, 5.4},
	"battery.nominal_thickness": {3, 5}, "battery.mass": {5, 50, 300}, "battery.lithium_content": {0, 0.5, 2},
	"battery.rest_time": {0, 60, 180, 1440}, "battery.temperature": {-10, 20, 45, 80},
	"bench.air_temperature": {-10, 14, 15, 22, 40}, "bench.room_volume": {8, 60, 500},
	"adhesive.solvent_volume": {0, 0.5, 2}, "battery.gauge_charge": {0, 20, 30, 72, 100},
}

// anyBox draws what is possible for the facts that derived ones rest on: known,
// a range, unknown, or nobody took the reading.
func anyBox(t *rapid.T, l *expression.Layout) *expression.Box {
	b := expression.NewBox(l)
	for i := range l.Slots {
		s := &l.Slots[i]
		if !s.Fact.Statable() {
			continue
		}
		how := rapid.IntRange(0, 5).Draw(t, s.Name)
		switch {
		case how == 0:
		case how == 1:
			b.MarkAbsent(i)
		case s.Finite:
			b.Set(i, anyWords(t, s, how))
		case usual[s.Name] != nil:
			x, y := rapid.SampledFrom(usual[s.Name]).Draw(t, "value"), rapid.SampledFrom(usual[s.Name]).Draw(t, "to")
			if how < 5 {
				y = x
			}
			b.Set(i, expression.Range{Low: min(x, y), High: max(x, y)})
		}
	}
	return b
}

func anyWords(t *rapid.T, s *expression.Slot, how int) expression.Range {
	if how > 4 {
		return expression.Range{Words: s.Domain.Words&rapid.Uint64().Draw(t, "words") | 1}
	}
	return expression.Word(rapid.IntRange(0, bitsIn(s.Domain.Words)-1).Draw(t, "word"))
}

func bitsIn(w uint64) (n int) {
	for ; w != 0; w &= w - 1 {
		n++
	}
	return n
}

func derived(l *expression.Layout) []int {
	var out []int
	for i := range l.Slots {
		if l.Slots[i].Derive != nil {
			out = append(out, i)
		}
	}
	return out
}

// A derived fact reads nothing but its declared parents: with all else unknown
// it says the same.
func TestDerivedFactsReadOnlyTheirParents(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		b, other := anyBox(t, l), anyBox(t, l)
		for _, d := range derived(l) {
			f := l.Slots[d].Fact
			mixed := expression.NewBox(l)
			mine := ancestors(l, f)
			for i := range l.Slots {
				from := other
				if slices.Contains(mine, i) {
					from = b
				}
				if l.Slots[i].Derive != nil {
					continue
				}
				mixed.Set(i, from.At(i))
				if from.Absent(i) {
					mixed.MarkAbsent(i)
				}
			}
			if got, want := mixed.At(d), b.At(d); got != want {
				t.Fatalf("%s was %v and is %v, though no declared parent changed", f.Name, want, got)
			}
		}
	})
}

// Knowing less about any parent never narrows what follows from it.
func TestWideningAParentOnlyWidens(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		b := anyBox(t, l)
		wide := b.Clone()
		for i := range l.Slots {
			if s := &l.Slots[i]; s.Derive == nil && rapid.IntRange(0, 4).Draw(t, "widen") == 0 {
				r := s.Domain
				if rapid.Bool().Draw(t, "a little") && !s.Finite {
					r = b.At(i)
					r.Low, r.High = max(s.Domain.Low, r.Low-1), min(s.Domain.High, r.High+1)
				}
				wide.Set(i, r)
			}
		}
		for _, d := range derived(l) {
			got, was := wide.At(d), b.At(d)
			if l.Slots[d].Finite {
				if was.Words&^got.Words != 0 {
					t.Fatalf("%s narrowed from %b to %b", l.Slots[d].Name, was.Words, got.Words)
				}
			} else if !(got.Low <= was.Low && was.High <= got.High) {
				t.Fatalf("%s narrowed from %v to %v", l.Slots[d].Name, was, got)
			}
		}
	})
}

// A derived fact never leaves its catalogue range, is never upside down and
// never not a number.
func TestDerivedFactsStayInRange(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		b := anyBox(t, l)
		for _, d := range derived(l) {
			s := &l.Slots[d]
			r := s.Derive(b)
			switch {
			case s.Finite && (r.Words == 0 || r.Words&^s.Domain.Words != 0):
				t.Fatalf("%s is %b", s.Name, r.Words)
			case !s.Finite && !(r.Low <= r.High):
				t.Fatalf("%s runs from %v to %v", s.Name, r.Low, r.High)
			case !s.Finite && (r.High < s.Domain.Low || r.Low > s.Domain.High):
				t.Fatalf("%s is %v..%v, outside its range %v..%v", s.Name, r.Low, r.High, s.Domain.Low, s.Domain.High)
			}
		}
		if b.Empty() {
			t.Fatal("what follows contradicts the catalogue's ranges")
		}
	})
}

// Each parent acts in the direction that the catalogue declares: as it moves
// that way, neither end of what follows falls. A parent of sign 0 promises
// nothing.
func TestDeclaredSignsHold(t *testing.T) {
	l := layout(t)
	broken := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		b := anyBox(t, l)
		for _, d := range derived(l) {
			f := l.Slots[d].Fact
			for _, p := range f.Parents {
				slot, ok := l.Slot(p.Name)
				if !ok || p.Sign == 0 {
					continue
				}
				moved := b.Clone()
				// The sign speaks of this parent alone: others stay as they are, also
				// those that follow from it.
				for _, q := range f.Parents {
					if s, ok := l.Slot(q.Name); ok && l.Slots[s].Derive != nil {
						moved.Set(s, b.At(s))
					}
				}
				moved.Set(slot, raised(t, &l.Slots[slot], b.At(slot), p.Sign))
				if !atLeast(&l.Slots[d], moved.At(d), b.At(d)) {
					broken[f.Name+" <- "+p.Name]++
					t.Logf("%s fell from %v to %v as %s went from %v to %v", f.Name, b.At(d), moved.At(d), p.Name, b.At(slot), moved.At(slot))
				}
			}
		}
	})
	if len(broken) > 0 {
		t.Errorf("%v", broken)
	}
}

// raised moves a range in the direction of a sign.
func raised(t *rapid.T, s *expression.Slot, r expression.Range, sign int8) expression.Range {
	if s.Finite {
		rank := rapid.IntRange(0, bitsIn(s.Domain.Words)-1).Draw(t, "rank")
		low, high := 0, 0
		for i := range bitsIn(s.Domain.Words) {
			if r.Words>>i&1 == 1 {
				high = i
			}
		}
		for low = 0; r.Words>>low&1 == 0; low++ {
		}
		if sign > 0 {
			return expression.Word(max(rank, high))
		}
		return expression.Word(min(rank, low))
	}
	by := rapid.SampledFrom([]float64{0.1, 1, 10}).Draw(t, "by")
	if s.Whole {
		by = 1
	}
	if len(usual[s.Name]) > 0 {
		x := rapid.SampledFrom(usual[s.Name]).Draw(t, "to")
		by = math.Abs(x - r.Low)
	}
	if sign > 0 {
		return expression.Range{Low: min(r.Low+by, s.Domain.High), High: min(r.High+by, s.Domain.High)}
	}
	return expression.Range{Low: max(r.Low-by, s.Domain.Low), High: max(r.High-by, s.Domain.Low)}
}

func atLeast(s *expression.Slot, got, was expression.Range) bool {
	if s.Finite {
		// The words of a derived fact run in the order its parents push it.
		return got.Words >= was.Words&-was.Words && (was.Words>>1 == 0 || got.Words>>1 != 0)
	}
	const rounding = 1e-9
	return got.Low >= was.Low-rounding*math.Abs(was.Low) && got.High >= was.High-rounding*math.Abs(was.High)
}

// An explicit unknown takes nothing away but itself: with every other reading
// unknown, a mark still tells the energy and a sound cell's gauge the charge.
func TestOneReadingIsEnough(t *testing.T) {
	l := layout(t)
	sound := func() *expression.Box { // everything unknown, nothing merely unsaid
		b := expression.NewBox(l)
		for _, sign := range derive.UnsoundSigns {
			b.Set(l.MustSlot(sign), expression.Word(0))
		}
		b.Set(l.MustSlot("battery.chemistry"), expression.Word(int(battery.LCO)))
		return b
	}
	b := sound()
	b.Set(l.MustSlot("battery.rated_energy"), expression.Exactly(15))
	b.Set(l.MustSlot("battery.gauge_charge"), expression.Exactly(20))
	b.MarkAbsent(l.MustSlot("battery.rest_voltage"))
	for name, want := range map[string]float64{"derived.rated_energy": 15, "derived.state_of_charge": 20} {
		if got := b.At(l.MustSlot(name)); got != expression.Exactly(want) {
			t.Errorf("%s is %v..%v, want %v", name, got.Low, got.High, want)
		}
	}
	// The voltage of one cell still tells something after a rest nobody timed, but
	// from below only where it may hardly have rested.
	b = sound()
	b.MarkAbsent(l.MustSlot("battery.gauge_charge"))
	b.Set(l.MustSlot("battery.rest_voltage"), expression.Exactly(3.4))
	b.Set(l.MustSlot("battery.series_cells"), expression.Exactly(1))
	b.Set(l.MustSlot("battery.volts_at"), expression.Word(0))
	if got := b.At(l.MustSlot("derived.state_of_charge")); got.High != 100 {
		t.Errorf("3.4 V on one cobalt cell, perhaps under load, leaves %v..%v %%", got.Low, got.High)
	}
	b.MarkAbsent(l.MustSlot("battery.rest_time"))
	if got := b.At(l.MustSlot("derived.state_of_charge")); got.High > 50 {
		t.Errorf("3.4 V on one cobalt cell leaves %v..%v %%", got.Low, got.High)
	}
}

// What the engine narrows at each split brackets what package battery says of
// the same numbers, at points.
func TestClosedFormsBracketTheBattery(t *testing.T) {
	l := layout(t)
	at := l.MustSlot
	rapid.Check(t, func(t *rapid.T) {
		volts := rapid.SampledFrom(usual["battery.rest_voltage"]).Draw(t, "volts")
		series := rapid.SampledFrom(usual["battery.series_cells"]).Draw(t, "series")
		chemistry := battery.ChemistrySet(1 << rapid.IntRange(0, 7).Draw(t, "chemistry"))
		nominal := rapid.SampledFrom(usual["battery.nominal_voltage"]).Draw(t, "nominal")
		limit := rapid.SampledFrom(usual["battery.charge_limit"]).Draw(t, "limit")
		now, new := rapid.SampledFrom(usual["battery.thickness"]).Draw(t, "now"), rapid.SampledFrom(usual["battery.nominal_thickness"]).Draw(t, "new")
		b := expression.NewBox(l)
		b.Set(at("battery.rest_voltage"), expression.Exactly(volts))
		b.Set(at("battery.series_cells"), expression.Exactly(series))
		b.Set(at("battery.chemistry"), expression.Range{Words: uint64(chemistry)})
		b.Set(at("battery.nominal_voltage"), expression.Exactly(nominal))
		b.Set(at("battery.charge_limit"), expression.Exactly(limit))
		b.Set(at("battery.thickness"), expression.Exactly(now))
		b.Set(at("battery.nominal_thickness"), expression.Exactly(new))

		check := func(name string, want battery.Interval, err error) {
			t.Helper()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			got := b.At(at(name))
			if got.Low > want.Low+1e-6 || got.High < want.High-1e-6 || got.High-got.Low > want.Width()+1e-5 {
				t.Fatalf("%s is %v..%v, package battery says %v", name, got.Low, got.High, want)
			}
		}
		iv, err := battery.VoltsPerCell(battery.Exact(volts), battery.Exact(series))
		check("derived.volts_per_cell", iv, err)
		iv, err = battery.VoltsOverLimit(battery.Exact(volts), chemistry, battery.GivenExactly(nominal), battery.GivenExactly(limit), battery.Exact(series))
		check("derived.volts_over_limit", iv, err)
		iv, err = battery.VoltsUnderCutOff(battery.Exact(volts), chemistry, battery.Exact(series))
		check("derived.volts_under_cutoff", iv, err)
		iv, err = battery.ThicknessGrowth(battery.Exact(now), battery.Exact(new))
		check("derived.thickness_growth", iv, err)
	})
}
