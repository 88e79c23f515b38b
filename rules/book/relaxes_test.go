package book_test

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"loosecell/rules/book"
)

func shopRule(lines string) string {
	return "topic: shop\nrules:\n  - id: ours\n    because: A rule of a test.\n    source: common-practice\n" + lines
}

const declared = "    relaxes: {rule: %s, why: a jig, who: the owner, until: 2027-03-01}\n"

// What a shop may loosen, and what it has to say about it.
func TestShopMayLoosenWhatItNames(t *testing.T) {
	for _, c := range []struct {
		name, rule, code string // code "": the file is read
	}{
		{"lifts a restriction", "    lift: [heat]\n" + fmt.Sprintf(declared, "no-heat-through-a-display"), ""},
		{"offers more", "    permit: [rung.card]\n" + fmt.Sprintf(declared, "may-cut-with-card"), ""},
		{"a looser cap", "    restrict: {cap: {solvent.dose: 3 mL}}\n" + fmt.Sprintf(declared, "solvent-dose"), ""},
		{"a tighter cap needs no words", "    restrict: {cap: {solvent.dose: 1 mL}}\n", ""},
		{"permits without saying so", "    permit: [heat]\n", "shop-permits"},
		{"makes a rung apply", "    fit: [warm]\n", "shop-permits"},
		{"lifts without saying what", "    lift: [heat]\n", "relaxes"},
		{"says so and loosens nothing", "    restrict: {forbid: [heat]}\n" + fmt.Sprintf(declared, "no-heat-through-a-display"), "relaxes"},
		{"a cap that is not looser", "    restrict: {cap: {solvent.dose: 1 mL}}\n" + fmt.Sprintf(declared, "solvent-dose"), "relaxes"},
		{"something else than the rule is about", "    lift: [solvent]\n" + fmt.Sprintf(declared, "no-heat-through-a-display"), "relaxes"},
		{"a permit cannot be lifted", "    lift: [heat]\n" + fmt.Sprintf(declared, "may-warm-with-a-pad"), "relaxes"},
		{"no such rule", "    lift: [heat]\n" + fmt.Sprintf(declared, "no-heat-at-all"), "relaxes"},
		{"an alarm", "    lift: [heat]\n" + fmt.Sprintf(declared, "stop-when-critical"), "relaxes"},
		{"a grade", "    lift: [heat]\n" + fmt.Sprintf(declared, "critical-pierced"), "relaxes"},
		{"what keeps hands off critical cells", "    lift: [heat]\n" + fmt.Sprintf(declared, "nothing-when-critical"), "relaxes"},
		{"no day", "    lift: [heat]\n    relaxes: {rule: no-heat-through-a-display, why: a jig, who: the owner}\n", "relaxes"},
		{"no reason", "    lift: [heat]\n    relaxes: {rule: no-heat-through-a-display, who: the owner, until: 2027-03-01}\n", "relaxes"},
		{"nobody answers for it", "    lift: [heat]\n    relaxes: {rule: no-heat-through-a-display, why: a jig, until: 2027-03-01}\n", "relaxes"},
		{"not a day", "    lift: [heat]\n    relaxes: {rule: no-heat-through-a-display, why: a jig, who: the owner, until: soon}\n", "rule-date"},
		{"over before it begins", "    from: 2027-04-01\n    lift: [heat]\n" + fmt.Sprintf(declared, "no-heat-through-a-display"), "rule-date"},
		{"from memory", "    lift: [heat]\n" + fmt.Sprintf(declared, "no-heat-through-a-display"), ""},
		{"beside no rule", "    beside: nowhere\n    restrict: {forbid: [heat]}\n", "beside"},
		{"beside itself", "    beside: ours\n    restrict: {forbid: [heat]}\n", "beside"},
		{"beside a rule", "    beside: no-heat-on-damage\n    restrict: {forbid: [heat]}\n", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := shopRule(c.rule)
			if c.name == "from memory" {
				text = strings.Replace(text, "common-practice", "from-memory", 1)
				c.code = "memory-permits"
			}
			_, err := book.With(book.File{Name: "shop.yaml", Data: []byte(text)})
			switch {
			case c.code == "" && err != nil:
				t.Errorf("%v", err)
			case c.code != "" && (err == nil || !strings.Contains(err.Error(), "["+c.code+"]") || !strings.Contains(err.Error(), "shop.yaml:")):
				t.Errorf("%v, want [%s]", err, c.code)
			}
		})
	}
}

