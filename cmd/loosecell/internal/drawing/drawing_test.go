package drawing

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/advice"
)

var update = flag.Bool("update", false, "write testdata/golden/*.svg anew")

func base() advice.Scene {
	return advice.Scene{Kind: "phone", Place: "in-open-device", Adhesive: "stretch-strip", PullTab: "intact", SideTabs: "none", Tabs: 2, TabsTorn: 0, UnderCell: "frame", Pick: "stretch-strips"}
}

func scene(change func(*advice.Scene)) advice.Scene {
	s := base()
	change(&s)
	return s
}

// scenes are every adhesive and every state of a tab, and the ways out of each.
var scenes = []struct {
	name    string
	scene   advice.Scene
	solvent bool
}{
	{"strips-whole", base(), false},
	{"strips-one-torn", scene(func(s *advice.Scene) { s.PullTab, s.TabsTorn, s.Pick = "torn", 1, "other-tab" }), false},
	{"strips-stub", scene(func(s *advice.Scene) { s.PullTab, s.TabsTorn, s.Pick = "torn", 2, "strip-stub" }), false},
	{"strips-short", scene(func(s *advice.Scene) { s.PullTab, s.Tabs, s.TabsTorn, s.Pick = "short", 3, 1, "strip-stub" }), false},
	{"strips-buried", scene(func(s *advice.Scene) {
		s.PullTab, s.TabsTorn, s.Pick, s.UnderCell, s.Taped = "buried", 2, "solvent", "display", "no"
	}), true},
	{"strips-not-known", scene(func(s *advice.Scene) {
		s.PullTab, s.Tabs, s.TabsTorn, s.SideTabs, s.Pick = "", -1, -1, "", "undecided"
	}), false},
	{"side-tabs-pinned", scene(func(s *advice.Scene) { s.Kind, s.SideTabs, s.Tabs = "tablet", "pinned", 1 }), false},
	{"side-tabs-free", scene(func(s *advice.Scene) { s.Kind, s.SideTabs, s.Tabs = "tablet", "free", 1 }), false},
	{"lift-film", scene(func(s *advice.Scene) { s.Adhesive, s.Pick, s.UnderCell = "lift-film", "lift-film", "shielded-flex" }), false},
	{"pull-cord", scene(func(s *advice.Scene) { s.Adhesive, s.Pick, s.UnderCell = "pull-cord", "pull-cord", "bare-flex" }), false},
	{"tape-warm", scene(func(s *advice.Scene) { s.Adhesive, s.Pick = "plain-tape", "warm" }), false},
	{"tape-solvent", scene(func(s *advice.Scene) {
		s.Adhesive, s.Pick, s.UnderCell, s.Taped = "plain-tape", "solvent", "display", "yes"
	}), true},
	{"glue-card", scene(func(s *advice.Scene) { s.Kind, s.Adhesive, s.Pick = "laptop", "liquid-glue", "card" }), true},
	{"foam-card", scene(func(s *advice.Scene) { s.Kind, s.Adhesive, s.Pick, s.UnderCell = "earbud-case", "foam", "card", "" }), false},
	{"voltage-release", scene(func(s *advice.Scene) { s.Adhesive, s.Pick = "voltage-release", "voltage-release" }), false},
	{"screws", scene(func(s *advice.Scene) {
		s.Kind, s.Adhesive, s.Pick, s.Swelling = "laptop", "none", "fasteners", "slight"
	}), false},
	{"soldered", scene(func(s *advice.Scene) {
		s.Kind, s.Adhesive, s.Pick, s.Soldered = "watch", "plain-tape", "cut-leads", "yes"
	}), false},
	{"nothing-known", advice.Scene{Tabs: -1, TabsTorn: -1, Pick: "undecided"}, true},
}

func sameAsGolden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("..", "..", "..", "..", "testdata", "golden", name+".svg")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; run with -update to write it", err)
	}
	if got != string(want) {
		t.Errorf("the picture differs from %s; look at it, then run with -update", file)
	}
}

// TestGoldenPictures keeps each drawing as a reader last approved it by eye.
func TestGoldenPictures(t *testing.T) {
	for _, s := range scenes {
		t.Run(s.name, func(t *testing.T) {
			for _, p := range []Picture{Plan(s.scene, s.solvent), Section(s.scene, true)} {
				sameAsGolden(t, p.Name+"-"+s.name, p.SVG(""))
			}
		})
	}
	t.Run("ladder", func(t *testing.T) { sameAsGolden(t, "ladder", Ladder(everyState()).SVG("")) })
	for _, c := range charts(t) {
		t.Run(c.Name, func(t *testing.T) { sameAsGolden(t, "chart-"+c.Name, c.SVG("")) })
	}
}

