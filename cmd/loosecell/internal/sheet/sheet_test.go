package sheet

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// tornTab is a hand-made advice that fills every part of a sheet.
func tornTab() *advice.Advice {
	half, cap30, net := 60.0, 30.0, 5.0
	line := func(text string) advice.Line { return advice.Line{Text: text, Source: "common practice"} }
	return &advice.Advice{
		Schema: advice.Schema, Case: "torn-tab.yaml", Ticket: "HL-204", Date: "2026-11-24", Goal: "replace",
		Verdict: "prepare", Because: "The way out is clear, but eye protection and a fire bin come first.",
		Prepare: []advice.Preparation{
			{Text: "Put on goggles.", Fact: "bench.eye_protection", Kind: "quick", Minutes: 1, Source: "common practice"},
			{Text: "Fetch the sand bin.", Fact: "bench.fire_bin", Kind: "blocking", Minutes: 4, Source: "common practice"},
		},
		Condition: "sound", TransportState: "not-damaged",
		Removal: advice.Removal{
			Pick: "strip-stub",
			Rungs: []advice.Rung{
				{Rung: "strip-stub", May: "yes", Fits: "yes", Minutes: 10},
				{Rung: "warm", May: "no", Fits: "yes", Why: []string{"The charge may be over 30 %"}, PutBack: []string{"a charge of 30 % or less"}, Minutes: 20},
				{Rung: "lift-film", May: "yes", Fits: "no"},
			},
			Steps: []advice.Step{
				{Number: 1, Text: "Free the stub with flat plastic tweezers.", Source: "common practice"},
				{Number: 2, Text: "Pull it flat, under 35 degrees, slowly.", Source: "US 5,516,581 (1996), abstract"},
			},
		},
		Opening:   &advice.Opening{Needed: true, May: "yes", SurfaceLimitC: 60, TimeLimitMin: 3, WhereToHeat: "the rim away from the cell", Steps: []advice.Step{{Number: 1, Text: "Warm the rim.", Source: "common practice"}}},
		Discharge: advice.Discharge{May: "yes", Due: "no", Action: "none", TargetSoCPct: 25, ChargePct: &advice.Range{Low: 14, High: 19}},
		Heat:      advice.Heat{May: "yes", SurfaceLimitC: &half, TimeLimitMin: &net},
		Solvent: advice.Solvent{May: "open", Choice: "isopropanol-99", DoseML: &advice.Band{Low: 0.3, Middle: 0.4, High: 0.5}, Why: []string{"The battery may still be connected"},
			RuledOut: []advice.RuledOut{{Solvent: "acetone", Why: "attacks polycarbonate"}}},
		Storage:   &advice.Storage{Class: "general", Container: "open metal tray", SoCBandPct: &advice.Range{Low: 20, High: 50}, LookAgain: "after 24 h"},
		Shipping:  []advice.Shipping{{Mode: "road", Allowed: "yes", UNNumber: "UN 3480", Name: "LITHIUM ION BATTERIES", Basis: []string{"SP 188"}, Edition: "ADR 2025", SoCCapPct: &cap30, SoCCapKind: "mandatory", NetLimitKg: &net}},
		PPE:       []advice.Line{line("Goggles.")},
		StopSigns: []advice.Line{line("It hisses, smells sweet or warms by itself.")},
		Emergency: []advice.Line{line("Smoke: leave and call 112.")},
		Cautions:  []advice.Line{line("No heat after solvent.")},
		Deference: line("Local law stands above this sheet."),
		Numbers:   []advice.Figure{{Name: "rated_energy", Low: 15.4, High: 15.4, Unit: "Wh", Basis: "as marked", Source: "the label"}},
		Assumed:   []advice.Assumption{{Fact: "battery.chemistry", Value: "lco | nmc", Why: "usual in phones"}},
		Unknowns: []advice.Unknown{{Fact: "battery.rest_voltage", Ask: "What does a meter read at rest?", How: "Measure at the connector", Minutes: 2,
			Changes: []advice.Change{{Answer: "heat.may", If: "at most 3.7 V", To: "yes"}}}},
		Trace: []advice.Trace{{Rule: "r", Answer: "verdict", Effect: "alarm", Certain: true, Because: "It smells of solvent.", Source: "common practice"}},
	}
}

