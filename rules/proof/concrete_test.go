package proof

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// permissive are words with which much is permitted, where the unremarkable one
// is not enough to reach the rules.
var permissive = map[string]string{
	"battery.place": "in-open-device", "battery.looked": "opened", "battery.history_asked": "yes", "adhesive.kind": "plain-tape",
	"device.kind": "phone", "device.powered_off": "yes", "device.battery_disconnected": "yes", "device.starts": "yes", "device.under_cell": "frame",
	"bench.ventilation": "open-window", "bench.heat_source": "pad", "bench.thermometer": "yes", "bench.meter": "yes", "bench.ignition_source": "no",
	"bench.worker": "trained", "bench.help": "beside", "battery.gauge_charge": "20 %", "bench.heat_setpoint": "55 degC", "bench.solvents": "[isopropanol-99]",
	"battery.test_summary": "yes", "battery.wh_printed": "yes", "dispatch.jurisdiction": "eu", "dispatch.packing": "by-itself",
	"bench.release_voltage": "12 V", "bench.release_current_limited": "yes", "battery.protected": "yes", "battery.label": "legible",
}

// drawer draws concrete cases at, and one step either side of, everything that
// some rule compares a fact with.
type drawer struct {
	*worker
	draw  *rand.Rand
	base  *facts.Case
	names []string
}

func newDrawer(t *testing.T, b *rules.Book, seed uint64) *drawer {
	p := newProver(b, Options{})
	d := &drawer{worker: &worker{prover: p}, draw: rand.New(rand.NewPCG(seed, 1)), base: facts.NewCase(p.cat, "drawn")}
	for i := range p.cat.Facts {
		f := &p.cat.Facts[i]
		if !f.Statable() || f.Kind == facts.Text || f.Kind == facts.Layers {
			continue
		}
		d.names = append(d.names, f.Name)
		if text, ok := permissive[f.Name]; ok {
			if err := d.base.SetText(p.cat, f.Name, text); err != nil {
				t.Fatal(err)
			}
		} else if f.Unseen != nil && f.Kind != facts.Members {
			d.base.Set(f.Name, facts.Value{State: facts.Stated, Low: f.Unseen.Number, High: f.Unseen.Number, Words: 1 << max(0, f.Unseen.Rank)})
		}
	}
	return d
}

// value draws one value of a fact: a word, or a number at a cut or beside it.
func (d *drawer) value(f *facts.Fact) facts.Value {
	v := facts.Value{State: facts.Stated}
	switch f.Kind {
	case facts.Words:
		v.Words = 1 << d.draw.IntN(len(f.Words))
		return v
	case facts.Members:
		v.Words = d.draw.Uint64() & d.draw.Uint64() & f.All()
		return v
	}
	slot := d.book.Layout.MustSlot(f.Name)
	s := &d.book.Layout.Slots[slot]
	x := f.Min
	if list := d.between(slot); len(list) > 0 && d.draw.IntN(8) > 0 {
		x = list[d.draw.IntN(len(list))]
	} else if f.Unseen != nil {
		x = f.Unseen.Number
	}
	step := max(1e-6, math.Abs(x)*1e-6)
	if s.Whole {
		step = 1
	}
	x = min(max(x+step*float64(d.draw.IntN(3)-1), f.Min), f.Max)
	v.Low, v.High = x, x
	return v
}

// kase draws a case: the permissive one with a pair of facts changed, and
// sometimes a few more. It returns nil if the facts contradict one another.
func (d *drawer) kase() *facts.Case {
	c := d.base.Clone()
	for range 2 + d.draw.IntN(5) {
		f, _ := d.cat.Lookup(d.names[d.draw.IntN(len(d.names))])
		c.Set(f.Name, d.value(f))
	}
	read, err := facts.ParseCase(d.cat, "drawn", c.YAML())
	if err != nil { // the label may go with another chemistry
		c.Unset("battery.nominal_voltage")
		c.Unset("battery.charge_limit")
		if read, err = facts.ParseCase(d.cat, "drawn", c.YAML()); err != nil {
			return nil
		}
	}
	return read
}

const concreteDate = "2026-11-24"

// Concrete cases never contradict what is proved: neither a statement nor, for
// two cases that differ in one fact, the law that nothing more is permitted when
// it gets worse.
func TestConcreteCasesNeverContradictTheProof(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	cases := 1200
	if testing.Short() {
		cases = 200
	}
	d := newDrawer(t, b, 20261124)
	statements, err := d.invariants()
	if err != nil {
		t.Fatal(err)
	}
	parts := make([][]part, len(statements))
	for i := range statements {
		parts[i] = d.parts(&statements[i])
	}
	d.eval = expression.NewEvaluator(d.arena)
	o := advice.Options{On: concreteDate, Now: time.Unix(0, 0)}
	run := func(c *facts.Case) *advice.Decided {
		out, err := advice.Decide(b, c, o)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	ran, reached, pairs := 0, map[int]bool{}, 0
	for range cases {
		c := d.kase()
		if c == nil {
			continue
		}
		ran++
		is := run(c)
		q := b.Ask(is.Full, is.Alarm)
		d.eval.On(is.Full)
		for i := range statements {
			if d.eval.Value(statements[i].When.Ref) != expression.True {
				continue
			}
			reached[i] = true
			for _, part := range parts[i] {
				if got, broken := part.shows(is, q); broken {
					// What is not known may keep a permission from being given; that
					// is no contradiction of "always permitted when all is known".
					if statements[i].Always && statements[i].Claim.Permit != nil && d.open(is, part) {
						continue
					}
					t.Errorf("%s: %s (%s)\n%s", statements[i].ID, part.name, got, c.YAML())
				}
			}
		}
		if d.worsen(c) {
			pairs++
			worse := run(c)
			for _, perm := range rules.Permissions {
				if worse.May[perm] == expression.True && is.May[perm] != expression.True {
					t.Errorf("%s is given in the worse case\n%s", perm, c.YAML())
				}
			}
		}
	}
	t.Logf("%d cases, %d pairs, %d of %d statements reached", ran, pairs, len(reached), len(statements))
	if !testing.Short() && len(reached) < len(statements)*3/4 {
		t.Errorf("the cases reach only %d of %d statements", len(reached), len(statements))
	}
}

// open tells that the rules themselves leave a part undecided, or that a model
// beside them withholds what they permit.
func (d *drawer) open(is *advice.Decided, p part) bool {
	return d.eval.Value(p.bad) != expression.True
}

// worsen makes one fact of a case worse; false if it cannot.
func (d *drawer) worsen(c *facts.Case) bool {
	f, _ := d.cat.Lookup(d.names[d.draw.IntN(len(d.names))])
	was := c.Get(f.Name)
	if f.Worse == facts.NoOrder || was.State != facts.Stated || f.Kind == facts.Members {
		return false
	}
	next := d.value(f)
	switch {
	case f.Kind == facts.Words && next.Words <= was.Words:
		return false
	case f.Kind != facts.Words && (next.Low-was.Low)*float64(f.Worse) <= 0:
		return false
	}
	c.Set(f.Name, next)
	_, err := facts.ParseCase(d.cat, "drawn", c.YAML())
	return err == nil
}