func everyState() []Rung {
	return []Rung{
		{"Stretch the strips out", Tried, ""}, {"Get hold of the stub", Now, "about 8 min"}, {"Pull by another tab", Next, "about 6 min"},
		{"Warm the adhesive gently", NotYet, ""}, {"Let a little solvent creep in", Barred, ""}, {"Thin card or thread", Elected, "about 20 min"},
	}
}

func charts(t *testing.T) []Picture {
	t.Helper()
	heat := &advice.HeatPicture{SetPointC: 60, CellLimitC: 60, SoftC: 50, LimitMin: 5}
	discharge := &advice.DischargePicture{TargetPct: 25, Ways: []advice.DischargeWay{{Name: "bright screen", Hours: 4}, {Name: "idle", Hours: 9}}, StopRestedV: 3.72}
	gas := &advice.GasPicture{DangerPPM: 30, ReenterPPM: 2, BackMin: advice.Band{Low: 90, Middle: 200, High: 3000}}
	for i := range 21 {
		x := float64(i)
		rise := func(to float64) float64 { return 22 + (to-22)*(1-math.Exp(-x/6)) }
		heat.Points = append(heat.Points, advice.HeatPoint{Minutes: x * 0.4, AdhesiveC: advice.Band{Low: rise(48), Middle: rise(53), High: rise(57)}, Cell: advice.Band{Low: rise(44), Middle: rise(50), High: rise(55)}})
		discharge.Points = append(discharge.Points, advice.DischargePoint{Hours: x / 2, ChargePct: advice.Band{Low: max(25, 70-x*6), Middle: max(25, 75-x*4), High: max(25, 80-x*2.75)},
			Volts: &advice.Band{Low: max(3.6, 3.9-x*0.05), Middle: max(3.7, 3.95-x*0.02), High: max(3.75, 4-x*0.012)}})
		gas.Points = append(gas.Points, advice.GasPoint{Minutes: x * 12.5, PPM: advice.Band{Low: 5 * math.Exp(-x*0.8), Middle: 40 * math.Exp(-x*0.25), High: 900 * math.Exp(-x*0.1)}})
	}
	var out []Picture
	keep := func(p Picture, err error) {
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
	keep(Heat(heat))
	keep(Charge(discharge))
	volts, ok, err := Volts(discharge)
	if !ok {
		t.Error("a course with volts gives no chart of volts")
	}
	keep(volts, err)
	keep(Gas(gas))
	return out
}

// TestPicturesSayInWordsWhatTheyShow holds every picture to a title, a
// description, a caption and well-formed XML (W3C SVG 2, 5.7: title and desc).
func TestPicturesSayInWordsWhatTheyShow(t *testing.T) {
	all := append(charts(t), Ladder(everyState()))
	for _, s := range scenes {
		all = append(all, Plan(s.scene, s.solvent), Section(s.scene, false))
	}
	for _, p := range all {
		if p.Title == "" || p.Desc == "" || p.Caption == "" {
			t.Errorf("%s: title %q, description %q, caption %q: none may be empty", p.Name, p.Title, p.Desc, p.Caption)
		}
		wellFormed(t, p.SVG("a1-"))
	}
}

func wellFormed(t interface{ Fatalf(string, ...any) }, svg string) {
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, svg)
		}
	}
}

// TestPlansNameTheRightTab is the point of the picture: the arrow's words fit the
// rung, and no whole tab is invented.
func TestPlansNameTheRightTab(t *testing.T) {
	for name, want := range map[string][2]string{ // said, never said
		"strips-whole":     {"Whole tab: roll it", "torn"},
		"strips-one-torn":  {"Whole tab: roll it", "Torn stub, flush: fish"},
		"strips-stub":      {"Torn stub, flush: fish", "Whole tab"},
		"strips-buried":    {"Tab gone under the cell", "Whole tab"},
		"strips-not-known": {"state not known", "Whole tab"},
		"side-tabs-pinned": {"free both before", "Outer flaps, free"},
		"lift-film":        {"straight up", "tab"},
		"nothing-known":    {"What holds the cell is not known", "Pull"},
	} {
		for _, s := range scenes {
			if s.name != name {
				continue
			}
			got := Plan(s.scene, s.solvent).Desc
			if !strings.Contains(got, want[0]) || strings.Contains(got, want[1]) {
				t.Errorf("%s: want %q and not %q in %q", name, want[0], want[1], got)
			}
		}
	}
}