func render(t *testing.T, a *advice.Advice, o Options) string {
	t.Helper()
	var out bytes.Buffer
	if err := Text(&out, a, o); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestOrderOfASheet(t *testing.T) {
	a := tornTab()
	a.Condition = "unproven" // what stands behind a sheet is told in full
	got := render(t, a, Options{Carriage: true})
	at := 0
	for _, want := range []string{
		"PREPARE", "torn-tab.yaml", "eye protection and a fire bin", "Time", "5 min to get ready", "First  Put on goggles.", "Then   Fetch the sand bin.",
		"BEFORE YOU START", "OPEN THE DEVICE", "60 °C", "TAKE IT OUT", "1.  Free the stub", "2.  Pull it flat", "LIMITS", "Charge", "14 to 19 %", "Heat", "Solvent", "Not yet",
		"OTHER WAYS THAT FIT", "- Warm: no.", "What would put it back", "STORE IT", "SHIP IT", "UN 3480", "WEAR", "STOP AT ONCE IF", "IF IT GOES WRONG",
		"NOT KNOWN", "What does a meter read", "Could change heat to yes if it is at most 3.7 V.", "TAKEN AS SO", "TAKE CARE", "NUMBERS", "15.4 Wh", "SOURCES", "[1] common practice", "Local law stands above",
	} {
		i := strings.Index(got[at:], want)
		if i < 0 {
			t.Fatalf("after byte %d: no %q in\n%s", at, want, got)
		}
		at += i
	}
	if strings.Contains(got, "Lift film:") {
		t.Error("a rung that does not fit is listed as another way")
	}
}

// Whoever takes out an ordinary sound cell reads neither numbers nor carriage
// that nobody asked about.
func TestAnOrdinarySheetIsShort(t *testing.T) {
	got := render(t, tornTab(), Options{})
	for _, never := range []string{"SHIP IT", "UN 3480", "NUMBERS"} {
		if strings.Contains(got, never) {
			t.Errorf("%q on the sheet of a sound cell:\n%s", never, got)
		}
	}
}

// Modes with the same answer share a line, and what holds for several is said
// once.
func TestModesWithOneAnswerShareALine(t *testing.T) {
	a := tornTab()
	no := advice.Shipping{Mode: "post", Allowed: "no", Why: []string{"It may fly."}, Basis: []string{"A154"}, Notes: []string{"Ask the carrier."}}
	air := no
	air.Mode = "air-cargo"
	a.Shipping = append(a.Shipping, air, no)
	got := render(t, a, Options{Carriage: true})
	for _, want := range []string{"- Road: Yes, UN 3480", "- Air cargo, Post: No. It may fly."} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	if n := strings.Count(got, "Ask the carrier."); n != 1 {
		t.Errorf("the note stands %d times, want once", n)
	}
}

func TestFirstScreenHoldsWhatIsDoneFirst(t *testing.T) {
	a := tornTab()
	long := strings.Repeat("a rather long explanation of the matter ", 40)
	a.Because, a.Case, a.Ticket = long, long, long
	a.Prepare[0].Text, a.Prepare[1].Text = "Alpha "+long, "Beta "+long
	a.Removal.Likely = long
	screen := strings.Join(strings.Split(render(t, a, Options{}), "\n")[:firstScreen], "\n")
	for _, want := range []string{"PREPARE", "a rather long", "to get ready", "First  Alpha", "Then   Beta"} {
		if !strings.Contains(screen, want) {
			t.Errorf("the first %d lines lack %q:\n%s", firstScreen, want, screen)
		}
	}
}

func TestASourceIsNumberedOnce(t *testing.T) {
	got := render(t, tornTab(), Options{})
	if n := strings.Count(got, "] common practice"); n != 1 {
		t.Errorf("common practice stands %d times under SOURCES, want once", n)
	}
	if !strings.Contains(got, "slowly. [2]") || !strings.Contains(got, "[2] US 5,516,581") {
		t.Errorf("the second source is not marked beside its line:\n%s", got)
	}
}

func TestEvacuation(t *testing.T) {
	a := tornTab()
	a.Verdict, a.Because = "evacuate", "Smoke comes from the cell."
	place := Place{Address: "3 Harbour Lane", EmergencyNumber: "112", MeetingPoint: "the slipway gate"}
	long := strings.Repeat("A rulebook that talks too much for a person on the way out. ", 9)
	for name, lines := range map[string][]advice.Line{
		"nothing from the rulebook": nil,
		"the rulebook says it all":  {{Text: "Leave the room and shut the door."}, {Text: "Call 112, 3 Harbour Lane."}, {Text: "Meet at the slipway gate."}},
		"too much":                  {{Text: "Leave the room."}, {Text: long}, {Text: long}},
	} {
		t.Run(name, func(t *testing.T) {
			a.Emergency = lines
			got := render(t, a, Options{Place: place})
			if n := strings.Count(got, "\n"); n > evacuationLines {
				t.Errorf("%d lines, want %d at most:\n%s", n, evacuationLines, got)
			}
			for _, want := range []string{"EVACUATE", "Leave", "112", "3 Harbour Lane", "slipway gate"} {
				if !strings.Contains(got, want) {
					t.Errorf("no %q in\n%s", want, got)
				}
			}
			for _, never := range []string{"stub", "solvent", "warm", "Pull", "discharge"} {
				if strings.Contains(got, never) {
					t.Errorf("an evacuation names a method (%q):\n%s", never, got)
				}
			}
		})
	}
	a.Emergency = nil
	if got := render(t, a, Options{}); !strings.Contains(got, "emergency number") || !strings.Contains(got, "address") || !strings.Contains(got, "Meet") {
		t.Errorf("without a shop file the sheet must still say leave, call, address, meet:\n%s", got)
	}
}

func TestStopIsShortAndNamesNoWayOut(t *testing.T) {
	a := tornTab()
	a.Verdict, a.Condition = "stop", "critical"
	a.Removal.Steps = []advice.Step{{Number: 1, Text: "Leave the device as it is.", Source: "common practice"}}
	got := render(t, a, Options{Place: Place{Referral: "Quay Cell Care"}})
	for _, want := range []string{"STOP", "WHY", "It smells of solvent.", "WHAT NOW", "Leave the device", "WHO TAKES OVER", "Quay Cell Care", "STORE IT", "Local law"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	for _, never := range []string{"OTHER WAYS", "LIMITS", "tweezers", "TAKE IT OUT"} {
		if strings.Contains(got, never) {
			t.Errorf("a stop shows %q:\n%s", never, got)
		}
	}
}

func TestColourOnlyPaints(t *testing.T) {
	plain := render(t, tornTab(), Options{})
	painted := render(t, tornTab(), Options{Colour: true})
	for _, code := range []string{"\x1b[1;33m", "\x1b[1m", page.PaintOff} {
		if !strings.Contains(painted, code) {
			t.Errorf("no %q in the painted sheet", code)
		}
		painted = strings.ReplaceAll(painted, code, "")
	}
	if painted != plain {
		t.Error("without its colour codes the painted sheet is not the plain one")
	}
	if strings.Contains(plain, "\x1b") {
		t.Error("the plain sheet holds an escape sequence")
	}
}

// fill sets every text, number and list of an advice to drawn values, so that
// no field added later escapes the check.
func fill(t *rapid.T, v reflect.Value, text *rapid.Generator[string]) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(text.Draw(t, "text"))
	case reflect.Float64:
		v.SetFloat(rapid.Float64().Draw(t, "number"))
	case reflect.Int:
		v.SetInt(int64(rapid.IntRange(-5, 99).Draw(t, "count")))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, "flag"))
	case reflect.Pointer:
		if rapid.Bool().Draw(t, "present") {
			v.Set(reflect.New(v.Type().Elem()))
			fill(t, v.Elem(), text)
		}
	case reflect.Slice:
		n := rapid.IntRange(0, 2).Draw(t, "length")
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			fill(t, v.Index(i), text)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i), text)
		}
	}
}

