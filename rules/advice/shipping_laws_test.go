package advice

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// drawn words of the facts that decide about carriage.
var carriageDraws = map[string][]string{
	"battery.role":            {"device", "device", "device", "power-bank"},
	"battery.chemistry":       {"lco", "nmc", "lfp", "li-metal", "na-ion"},
	"battery.form":            {"pouch", "cylindrical", "coin"},
	"battery.series_cells":    {"1", "1", "2", "4"},
	"battery.parallel_cells":  {"1", "1", "2"},
	"battery.rated_energy":    {"0.2 Wh", "2.7 Wh", "2.8 Wh", "15 Wh", "20 Wh", "20.1 Wh", "60 Wh", "60.1 Wh", "100 Wh", "100.1 Wh", "160.1 Wh", "300.1 Wh"},
	"battery.lithium_content": {"0.1 g", "1 g", "1.1 g", "2 g", "2.1 g", "8.1 g", "25.1 g"},
	"battery.gauge_charge":    {"5 %", "30 %", "31 %", "90 %"},
	"battery.mass":            {"60 g", "501 g"},
	"battery.made":            {"2008-05-01", "2010-05-01", "2013-05-01", "2026-02-01"},
	"battery.test_summary":    {"yes", "yes", "no"},
	"battery.wh_printed":      {"yes", "yes", "no"},
	"battery.terminals":       {"covered", "covered", "bare"},
	"battery.assessed":        {"none", "none", "not-critical", "critical"},
	"dispatch.purpose":        {"reuse", "return", "recycle", "dispose"},
	"dispatch.packing":        {"by-itself", "with-equipment", "in-equipment"},
	"dispatch.jurisdiction":   {"un", "eu", "uk", "us"},
	"dispatch.date":           {"2024-03-01", "2024-12-31", "2025-06-01", "2025-12-31", "2026-01-01", "2026-06-01", "2027-02-01"},
	"dispatch.discarded_by":   {"household", "business"},
	"dispatch.destination":    {"sorter", "treatment", "recycler", "maker", "customer"},
	"dispatch.net_mass":       {"0.1 kg", "2.6 kg", "5.1 kg", "10.1 kg", "35.1 kg"},
	"dispatch.gross_mass":     {"1 kg", "30.1 kg"},
	"dispatch.packages":       {"1", "2", "3"},
	"dispatch.cells":          {"0", "1", "4", "5", "21"},
	"dispatch.batteries":      {"0", "1", "2", "3"},
	"dispatch.load_per_vehicle": {
		"10 kg", "333 kg", "334 kg"},
	"dispatch.prototype":   {"no", "no", "no", "yes"},
	"dispatch.own_vehicle": {"no", "no", "yes"},
	"dispatch.main_source": {"yes", "no"},
	"dispatch.equipment":   {"0", "1", "2"},
}

// damages are the ways a cell is hurt, each as one change.
var damages = []string{
	"battery.swelling=slight", "battery.swelling=severe", "battery.deformation=slight", "battery.puncture=suspected",
	"battery.leakage=confirmed", "battery.odour=yes", "battery.discoloured=yes", "battery.venting=yes", "battery.recalled=yes",
	"battery.wetted=yes", "battery.self_heating=yes", "battery.terminal_corrosion=yes", "battery.looked=no; battery.deformation=unknown",
	"battery.history_asked=no; battery.wetted=unknown", "battery.odour=unknown; battery.swelling=unknown", "battery.assessed=critical",
}

