package advice

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// benign is a case in which much is permitted; the tests change it at random.
const benign = `
job: {goal: replace, tried: [], warmings: 0, minutes: 0 min, force_used: no}
battery:
  place: in-open-device
  looked: opened
  history_asked: yes
  chemistry: lco
  series_cells: 1
  parallel_cells: 1
  nominal_voltage: 3.85 V
  charge_limit: 4.4 V
  rest_voltage: 3.6 V
  volts_at: cell
  rest_time: 200 min
  off_time: 1 h
  rest_drop: 0 V
  gauge_charge: 20 %
  rated_energy: 15 Wh
  thickness: 5 mm
  nominal_thickness: 5 mm
  temperature: 22 degC
  temperature_rate: 0 K/min
  swelling: none
  deformation: none
  puncture: none
  leakage: none
  odour: no
  discoloured: no
  terminal_corrosion: no
  self_heating: no
  venting: no
  wetted: no
  overheated: no
  dropped: no
  wrong_charger: no
  recalled: no
  assessed: none
  label: legible
  health: 85 %
  protected: yes
  soldered: no
adhesive: {kind: stretch-strip, pull_tab: intact, pull_tabs: 2, pull_tabs_torn: 0, solvent_used: no, solvent_volume: 0 mL}
device: {kind: phone, powered_off: yes, battery_disconnected: yes, starts: yes, under_cell: frame, liquid_sensitive_near: no, openings_taped: yes, pry_access: open}
bench:
  room_kind: workshop
  air_temperature: 22 degC
  room_volume: 60 m3
  ventilation: open-window
  help: in-shout
  fire_bin: yes
  water: yes
  outdoor_place: yes
  plastic_tools: yes
  eye_protection: yes
  face_shield: yes
  gloves: yes
  thermometer: yes
  meter: yes
  ignition_source: no
  sand_mass: 10 kg
  combustibles_distance: 3 m
  heat_source: pad
  heat_setpoint: 60 degC
  solvents: [isopropanol-99]
  release_voltage: 12 V
  release_current_limited: yes
  worker: trained
`

// telling are values between which what follows from a fact changes, where the
// rules compare not the fact but what follows from it.
var telling = map[string][]float64{
	"battery.rest_voltage":      {1.4, 1.5, 2.3, 2.4, 2.5, 2.9, 3, 3.4, 3.6, 3.7, 3.8, 4.2, 4.35, 4.41, 4.45, 4.46, 4.51, 7.2, 8.4},
	"battery.nominal_voltage":   {3.2, 3.6, 3.7, 3.8, 3.85, 7.6, 11.4},
	"battery.charge_limit":      {3.65, 4.2, 4.35, 4.4, 4.45, 8.8},
	"battery.series_cells":      {1, 2, 3, 4},
	"battery.parallel_cells":    {1, 2},
	"battery.gauge_charge":      {0, 5, 25, 29, 30, 31, 72, 100},
	"battery.rated_energy":      {5, 15, 20, 21, 40, 99, 100, 101},
	"battery.rated_capacity":    {1, 4, 5.2, 5.3, 12},
	"battery.thickness":         {4.9, 5, 5.2, 5.25, 5.3, 5.5, 5.6, 7},
	"battery.nominal_thickness": {4, 5, 5.5},
	"battery.temperature":       {0, 20, 22, 26, 27, 28, 35, 40, 44, 45, 46, 59, 60, 61},
	"battery.rest_time":         {0, 10, 180, 1440},
	"bench.air_temperature":     {0, 14, 15, 20, 22, 30, 45},
	"bench.room_volume":         {8, 20, 60},
	"adhesive.solvent_volume":   {0, 0.4, 0.5, 0.6, 1, 1.1, 2, 2.1},
}

// world is what all tests here share: the shipped rules, and for each number the
// values at which some rule changes its mind, with one step either side.
type testWorld struct {
	*adviser
	base  *facts.Case
	names []string // facts a case may state and a rule may read
	at    map[string][]float64
	reads map[string]bool
}

var today = time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)

func newWorld(t testing.TB) *testWorld {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	cat := facts.Shipped()
	base, err := facts.ParseCase(cat, "benign", []byte(benign))
	if err != nil {
		t.Fatal(err)
	}
	w := &testWorld{adviser: &adviser{book: b, cat: cat, opts: Options{Now: today}}, base: base, at: map[string][]float64{}}
	for _, r := range b.Rules() {
		for _, atom := range b.Arena.Atoms(r.Holds) {
			if s := &b.Layout.Slots[atom.Slot]; s.Derive == nil && !s.Finite && s.Fact.Statable() {
				w.at[s.Name] = append(w.at[s.Name], stepsAround(s, atom.Cut)...)
			}
		}
	}
	for name, list := range telling {
		w.at[name] = append(w.at[name], list...)
	}
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if !f.Statable() || f.Kind == facts.Text || f.Kind == facts.Layers {
			continue
		}
		if w.matters(f.Name) {
			w.names = append(w.names, f.Name)
		}
		if f.Kind != facts.Words && f.Kind != facts.Members {
			w.at[f.Name] = append(w.at[f.Name], f.Unseen.Number)
			slices.Sort(w.at[f.Name])
			w.at[f.Name] = slices.Compact(w.at[f.Name])
		}
	}
	return w
}

