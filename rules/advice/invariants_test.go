package advice

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

var (
	allRungs   = permissions("rung.")
	discharges = permissions("discharge.")
	heating    = []rules.Permission{"heat", "rung.warm"}
	wetting    = []rules.Permission{"solvent", "rung.solvent"}
	work       = slices.Concat(allRungs, discharges, []rules.Permission{"heat", "solvent", "opening", "refit"})
)

func permissions(prefix string) []rules.Permission {
	var out []rules.Permission
	for _, p := range rules.Permissions {
		if strings.HasPrefix(string(p), prefix) {
			out = append(out, p)
		}
	}
	return out
}

// plainNames compiles conditions over facts alone.
type plainNames struct{}

func (plainNames) Named(string) (expression.Condition, bool, error) {
	return expression.Condition{}, false, nil
}
func (plainNames) Graded(string, int) (expression.Condition, error) {
	return expression.Condition{}, nil
}
func (plainNames) Grades(string) ([]string, bool) { return nil, false }

// never are the safety invariants of the whole rulebook: while the condition
// holds, none of the permissions is given, whatever else is or is not known.
var never = []struct {
	name, when string
	forbidden  []rules.Permission
}{
	// What a sign of a failing cell bars: everything.
	{"pierced", "battery.puncture >= 'suspected'", work},
	{"leaking", "battery.leakage >= 'suspected'", work},
	{"smelling", "battery.odour", work},
	{"venting", "battery.venting", work},
	{"stained", "battery.discoloured", work},
	{"warm by itself", "battery.self_heating", work},
	{"hot", "battery.temperature >= '45 degC' and bench.air_temperature <= '40 degC'", work},
	{"climbing", "battery.temperature_rate >= '0.4 K/min'", work},
	{"warmer than the room", "derived.excess_over_room >= '5 K'", work},
	{"over its limit", "derived.volts_over_limit > '0.05 V'", work},
	{"judged critical", "battery.assessed == 'critical'", work},

	// Damage bars heat and discharge.
	{"swollen, no heat", "battery.swelling >= 'slight' or derived.thickness_growth > '10 %'", heating},
	{"swollen, no discharge", "battery.swelling >= 'slight' or derived.thickness_growth > '10 %'", discharges},
	{"deformed, no heat", "battery.deformation >= 'slight'", heating},
	{"deformed, no discharge", "battery.deformation >= 'slight'", discharges},
	{"wetted, no heat", "battery.wetted", heating},
	{"wetted, no discharge", "battery.wetted", discharges},
	{"damaged, not refitted", "battery.swelling >= 'slight' or battery.deformation >= 'slight' or battery.wetted or battery.recalled", []rules.Permission{"refit"}},
	{"damaged, no lever", "battery.swelling >= 'slight' or battery.deformation >= 'slight' or battery.wetted", []rules.Permission{"rung.card", "rung.cut-leads"}},

	{"lithium metal, no discharge", "battery.chemistry == 'li-metal'", discharges},
	{"lithium metal, no heat", "battery.chemistry == 'li-metal'", heating},
	{"more than one cell, no resistor", "battery.series_cells > 1", []rules.Permission{"discharge.resistor"}},
	{"no protection board, no resistor", "not battery.protected", []rules.Permission{"discharge.resistor"}},

	// Heat and force only on a nearly empty cell.
	{"charged, no heat", "derived.state_of_charge > '30 %'", heating},
	{"charged, no force", "derived.state_of_charge > '30 %'", []rules.Permission{"rung.card", "rung.cut-leads"}},

	// Heat only from a pad set at or under the cell's limit, and on a dry cell.
	{"no certain set point, no heat", "bench.heat_source != 'pad' or bench.heat_setpoint > '60 degC'", heating},
	{"no thermometer, no heat", "not bench.thermometer", heating},
	{"no heat after solvent", "adhesive.solvent_used", heating},
	{"no heat through a display", "device.under_cell == 'display'", heating},
	{"no fourth warming", "job.warmings >= 3", heating},

	// Solvent only away from sparks, unplugged, in moving air.
	{"ignition source, no solvent", "bench.ignition_source", wetting},
	{"battery connected, no solvent", "not device.battery_disconnected", wetting},
	{"power on, no solvent", "not device.powered_off", wetting},
	{"still air, no solvent", "bench.ventilation == 'none'", wetting},
	{"open microphones, no solvent", "device.liquid_sensitive_near and not device.openings_taped", wetting},
	{"taut, no solvent", "battery.swelling == 'severe'", wetting},
	{"dose spent, no solvent", "adhesive.solvent_used and adhesive.solvent_volume >= '2 mL'", wetting},
	{"weak or strong-smelling liquids only, no solvent", "'isopropanol-99' not in bench.solvents and 'isopropanol-91' not in bench.solvents", wetting},

	// Nothing starts before a look.
	{"nobody looked, nothing", "battery.looked == 'no'", work},
	{"cell not seen, no rung", "battery.looked >= 'closed'", allRungs},
	{"bent or pried, not refitted", "job.force_used", []rules.Permission{"refit"}},
	{"after solvent, not refitted", "adhesive.solvent_used", []rules.Permission{"refit"}},
	{"underside unseen, not refitted", "battery.looked >= 'opened'", []rules.Permission{"refit"}},
}

