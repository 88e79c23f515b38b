package solvent

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"loosecell/hazards"
	"pgregory.net/rapid"
)

func TestEveryLiquidIsWhole(t *testing.T) {
	all, err := All()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != len(every) {
		t.Fatalf("%d liquids, the case words are %v", len(all), every)
	}
	for i, l := range all {
		if l.Preference != i+1 {
			t.Errorf("%s stands at %d with preference %d", l.Name, i+1, l.Preference)
		}
		if l.Fire.LFLLow <= 0 || l.Fire.LFLLow > l.Fire.LFLHigh || l.Fire.LFLHigh >= l.Fire.UFLLow || l.Fire.FlashLowC > l.Fire.FlashHighC {
			t.Errorf("%s: fire data out of order: %+v", l.Name, l.Fire)
		}
		if l.Limits.ShortTermPpm < l.Limits.DayPpm {
			t.Errorf("%s: short-term limit under the 8 h one: %+v", l.Name, l.Limits)
		}
		if !slices.ContainsFunc(l.Notes, func(n Note) bool { return n.Kind == "skin" || n.Kind == "sensitiser" }) {
			t.Errorf("%s has no skin note", l.Name)
		}
	}
}

func TestEveryRowHasASource(t *testing.T) {
	files, err := tables()
	if err != nil {
		t.Fatal(err)
	}
	for name, lines := range files {
		for _, r := range lines {
			o := r.origin()
			if o.Source == "" || !slices.Contains([]string{"read", "secondary", "memory", "practice"}, o.Known) {
				t.Errorf("data/%s row %d: source %q, known %q", name, r.line, o.Source, o.Known)
			}
		}
	}
}

// Keys are resolved by rules/source, which this package may not import; the
// table of documents is searched as text.
func TestSourceKeysAreListed(t *testing.T) {
	shipped, err := filepath.Glob("../../rules/source/shipped/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var listed strings.Builder
	for _, file := range shipped {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		listed.Write(text)
		listed.WriteByte('\n')
	}
	files, err := tables()
	if err != nil {
		t.Fatal(err)
	}
	for name, lines := range files {
		for _, r := range lines {
			for key := range strings.FieldsSeq(r.origin().Source) {
				if !regexp.MustCompile(`key: ` + key + `[,\s]`).MatchString(listed.String()) {
					t.Errorf("data/%s row %d: source %q is in no table of documents", name, r.line, key)
				}
			}
		}
	}
}

// The saturated headspace at 20 degC burns for the alcohols, heptane and ethyl
// acetate, is too rich for acetone and too thin for limonene.
func TestHeadspaceAt20(t *testing.T) {
	want := map[string]string{"isopropanol-99": "burns", "ethanol": "burns", "heptane": "burns", "ethyl-acetate": "burns", "acetone": "rich", "limonene": "thin"}
	for name, state := range want {
		l := find(t, name)
		s, err := l.SaturationPpm(exact(20))
		if err != nil {
			t.Fatal(err)
		}
		got := "burns"
		switch percent := s.Middle / 1e4; {
		case percent < l.Fire.LFLLow:
			got = "thin"
		case percent > l.Fire.UFLHigh:
			got = "rich"
		}
		if got != state {
			t.Errorf("%s: %s, want %s (%.2f %%)", name, got, state, s.Middle/1e4)
		}
	}
}

func TestDose(t *testing.T) {
	bond := func(l, w, h float64, edges int) Bond { return Bond{exact(l), exact(w), exact(h), edges, false} }
	for _, c := range []struct {
		name              string
		bond              Bond
		used              float64
		low, middle, high float64
		capped            bool
	}{
		// 60 x 90 mm: 0.27 mL at 0.05 mm, 0.54 mL at 0.10 mm, plus 20 to 50 %; caps are common practice.
		{"thin bond of a phone cell", bond(60, 90, 0.05, 2), 0, 0.324, 0.3645, 0.405, false},
		{"thick bond of a phone cell", bond(60, 90, 0.10, 2), 0, 0.648, 0.729, 0.81, false},
		{"one edge within reach", bond(60, 90, 0.10, 1), 0, 0.5, 0.5, 0.5, true},
		{"a laptop cell", bond(300, 100, 0.2, 4), 0, 2, 2, 2, true},
		{"after 1.7 mL", bond(60, 90, 0.10, 2), 1.7, 0.3, 0.3, 0.3, true},
		{"the job has had its share", bond(60, 90, 0.10, 2), 2.5, 0, 0, 0, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Dose(c.bond, exact(c.used))
			if err != nil {
				t.Fatal(err)
			}
			near(t, got.JobML.Low+1, c.low+1, 0.01, "the gap and 20 %")
			near(t, got.JobML.Middle+1, c.middle+1, 0.01, "the gap and 35 %")
			near(t, got.JobML.High+1, c.high+1, 0.01, "the gap and 50 %")
			if got.Capped != c.capped {
				t.Errorf("capped %v", got.Capped)
			}
		})
	}
}

func TestDoseProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bond := Bond{drawEstimate(t, "length", 5, 100), drawEstimate(t, "width", 5, 100), drawEstimate(t, "gap", 0.02, 0.5),
			rapid.IntRange(1, 4).Draw(t, "edges"), false}
		used := drawEstimate(t, "used", 0, 3)
		d, err := Dose(bond, used)
		if err != nil {
			t.Fatal(err)
		}
		if d.JobML.High+used.High > JobCapML+1e-9 && d.JobML.High > 0 {
			t.Fatalf("%v after %v passes the cap of a job", d.JobML, used)
		}
		if d.PerEdgeML.High > PerEdgeCapML+1e-9 {
			t.Fatalf("%v passes the cap of an edge", d.PerEdgeML)
		}
		larger := bond
		larger.WidthMM, _ = bond.WidthMM.Scale(2)
		after, err := Dose(larger, used)
		if err != nil {
			t.Fatal(err)
		}
		if after.JobML.Low < d.JobML.Low || after.JobML.High < d.JobML.High {
			t.Fatalf("a larger bond lowered the dose: %v after %v", after.JobML, d.JobML)
		}
		usedMore := hazards.Estimate{Low: used.Low, Middle: used.Middle, High: used.High + 1}
		after, err = Dose(bond, usedMore)
		if err != nil {
			t.Fatal(err)
		}
		if after.JobML.High > d.JobML.High {
			t.Fatalf("more used raised the dose: %v after %v", after.JobML, d.JobML)
		}
	})
}

// A bench without a fan: 1 mL gives some 0.4 L of vapour an hour and wants about
// 1 m3/h of well-mixed air, far less against fire (worked from the box form).
func TestMinimumAirAndCourse(t *testing.T) {
	ipa := find(t, "isopropanol-99")
	breathing, fire, err := ipa.MinimumAir(exact(1), exact(20))
	if err != nil {
		t.Fatal(err)
	}
	// 0.3149 L over 47.2 min = 0.400 L/h; at 400 ppm 1.0 m3/h, at 0.5 % 0.080 m3/h.
	near(t, breathing.Middle, 1.0, 1, "G/C at 400 ppm")
	near(t, fire.Middle, 0.080, 1, "G/C at a quarter of 2 %")
	if breathing.High < 10*breathing.Middle {
		t.Errorf("the high end takes the worst mixing: %v", breathing)
	}
	box := bench(func(*Setting) {}).Room
	course, err := ipa.VapourCourse(box, exact(1), exact(20), 120, 12)
	if err != nil {
		t.Fatal(err)
	}
	exposure, err := ipa.Exposure(box, exact(1), exact(20))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range course {
		if p.Value.High > exposure.RoomPpm.High*(1+1e-9) {
			t.Errorf("minute %g: %v is over the peak %v", p.Minutes, p.Value, exposure.RoomPpm)
		}
	}
}

func TestSoakIsTwoToFiveMinutes(t *testing.T) {
	thin := Bond{exact(60), exact(90), exact(0.1), 2, false}
	thick := thin
	thick.Thick = true
	pure, err := find(t, "isopropanol-99").Soak(thin)
	if err != nil || pure.Low != 2 || pure.High != 5 {
		t.Errorf("common practice is 2 to 5 min, got %v (%v)", pure, err)
	}
	watery, err := find(t, "isopropanol-70").Soak(thin)
	if err != nil || watery.Middle <= pure.Middle || watery.High > 5 {
		t.Errorf("70 %% is slower within 5 min, got %v (%v)", watery, err)
	}
	foam, err := find(t, "isopropanol-99").Soak(thick)
	if err != nil || foam.Low != 5 {
		t.Errorf("foam takes the full 5 min, got %v (%v)", foam, err)
	}
}

