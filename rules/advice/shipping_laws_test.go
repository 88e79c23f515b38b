package advice_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/advice/carriagetest"
	"loosecell/rules/facts"
)

// rankOfAllowed runs from the most permissive.
func rankOfAllowed(s advice.Shipping) int {
	return slices.Index([]string{"yes", "approval", "no"}, s.Allowed)
}

func noMoreOpen(t *rapid.T, law string, before, after map[string]advice.Shipping) {
	for mode, was := range before {
		if is, ok := after[mode]; ok && rankOfAllowed(is) < rankOfAllowed(was) {
			t.Fatalf("%s: %s was %s %v, is %s %v", law, mode, was.Allowed, was.Basis, is.Allowed, is.Basis)
		}
	}
}

// Damage never opens a mode that the same cell, sound and tested, lacks.
func TestDamageNeverOpensAMode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		changes := carriagetest.DrawSound(chosen(t)) + "; battery.test_summary=yes"
		sound := carried(t, parcel(t, changes+"; battery.assessed=none"))
		hurt := carried(t, parcel(t, changes+"; battery.assessed=none; "+rapid.SampledFrom(carriagetest.Damages).Draw(t, "hurt by")))
		noMoreOpen(t, "damage", sound, hurt)
	})
}

// Replacing a fact by an explicit unknown never opens a mode, for a battery with
// its papers: the law asks one that may be damaged for fewer of them.
func TestUnknownNeverOpensAMode(t *testing.T) {
	cat := facts.Shipped()
	rapid.Check(t, func(t *rapid.T) {
		c := parcel(t, carriagetest.Draw(chosen(t))+"; battery.test_summary=yes; battery.wh_printed=yes; dispatch.prototype=no")
		papers := []string{"battery.test_summary", "battery.wh_printed", "dispatch.prototype"}
		names := slices.DeleteFunc(c.Names(), func(n string) bool {
			return n == "dispatch.date" || strings.HasPrefix(n, "job.") || slices.Contains(papers, n)
		})
		for range rapid.IntRange(0, 3).Draw(t, "unknown before") {
			_ = c.SetText(cat, rapid.SampledFrom(names).Draw(t, "unknown"), "unknown")
		}
		for range rapid.IntRange(0, 3).Draw(t, "missing before") {
			c.Unset(rapid.SampledFrom(names).Draw(t, "missing"))
		}
		names = slices.DeleteFunc(c.Names(), func(n string) bool { return !slices.Contains(names, n) })
		name := rapid.SampledFrom(names).Draw(t, "fact")
		before := carried(t, c)
		blind := c.Clone()
		if err := blind.SetText(cat, name, "unknown"); err != nil {
			t.Fatalf("%v", err)
		}
		noMoreOpen(t, name+" unknown", before, carried(t, blind))
	})
}

// classOf ranks the regime a basis stands for: small, then full.
func classOf(s advice.Shipping) int {
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
	energies := carriagetest.Energies()
	rapid.Check(t, func(t *rapid.T) {
		changes := carriagetest.Draw(chosen(t)) + "; battery.chemistry=nmc; battery.lithium_content=; battery.rated_energy="
		i := rapid.IntRange(0, len(energies)-2).Draw(t, "less")
		j := rapid.IntRange(i+1, len(energies)-1).Draw(t, "more")
		less, more := carried(t, parcel(t, changes+energies[i])), carried(t, parcel(t, changes+energies[j]))
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
		changes := carriagetest.Draw(chosen(t))
		c := parcel(t, changes)
		got := carried(t, c)
		if len(got) != len(rules.Modes) {
			t.Fatalf("%d modes", len(got))
		}
		hurt := slices.ContainsFunc(carriagetest.Damages, func(d string) bool { return strings.Contains(changes, d) })
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