// matters tells that a permission, a cap or a presumption looks at the fact,
// itself or through what follows from it.
func (w *testWorld) matters(name string) bool {
	if w.reads == nil {
		w.reads = map[string]bool{"battery.looked": true, "job.force_used": true, "battery.history_asked": true}
		for _, p := range rules.Permissions {
			w.noteReads(w.book.May(p))
		}
		for _, r := range w.book.Rules() {
			if r.Restrict != nil {
				w.noteReads(r.Holds)
			}
		}
		for i := range w.cat.Facts {
			for _, p := range w.cat.Facts[i].Presume {
				for on := range p.When {
					w.reads[on] = true
				}
			}
		}
	}
	return w.reads[name]
}

func (w *testWorld) noteReads(ref expression.Ref) {
	for _, s := range w.book.Arena.Reads(ref) {
		w.noteFact(w.book.Layout.Slots[s].Fact)
	}
}

func (w *testWorld) noteFact(f *facts.Fact) {
	w.reads[f.Name] = true
	for _, p := range f.Parents {
		parent, _ := w.cat.Lookup(p.Name)
		w.noteFact(parent)
	}
}

func stepsAround(s *expression.Slot, cut float64) []float64 {
	step := max(1e-6, math.Abs(cut)*1e-6)
	if s.Whole {
		step = 1
	}
	in := func(x float64) float64 { return min(max(x, s.Domain.Low), s.Domain.High) }
	return []float64{in(cut - step), in(cut), in(cut + step)}
}

// anyValue draws what a case may say of a fact: one value, a range, a set.
func (w *testWorld) anyValue(t *rapid.T, f *facts.Fact) facts.Value {
	v := facts.Value{State: facts.Stated}
	switch f.Kind {
	case facts.Words:
		v.Words = 1 << rapid.IntRange(0, len(f.Words)-1).Draw(t, f.Name)
		if rapid.IntRange(0, 4).Draw(t, "set") == 0 {
			v.Words |= rapid.Uint64Range(0, f.All()).Draw(t, f.Name+" or")
		}
	case facts.Members:
		some, others := rapid.Uint64Range(0, f.All()).Draw(t, f.Name), rapid.Uint64Range(0, f.All()).Draw(t, "of these")
		v.Words = some & others
	default:
		v.Low = rapid.SampledFrom(w.at[f.Name]).Draw(t, f.Name)
		v.High = v.Low
		if rapid.IntRange(0, 4).Draw(t, "range") == 0 {
			v.High = rapid.SampledFrom(w.at[f.Name]).Draw(t, f.Name+" to")
			v.Low, v.High = min(v.Low, v.High), max(v.Low, v.High)
		}
	}
	return v
}

// anyCase draws a case: the benign one with some facts changed, forgotten or
// unknown, and others added.
func (w *testWorld) anyCase(t *rapid.T) *facts.Case {
	c := w.base.Clone()
	if rapid.IntRange(0, 2).Draw(t, "how much is said") == 0 {
		w.forget(t, c)
	}
	for range rapid.IntRange(0, 14).Draw(t, "changes") {
		name := rapid.SampledFrom(w.names).Draw(t, "fact")
		f, _ := w.cat.Lookup(name)
		switch rapid.IntRange(0, 5).Draw(t, "to") {
		case 0:
			c.Unset(name)
		case 1:
			c.Set(name, facts.Value{State: facts.Unknown})
		default:
			c.Set(name, w.anyValue(t, f))
		}
	}
	return c
}

// forget takes out about a quarter of what a case says, and most of what a look
// or a question settles anyhow.
func (w *testWorld) forget(t *rapid.T, c *facts.Case) {
	var mask uint64
	for i, name := range c.Names() {
		if i%64 == 0 {
			some, others := rapid.Uint64().Draw(t, "forget"), rapid.Uint64().Draw(t, "of these")
			mask = some & others
		}
		f, _ := w.cat.Lookup(name)
		if mask>>(i%64)&1 == 1 || (f.Sign || f.History) && i%4 != 0 {
			c.Unset(name)
		}
	}
}

// permitted is what a case permits: the permissions that are certain and the
// caps.
type permitted struct {
	may  map[rules.Permission]expression.Truth
	caps map[string]float64
}

func (w *testWorld) permitted(c *facts.Case) permitted {
	date, err := dateOf(c, w.opts)
	if err != nil {
		panic(err)
	}
	r := resolve(w.book.Layout, c, date)
	if w.ask == nil {
		w.ask = w.book.Ask(r.full, r.alarm)
	}
	w.ask.About(r.full, r.alarm)
	p := permitted{map[rules.Permission]expression.Truth{}, map[string]float64{}}
	for _, perm := range rules.Permissions {
		if !w.offered(perm) {
			continue
		}
		p.may[perm] = w.ask.May(perm)
	}
	for _, cap := range rules.Caps {
		p.caps[cap.Name] = math.Inf(1)
		if x, _, ok := w.ask.Cap(cap.Name); ok {
			p.caps[cap.Name] = x
		}
	}
	o := outcome{resolved: r, q: w.ask}
	p.caps["discharge.target"], _ = o.dischargeTarget()
	return p
}

// offered tells that some rule offers the permission at all.
func (w *testWorld) offered(p rules.Permission) bool { return w.book.May(p) != expression.Never }

// beyond lists what one case permits beyond another.
func (p permitted) beyond(q permitted) []string {
	var out []string
	for _, perm := range rules.Permissions {
		if p.may[perm] == expression.True && q.may[perm] != expression.True {
			out = append(out, string(perm))
		}
	}
	for _, cap := range rules.Caps {
		if p.caps[cap.Name] > q.caps[cap.Name] {
			out = append(out, cap.Name)
		}
	}
	return out
}

func permissionsOffered(w *testWorld) []rules.Permission {
	var out []rules.Permission
	for _, p := range rules.Permissions {
		if w.offered(p) {
			out = append(out, p)
		}
	}
	return out
}