func TestWickTime(t *testing.T) {
	w, err := find(t, "isopropanol-99").WickTime(exact(0.05), exact(35), exact(20))
	if err != nil {
		t.Fatal(err)
	}
	// 8.2 s at no contact angle; 3 % and 2 % of doubt in viscosity and tension.
	if w.EntryCertain || w.Seconds.Low > 8.2 || w.Seconds.Middle < 8.2 || w.Seconds.High < 2*8.2 {
		t.Errorf("got %+v", w)
	}
	h, err := SwellingHours(exact(1))
	if err != nil {
		t.Fatal(err)
	}
	near(t, h.Low, 0.556, 1, "x^2/D")
	near(t, h.Middle, 2.78, 1, "x^2/D")
	near(t, h.High, 27.8, 1, "x^2/D")
}

func TestDryBeforePower(t *testing.T) {
	for _, name := range []string{"isopropanol-99", "isopropanol-70"} {
		d, err := find(t, name).DryBeforePower(exact(1), exact(20), exact(35), exact(0.2), exact(20))
		if err != nil {
			t.Fatal(err)
		}
		if !d.LiftFirst || d.PowerMinutes != d.FilmMinutes.High || d.TrappedDays.High < 5 {
			t.Errorf("%s: %+v", name, d)
		}
		if d.PowerMinutes < 3*40 || d.PowerMinutes > 24*60 {
			t.Errorf("%s: power after %.0f min", name, d.PowerMinutes)
		}
	}
	pure, _ := find(t, "isopropanol-99").TrappedDays(exact(35), exact(20))
	watery, _ := find(t, "isopropanol-70").TrappedDays(exact(35), exact(20))
	if watery.High <= pure.High {
		t.Errorf("water left behind dries later: %v, %v", watery, pure)
	}
}

func TestCompatibility(t *testing.T) {
	for _, c := range []struct {
		liquid, material string
		want             Rating
	}{
		{"heptane", "abs", Attacked},         // immersion rating poor, read
		{"heptane", "silicone", Attacked},    // read
		{"acetone", "pc", Attacked},          // read
		{"isopropanol-99", "pc", Caution},    // immersion excellent, cracks under stress
		{"isopropanol-70", "pet", Caution},   // resists by memory alone
		{"isopropanol-99", "abs", Caution},   // no immersion rating was found
		{"ethanol", "silicone", Caution},     // good, read
		{"isopropanol-99", "wood", NotRated}, // neither table
		{"isopropanol-99", "nylon", Attacked},
		{"limonene", "abs", Attacked},
		{"isopropanol-99", "silicone", Resists},
	} {
		t.Run(c.liquid+" on "+c.material, func(t *testing.T) {
			got, err := find(t, c.liquid).Compatibility(c.material)
			if err != nil {
				t.Fatal(err)
			}
			if got.Rating != c.want {
				t.Errorf("got %s, want %s", got.Rating, c.want)
			}
		})
	}
}

// Isopropanol dissolves neither family; heptane suits rubber, acetone acrylic.
func TestREDFamily(t *testing.T) {
	for _, c := range []struct {
		liquid string
		family Family
		under  bool
	}{
		{"isopropanol-99", Acrylic, false}, {"isopropanol-99", Rubber, false},
		{"heptane", Rubber, true}, {"acetone", Acrylic, true},
	} {
		e, err := find(t, c.liquid).REDFamily(c.family)
		if err != nil {
			t.Fatal(err)
		}
		if e.Middle < 1 != c.under {
			t.Errorf("%s on %s: %v", c.liquid, c.family, e)
		}
	}
	if _, err := find(t, "acetone").REDFamily("hot-melt"); err == nil {
		t.Error("an unknown family must be refused")
	}
}