var drawnNames = func() []string {
	var out []string
	for name := range carriageDraws {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}()

func drawCarriage(t *rapid.T) string {
	var out []string
	for _, name := range drawnNames {
		if name == "battery.lithium_content" || rapid.IntRange(0, 3).Draw(t, "leave "+name) == 0 {
			continue
		}
		out = append(out, name+"="+rapid.SampledFrom(carriageDraws[name]).Draw(t, name))
	}
	// Only a cell that cannot be recharged holds lithium metal.
	if slices.Contains(out, "battery.chemistry=li-metal") {
		out = append(out, "battery.lithium_content="+rapid.SampledFrom(carriageDraws["battery.lithium_content"]).Draw(t, "lithium"))
	}
	if rapid.IntRange(0, 2).Draw(t, "hurt") == 0 {
		out = append(out, rapid.SampledFrom(damages).Draw(t, "damage"))
	}
	return strings.Join(out, "; ")
}

func rankOfAllowed(s Shipping) int { return slices.Index(carriageWords, s.Allowed) }

func noMoreOpen(t *rapid.T, law string, before, after map[string]Shipping) {
	for mode, was := range before {
		if is, ok := after[mode]; ok && rankOfAllowed(is) < rankOfAllowed(was) {
			t.Fatalf("%s: %s was %s %v, is %s %v", law, mode, was.Allowed, was.Basis, is.Allowed, is.Basis)
		}
	}
}

// Damage never opens a mode that the same cell, sound and tested, lacks.
func TestDamageNeverOpensAMode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		changes := drawCarriage(t) + "; battery.test_summary=yes"
		for _, d := range damages {
			changes = strings.ReplaceAll(changes, d, "")
		}
		sound := shipped(t, shipCase(t, changes+"; battery.assessed=none"))
		hurt := shipped(t, shipCase(t, changes+"; battery.assessed=none; "+rapid.SampledFrom(damages).Draw(t, "hurt by")))
		noMoreOpen(t, "damage", sound, hurt)
	})
}

// Replacing a fact by an explicit unknown never opens a mode.
func TestUnknownNeverOpensAMode(t *testing.T) {
	cat := facts.Shipped()
	rapid.Check(t, func(t *rapid.T) {
		c := shipCase(t, drawCarriage(t))
		names := slices.DeleteFunc(c.Names(), func(n string) bool { return n == "dispatch.date" || strings.HasPrefix(n, "job.") })
		for range rapid.IntRange(0, 3).Draw(t, "unknown before") {
			_ = c.SetText(cat, rapid.SampledFrom(names).Draw(t, "unknown"), "unknown")
		}
		for range rapid.IntRange(0, 3).Draw(t, "missing before") {
			c.Unset(rapid.SampledFrom(names).Draw(t, "missing"))
		}
		names = slices.DeleteFunc(c.Names(), func(n string) bool { return !slices.Contains(names, n) })
		name := rapid.SampledFrom(names).Draw(t, "fact")
		before := shipped(t, c)
		blind := c.Clone()
		if err := blind.SetText(cat, name, "unknown"); err != nil {
			t.Fatalf("%v", err)
		}
		noMoreOpen(t, name+" unknown", before, shipped(t, blind))
	})
}

// classOf ranks the regime a basis stands for: small, then full.
func classOf(s Shipping) int {
	for _, b := range s.Basis {
		switch {
		case b == "SP 230", b == "173.185(b)", strings.HasSuffix(b, "-IA"), strings.HasSuffix(b, "-I"):
			return 2
		case b == "173.185(c)(1)(iv)":
			return 1
		}
	}
	return 0
}

// More energy never relaxes a class or opens a mode.
func TestMoreEnergyNeverRelaxes(t *testing.T) {
	energies := carriageDraws["battery.rated_energy"]
	rapid.Check(t, func(t *rapid.T) {
		changes := drawCarriage(t) + "; battery.chemistry=nmc; battery.lithium_content=; battery.rated_energy="
		i := rapid.IntRange(0, len(energies)-2).Draw(t, "less")
		j := rapid.IntRange(i+1, len(energies)-1).Draw(t, "more")
		less, more := shipped(t, shipCase(t, changes+energies[i])), shipped(t, shipCase(t, changes+energies[j]))
		noMoreOpen(t, energies[i]+" to "+energies[j], less, more)
		for mode := range less {
			if less[mode].Allowed == "yes" && more[mode].Allowed == "yes" && classOf(more[mode]) < classOf(less[mode]) {
				t.Fatalf("%s: %v at %s but %v at %s", mode, less[mode].Basis, energies[i], more[mode].Basis, energies[j])
			}
		}
	})
}