// Each invariant is explored over every completion at once: everything is
// unknown, and the permission and the danger must exclude each other.
func TestNeverPermittedAnywhere(t *testing.T) {
	b, err := book.With()
	if err != nil {
		t.Fatal(err)
	}
	compiler := expression.NewCompiler(b.Arena, facts.Shipped(), plainNames{})
	refs := make([]expression.Ref, len(never))
	type goal struct {
		name string
		p    rules.Permission
		ref  expression.Ref
	}
	var goals []goal
	for i, n := range never {
		c, err := compiler.Compile(n.when)
		if err != nil {
			t.Fatalf("%s: %v", n.name, err)
		}
		refs[i] = c.Ref
		for _, p := range n.forbidden {
			goals = append(goals, goal{n.name, p, b.Arena.And(c.Ref, b.May(p))})
		}
	}
	everything := expression.NewBox(b.Layout)
	q := b.Ask(everything, everything)
	q.Budget(1 << 18)
	for i, n := range never {
		if !q.Explore(refs[i]).Possible() {
			t.Errorf("%s: cannot happen, so the invariant says nothing", n.name)
		}
	}
	for _, g := range goals {
		if is := q.Explore(g.ref); is != expression.False {
			t.Errorf("%s: %s can be permitted (%v)", g.name, g.p, is)
		}
	}
}

// Each permission can be given at all: else the invariants would hold because
// nothing is ever permitted.
func TestEveryPermissionCanBeGiven(t *testing.T) {
	w := newWorld(t)
	best := w.base.Clone()
	given := map[rules.Permission]bool{}
	for _, change := range []map[string]string{{}, {"battery.place": "removed", "battery.looked": "both-faces"}, {"adhesive.kind": "plain-tape"}} {
		c := best.Clone()
		for name, text := range change {
			if err := c.SetText(w.cat, name, text); err != nil {
				t.Fatal(err)
			}
		}
		for p, is := range w.permitted(c).may {
			given[p] = given[p] || is == expression.True
		}
	}
	for _, p := range work {
		if !given[p] {
			t.Errorf("%s is not even given in the best of cases", p)
		}
	}
}

// alarming are the signs that end the job when they are stated.
var alarming = map[string]string{
	"battery.puncture": "suspected", "battery.leakage": "suspected", "battery.odour": "yes",
	"battery.venting": "yes", "battery.self_heating": "yes", "battery.discoloured": "yes",
	"battery.temperature": "60 degC", "battery.temperature_rate": "1 K/min", "battery.assessed": "critical",
}