// A range of temperature, dose or area covers every case in it.
func TestRangesCoverTheirCases(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(every).Draw(t, "liquid")
		l, err := Find(name)
		if err != nil {
			t.Fatal(err)
		}
		warm, dose := drawEstimate(t, "temperature", 17, 29), drawEstimate(t, "dose", 0, 2)
		area, air := drawEstimate(t, "area", 5, 200), drawEstimate(t, "air", 0.05, 1)
		gap, length := drawEstimate(t, "gap", 0.02, 0.5), drawEstimate(t, "length", 5, 100)
		answers := func(warm, dose, area, air, gap, length hazards.Estimate) []hazards.Estimate {
			var out []hazards.Estimate
			keep := func(e hazards.Estimate, err error) {
				if err != nil {
					t.Fatal(err)
				}
				out = append(out, e)
			}
			keep(l.VapourPressurePa(warm))
			keep(l.Density(warm))
			keep(l.Viscosity(warm))
			keep(l.SurfaceTension(warm))
			keep(l.Evaporation(air, warm))
			keep(l.FilmMinutes(dose, area, air, warm))
			keep(l.TrappedDays(length, warm))
			keep(l.VapourLitres(dose, warm))
			keep(l.SaturationPpm(warm))
			w, err := l.WickTime(gap, length, warm)
			keep(w.Seconds, err)
			return out
		}
		pick := func(what string, e hazards.Estimate) hazards.Estimate {
			return exact(rapid.Float64Range(e.Low, e.High).Draw(t, what+" picked"))
		}
		one := answers(pick("temperature", warm), pick("dose", dose), pick("area", area), pick("air", air), pick("gap", gap), pick("length", length))
		for i, all := range answers(warm, dose, area, air, gap, length) {
			if one[i].Low < all.Low*(1-1e-9) || one[i].High > all.High*(1+1e-9) {
				t.Fatalf("%s answer %d: %v lies outside %v", name, i, one[i], all)
			}
		}
	})
}

func TestSolventRefuses(t *testing.T) {
	ipa := find(t, "isopropanol-99")
	nan := exact(math.NaN())
	for name, f := range map[string]func() error{
		"unknown liquid":     func() error { _, err := Find("petrol"); return err },
		"zero liquid":        func() error { _, err := Liquid{}.VapourPressurePa(exact(20)); return err },
		"zero liquid soaks":  func() error { _, err := Liquid{}.Soak(Bond{exact(60), exact(90), exact(0.1), 2, false}); return err },
		"NaN temperature":    func() error { _, err := ipa.Density(nan); return err },
		"below the table":    func() error { _, err := ipa.VapourPressurePa(exact(0)); return err },
		"above the table":    func() error { _, err := ipa.Viscosity(exact(100)); return err },
		"over boiling":       func() error { _, err := ipa.Evaporation(exact(0.2), exact(90)); return err },
		"no air at all":      func() error { _, err := ipa.Evaporation(exact(0), exact(20)); return err },
		"no area":            func() error { _, err := ipa.FilmMinutes(exact(1), exact(0), exact(0.2), exact(20)); return err },
		"negative dose":      func() error { _, err := ipa.VapourLitres(exact(-1), exact(20)); return err },
		"NaN dose":           func() error { _, err := ipa.Release(nan, exact(20)); return err },
		"a wall of a gap":    func() error { _, err := ipa.WickTime(exact(50), exact(20), exact(20)); return err },
		"non-wetting":        func() error { _, err := PlateWickSeconds(2e-3, 2e-2, 5e-5, 0.03, 90); return err },
		"infinite viscosity": func() error { _, err := TubeWickSeconds(math.Inf(1), 2e-2, 5e-5, 0.03, 0); return err },
		"five edges":         func() error { _, err := Dose(Bond{exact(60), exact(90), exact(0.1), 5, false}, exact(0)); return err },
		"NaN used":           func() error { _, err := Dose(Bond{exact(60), exact(90), exact(0.1), 2, false}, nan); return err },
		"unknown polymer":    func() error { _, err := RED("acetone", "oak"); return err },
		"depth of a well":    func() error { _, err := ipa.TrappedDays(exact(1e4), exact(20)); return err },
		"Schmidt of nothing": func() error { _, err := PoolMassTransferMPerS(0.2, 0.1, 0); return err },
		"NaN depth":          func() error { _, err := SwellingHours(nan); return err },
	} {
		t.Run(name, func(t *testing.T) {
			if err := f(); err == nil || !strings.HasPrefix(err.Error(), "solvent: ") {
				t.Errorf("want an error of package solvent, got %v", err)
			}
		})
	}
}

func BenchmarkDryBeforePower(b *testing.B) {
	l := find(b, "isopropanol-70")
	for b.Loop() {
		if _, err := l.DryBeforePower(exact(1), exact(20), exact(35), exact(0.2), exact(20)); err != nil {
			b.Fatal(err)
		}
	}
}