// What may not be loosened is named in plain words.
func TestWhatNobodyLoosensIsNamed(t *testing.T) {
	for rule, want := range map[string]string{
		"stop-when-critical": "rule stop-when-critical is an alarm, which no shop may loosen",
		"critical-pierced":   "rule critical-pierced is a grade, which no shop may loosen",
		"stop-warm":          "rule stop-warm is a sentence of the sheet, which no shop may loosen",
		"hold-air":           "rule hold-air is a hold, which no shop may loosen",
		"storage-class":      "rule storage-class is a table, which no shop may loosen",
	} {
		text := shopRule("    lift: [heat]\n" + fmt.Sprintf(declared, rule))
		if _, err := book.With(book.File{Name: "shop.yaml", Data: []byte(text)}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// A rulebook of a hundred thousand rules, or one rule written as badly as can
// be, ends in an error within bounds of time and memory.
func TestHostileShopsEndSoon(t *testing.T) {
	rule := func(i int) string {
		return fmt.Sprintf("  - {id: r-%d, when: \"battery.mass > '%d g'\", restrict: {forbid: [heat]}, because: x, source: common-practice}\n", i, i%90+1)
	}
	var many strings.Builder
	many.WriteString("topic: many\nrules:\n")
	for i := range 100_000 {
		many.WriteString(rule(i))
	}
	var full strings.Builder
	full.WriteString("topic: many\nrules:\n")
	for i := range 1_500 {
		full.WriteString(rule(i))
	}
	deep := strings.Repeat("not (", 300) + "battery.odour" + strings.Repeat(")", 300)
	chain := "battery.odour"
	for range 200 {
		chain += " or battery.odour"
	}
	var doubling strings.Builder
	doubling.WriteString("topic: t\ndefine:\n  d0: battery.odour or battery.venting\n")
	for i := 1; i < 60; i++ {
		fmt.Fprintf(&doubling, "  d%d: (d%d and battery.mass > '%d g') or (d%d and battery.mass < '%d g')\n", i, i-1, i, i-1, i)
	}
	doubling.WriteString("rules: []\n")
	for name, c := range map[string]struct {
		text string
		bad  bool
	}{
		"a hundred thousand rules": {many.String(), true},
		"fifteen hundred rules":    {full.String(), false},
		"nested too deep":          {shopRule("    when: " + deep + "\n    restrict: {forbid: [heat]}\n"), true},
		"one very long line":       {shopRule("    when: " + strings.Repeat("battery.odour or ", 500) + "battery.odour\n    restrict: {forbid: [heat]}\n"), true},
		"a long chain":             {shopRule("    when: " + chain + "\n    restrict: {forbid: [heat]}\n"), true},
		"a file of brackets":       {strings.Repeat("[", 100_000), true},
		"a file of braces":         {strings.Repeat("{a: ", 20_000), true},
		"an alias bomb":            {"topic: &a [x, x, x, x]\ndefine: &b [*a, *a, *a, *a]\nrules: [*b, *b, *b, *b]\n", true},
		"names that double":        {doubling.String(), false},
		"a very long reason":       {shopRule("    restrict: {forbid: [heat]}\n    x: " + strings.Repeat("y", 1<<20) + "\n"), true},
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			err := book.Check(book.File{Name: "shop.yaml", Data: []byte(c.text)})
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			if c.bad != (err != nil) {
				t.Errorf("error: %.300v, want one: %v", err, c.bad)
			}
			// Bounds wide enough for a busy machine; an explosion passes any.
			if took > 30*time.Second {
				t.Errorf("it takes %v", took)
			}
			if spent := after.TotalAlloc - before.TotalAlloc; spent > 2<<30 {
				t.Errorf("it allocates %d MB", spent>>20)
			}
		})
	}
}