// hostile texts: long words, wide and combining characters, escape sequences,
// text-direction overrides, broken UTF-8.
func hostile() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{
			"", "yes", "no", "open", strings.Repeat("x", 300), strings.Repeat("漢字", 90), "\x1b[2J\x1b]0;title\a\x1b[31m", "a\r\nb\x00c\x7f\u009b31m",
			"\u202eright\u2066\u200b", strings.Repeat("e\u0301\u0302\u0303\u0304\u0305", 40), "\xff\xfe broken", "https://example.org/" + strings.Repeat("path/", 60),
			strings.Repeat("👩‍🔧 ", 50), strings.Repeat("word ", 60), " ", "\u00a0\u00a0", "\u2028", "ⅷ" + strings.Repeat("ﷺ", 50), strings.Repeat("\u3000", 100),
		}),
		rapid.String(),
	)
}

func TestAnyTextStaysInEightyCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := &advice.Advice{}
		text := hostile()
		fill(t, reflect.ValueOf(a).Elem(), text)
		a.Verdict = rapid.SampledFrom([]string{"proceed", "prepare", "stop", "evacuate", "else"}).Draw(t, "verdict")
		place := Place{text.Draw(t, "name"), text.Draw(t, "address"), text.Draw(t, "number"), text.Draw(t, "meet"), text.Draw(t, "referral"), text.Draw(t, "poison")}
		var out bytes.Buffer
		if err := Text(&out, a, Options{Place: place}); err != nil {
			t.Fatal(err)
		}
		sheet := strings.TrimSuffix(out.String(), "\n")
		lines := strings.Split(sheet, "\n")
		for _, l := range lines {
			if page.Cells(l) > page.Width {
				t.Fatalf("%d cells: %q", page.Cells(l), l)
			}
			for _, r := range l {
				if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == unicode.ReplacementChar {
					t.Fatalf("%U reached the sheet: %q", r, l)
				}
			}
		}
		if a.Verdict == "evacuate" && len(lines) > evacuationLines {
			t.Fatalf("%d lines:\n%s", len(lines), sheet)
		}
	})
}

func TestSameAdviceSameBytes(t *testing.T) {
	first := render(t, tornTab(), Options{})
	for range 20 {
		if render(t, tornTab(), Options{}) != first {
			t.Fatal("two renderings differ")
		}
	}
}