// A stated sign of a failing cell ends the job, whatever else the case says.
func TestStatedSignsEndTheJob(t *testing.T) {
	w := newWorld(t)
	for sign, word := range alarming {
		t.Run(sign, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				c := w.anyCase(t)
				if err := c.SetText(w.cat, sign, word); err != nil {
					t.Fatal(err)
				}
				o, err := w.outcome(c)
				if err != nil {
					t.Fatal(err)
				}
				if o.verdict != "stop" && o.verdict != "evacuate" {
					t.Fatalf("%s %s: verdict %s; the benign case with\n%s", sign, word, o.verdict, w.changed(c))
				}
				for _, p := range work {
					if o.may[p] == expression.True {
						t.Fatalf("%s %s: %s is permitted; the benign case with\n%s", sign, word, p, w.changed(c))
					}
				}
			})
		})
	}
}

// venting or warm by itself: leave.
func TestReactingMeansLeave(t *testing.T) {
	w := newWorld(t)
	rapid.Check(t, func(t *rapid.T) {
		c := w.anyCase(t)
		sign := rapid.SampledFrom([]string{"battery.venting", "battery.self_heating"}).Draw(t, "sign")
		if err := c.SetText(w.cat, sign, "yes"); err != nil {
			t.Fatal(err)
		}
		if o, _ := w.outcome(c); o.verdict != "evacuate" || conditionWord(o) != "reacting" {
			t.Fatalf("%s: %s, %s; the benign case with\n%s", sign, o.verdict, conditionWord(o), w.changed(c))
		}
	})
}

// A condition that is not known never proceeds, and ignorance alone never
// stops or evacuates.
func TestIgnoranceAsksAndDoesNotAlarm(t *testing.T) {
	w := newWorld(t)
	rapid.Check(t, func(t *rapid.T) {
		c := w.base.Clone()
		w.forget(t, c)
		for _, name := range c.Names() {
			if rapid.IntRange(0, 3).Draw(t, "unknown") == 0 {
				c.Set(name, facts.Value{State: facts.Unknown})
			}
		}
		o, err := w.outcome(c)
		if err != nil {
			t.Fatal(err)
		}
		if conditionWord(o) == "unproven" && o.verdict == "proceed" {
			t.Fatalf("proceeds with a cell that nobody has proved sound; the benign case with\n%s", w.changed(c))
		}
		if o.verdict == "stop" || o.verdict == "evacuate" {
			t.Fatalf("%s (%s) though nothing bad was stated; the benign case with\n%s", o.verdict, o.pick, w.changed(c))
		}
		if g := conditionWord(o); g == "damaged" || g == "critical" || g == "reacting" {
			t.Fatalf("graded %s though nothing bad was stated; the benign case with\n%s", g, w.changed(c))
		}
	})
}

// A rung's permission depends neither on how the cell is held nor on what was
// tried without force or solvent.
func TestPermissionIsNotFit(t *testing.T) {
	w := newWorld(t)
	rapid.Check(t, func(t *rapid.T) {
		c := w.anyCase(t)
		c.Set("job.force_used", facts.Value{State: facts.Stated, Words: 1})
		was := w.permitted(c)
		d := c.Clone()
		for _, name := range []string{"adhesive.kind", "adhesive.pull_tab", "adhesive.pull_tabs", "adhesive.pull_tabs_torn", "battery.soldered", "device.pry_access"} {
			f, _ := w.cat.Lookup(name)
			v := facts.Value{State: facts.Stated, Words: 1 << rapid.IntRange(0, max(0, len(f.Words)-1)).Draw(t, name)}
			if f.Kind == facts.Count {
				n := float64(rapid.IntRange(0, 4).Draw(t, name))
				v = facts.Value{State: facts.Stated, Low: n, High: n}
			}
			d.Set(name, v)
		}
		is := w.permitted(d)
		for _, p := range allRungs {
			if is.may[p] != was.may[p] {
				t.Fatalf("%s went from %v to %v with the adhesive; the benign case with\n%s", p, was.may[p], is.may[p], w.changed(d))
			}
		}
	})
}