// What certainly flies is certainly neither damaged nor loose with passengers,
// and everything printed is whole.
func TestCarriageIsNeverBold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		changes := drawCarriage(t)
		c := shipCase(t, changes)
		got := shipped(t, c)
		if len(got) != len(rules.Modes) {
			t.Fatalf("%d modes", len(got))
		}
		hurt := slices.ContainsFunc(damages, func(d string) bool { return strings.Contains(changes, d) })
		for _, mode := range []string{"air-cargo", "air-passenger", "passenger-baggage", "post"} {
			if hurt && got[mode].Allowed != "no" {
				t.Fatalf("%s is %s for a cell that is hurt: %s", mode, got[mode].Allowed, changes)
			}
		}
		loose := strings.Contains(changes, "packing=by-itself") || strings.Contains(changes, "power-bank")
		if loose && got["air-passenger"].Allowed != "no" {
			t.Fatalf("loose on a passenger aircraft: %s", got["air-passenger"].Allowed)
		}
		for _, s := range got {
			text := fmt.Sprint(s)
			if strings.ContainsAny(text, "{}") && !strings.HasPrefix(text, "{") || strings.Count(text, "{") > 1 {
				t.Fatalf("an unfilled place: %s", text)
			}
			if s.Allowed != "no" && len(s.Basis) == 0 && !strings.Contains(fmt.Sprint(s.Why), "Sodium") {
				t.Fatalf("%s is %s without a basis", s.Mode, s.Allowed)
			}
			if s.Edition == "" && s.Allowed == "yes" {
				t.Fatalf("%s names no edition", s.Mode)
			}
			if s.Allowed != "yes" && len(s.Why) == 0 {
				t.Fatalf("%s is %s without a reason", s.Mode, s.Allowed)
			}
		}
	})
}

// A row that rests on memory alone permits nothing, and the tables that rows
// point to exist.
func TestCarriageTablesAreWhole(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	for i := range b.Rules() {
		r := &b.Rules()[i]
		if r.Choose == nil || !strings.HasPrefix(r.Choose.Answer, "ship.") {
			continue
		}
		for j := range r.Choose.Rows {
			row := &r.Choose.Rows[j]
			value, ok := row.Value.(map[string]any)
			if !ok {
				t.Errorf("%s is no mapping", row.ID)
				continue
			}
			tables := wordsIn(value["also"])
			if see, ok := value["see"].(string); ok {
				tables = append(tables, see)
			}
			for _, name := range tables {
				if b.Table(name) == nil {
					t.Errorf("%s points to %s, which is no table", row.ID, name)
				}
			}
			memory := true
			for _, c := range row.Sources {
				memory = memory && !c.Document.MayPermit()
			}
			if memory && textOf(value["allowed"]) != "no" && value["allowed"] != nil {
				t.Errorf("%s permits from memory", row.ID)
			}
			refuses := value["allowed"] != nil && textOf(value["allowed"]) != "yes"
			if refuses && value["opens"] == nil && value["unless"] == nil && !strings.HasSuffix(row.ID, "damaged-evidence") {
				t.Errorf("%s refuses and does not say what would lift it", row.ID)
			}
			for key := range value {
				if !slices.Contains(rowKeys, key) {
					t.Errorf("%s: %q is no field", row.ID, key)
				}
			}
		}
	}
}

var rowKeys = []string{"allowed", "opens", "unless", "see", "also", "basis", "packing", "marks", "documents", "notes", "edition", "edition_until",
	"soc_cap_pct", "soc_cap_kind", "net_limit_kg", "un_number", "name", "kind", "damaged", "us_damaged", "waste"}