// TestNoLiquidIsDrawnWhereItIsRuledOut: a drop on the sheet is an invitation.
func TestNoLiquidIsDrawnWhereItIsRuledOut(t *testing.T) {
	for _, s := range scenes {
		if got := Plan(s.scene, false).Desc; strings.Contains(got, "Liquid, if") {
			t.Errorf("%s: the plan tells where liquid goes although it is ruled out", s.name)
		}
	}
}

// TestAnyWordsDraw: a scene of any words gives well-formed pictures, the same each time.
func TestAnyWordsDraw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := func(label string) string {
			return rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", "stretch-strip", "torn", "pinned", "display", "solvent", "<script>alert(1)</script>", "phone"})).Draw(t, label)
		}
		s := advice.Scene{Kind: word("kind"), Adhesive: word("adhesive"), PullTab: word("tab"), SideTabs: word("side"), UnderCell: word("under"),
			Taped: word("taped"), Soldered: word("soldered"), Pick: word("pick"), Likely: word("likely"),
			Tabs: rapid.IntRange(-1, 30).Draw(t, "tabs"), TabsTorn: rapid.IntRange(-1, 30).Draw(t, "torn")}
		plan, section := Plan(s, true).SVG("x"), Section(s, true).SVG("x")
		if plan != Plan(s, true).SVG("x") || section != Section(s, true).SVG("x") {
			t.Fatal("the same scene was drawn in two ways")
		}
		wellFormed(t, Plan(s, true).SVG("x"))
		wellFormed(t, Section(s, false).SVG("x"))
		wellFormed(t, Ladder([]Rung{{s.Kind, NotYet, s.Pick}}).SVG("x"))
	})
}

func TestStatesOfRungs(t *testing.T) {
	for _, c := range []struct {
		rung         advice.Rung
		pick, likely string
		want         RungState
	}{
		{advice.Rung{Rung: "warm", May: "yes", Fits: "yes"}, "warm", "", Now},
		{advice.Rung{Rung: "warm", May: "yes", Fits: "yes"}, "strip-stub", "", Next},
		{advice.Rung{Rung: "warm", May: "yes", Fits: "open"}, "strip-stub", "", NotYet},
		{advice.Rung{Rung: "warm", May: "open", Fits: "yes"}, "undecided", "warm", Elected},
		{advice.Rung{Rung: "warm", May: "no", Fits: "yes"}, "undecided", "", Barred},
		{advice.Rung{Rung: "warm", May: "yes", Fits: "yes", Tried: true}, "card", "", Tried},
	} {
		if got := StateOf(c.rung, c.pick, c.likely); got != c.want {
			t.Errorf("%+v, pick %q, likely %q: state %d, want %d", c.rung, c.pick, c.likely, got, c.want)
		}
	}
}

// TestChartsRefuseWhatCannotBeDrawn: no panic in the plotting library.
func TestChartsRefuseWhatCannotBeDrawn(t *testing.T) {
	bad := math.NaN()
	if _, err := Heat(&advice.HeatPicture{Points: []advice.HeatPoint{{Minutes: bad}}}); err == nil {
		t.Error("a course of the heat that is not a number is drawn")
	}
	if _, err := Charge(&advice.DischargePicture{}); err == nil {
		t.Error("an empty discharge is drawn")
	}
	if _, err := Gas(&advice.GasPicture{Points: []advice.GasPoint{{PPM: advice.Band{High: math.Inf(1)}}}}); err == nil {
		t.Error("an endless concentration is drawn")
	}
}

// TestTicksAreRound: axes carry numbers a person reads at a glance.
func TestTicksAreRound(t *testing.T) {
	var got []string
	for _, tick := range (few{}).Ticks(20, 64) {
		got = append(got, tick.Label)
	}
	if want := []string{"20", "30", "40", "50", "60"}; !slices.Equal(got, want) {
		t.Errorf("ticks from 20 to 64 are %v, want %v", got, want)
	}
}
