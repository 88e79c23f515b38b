package room

import (
	"math"
	"strings"
	"testing"

	"loosecell/hazards"
	"pgregory.net/rapid"
)

const slack = 1e-9 // rounding, relative

func drawEstimate(t *rapid.T, what string, low, high float64) hazards.Estimate {
	a := rapid.Float64Range(low, high).Draw(t, what+" low")
	b := rapid.Float64Range(a, high).Draw(t, what+" middle")
	c := rapid.Float64Range(b, high).Draw(t, what+" high")
	return hazards.Estimate{Low: a, Middle: b, High: c}
}

func drawBox(t *rapid.T) Box {
	return Box{drawEstimate(t, "volume", 1, 500), drawEstimate(t, "air changes", 0, 20)}
}

func drawRelease(t *rapid.T) Release {
	return Release{drawEstimate(t, "litres", 0, 5), drawEstimate(t, "minutes", 0, 120)}
}

// figures are every concentration the box answers with, in a fixed order.
func figures(t *rapid.T, b Box, r Release, minute float64) []hazards.Estimate {
	var out []hazards.Estimate
	for _, f := range []func() (hazards.Estimate, error){
		func() (hazards.Estimate, error) { return b.Ppm(r, minute) },
		func() (hazards.Estimate, error) { return b.PeakPpm(r) },
		func() (hazards.Estimate, error) { return b.MeanPpm(r, 15) },
		func() (hazards.Estimate, error) { return b.MeanPpm(r, 480) },
	} {
		e, err := f()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, e)
	}
	return out
}

func noHigher(t *rapid.T, what string, after, before []hazards.Estimate) {
	for i := range before {
		pairs := [][2]float64{{after[i].Low, before[i].Low}, {after[i].Middle, before[i].Middle}, {after[i].High, before[i].High}}
		for _, p := range pairs {
			if p[0] > p[1]*(1+slack)+1e-12 {
				t.Fatalf("%s raised figure %d: %v after %v", what, i, after[i], before[i])
			}
		}
	}
}

func TestMoreAirNeverRaises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, r := drawBox(t), drawRelease(t)
		minute := rapid.Float64Range(0, 300).Draw(t, "minute")
		more := b
		more.AirChangesPerHour, _ = b.AirChangesPerHour.Scale(rapid.Float64Range(1, 5).Draw(t, "factor"))
		noHigher(t, "more air", figures(t, more, r, minute), figures(t, b, r, minute))
	})
}

func TestLargerRoomNeverRaises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, r := drawBox(t), drawRelease(t)
		minute := rapid.Float64Range(0, 300).Draw(t, "minute")
		larger := b
		larger.VolumeM3, _ = b.VolumeM3.Scale(rapid.Float64Range(1, 5).Draw(t, "factor"))
		noHigher(t, "a larger room", figures(t, larger, r, minute), figures(t, b, r, minute))
	})
}

func TestSmallerDoseNeverRaises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, r := drawBox(t), drawRelease(t)
		minute := rapid.Float64Range(0, 300).Draw(t, "minute")
		smaller := r
		smaller.Litres, _ = r.Litres.Scale(rapid.Float64Range(0, 1).Draw(t, "factor"))
		noHigher(t, "a smaller dose", figures(t, b, smaller, minute), figures(t, b, r, minute))
	})
}

func widen(t *rapid.T, what string, e hazards.Estimate, floor float64) hazards.Estimate {
	return hazards.Estimate{
		Low:    math.Max(floor, e.Low*(1-rapid.Float64Range(0, 0.9).Draw(t, what+" lower"))),
		Middle: e.Middle,
		High:   e.High * (1 + rapid.Float64Range(0, 2).Draw(t, what+" higher")),
	}
}

func TestWideningOnlyWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, r := drawBox(t), drawRelease(t)
		minute := rapid.Float64Range(0, 300).Draw(t, "minute")
		wideBox := Box{widen(t, "volume", b.VolumeM3, 1e-3), widen(t, "air", b.AirChangesPerHour, 0)}
		wideRelease := Release{widen(t, "litres", r.Litres, 0), widen(t, "minutes", r.Minutes, 0)}
		before, after := figures(t, b, r, minute), figures(t, wideBox, wideRelease, minute)
		for i := range before {
			if after[i].Low > before[i].Low*(1+slack)+1e-12 || after[i].High < before[i].High*(1-slack)-1e-12 {
				t.Fatalf("figure %d: %v does not cover %v", i, after[i], before[i])
			}
		}
	})
}

// Every single case inside the ranges lies inside the answer.
func TestRangeCoversEveryCase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, r := drawBox(t), drawRelease(t)
		minute := rapid.Float64Range(0, 300).Draw(t, "minute")
		pick := func(what string, e hazards.Estimate) hazards.Estimate {
			return exact(rapid.Float64Range(e.Low, e.High).Draw(t, what+" picked"))
		}
		one := figures(t, Box{pick("volume", b.VolumeM3), pick("air", b.AirChangesPerHour)},
			Release{pick("litres", r.Litres), pick("minutes", r.Minutes)}, minute)
		for i, all := range figures(t, b, r, minute) {
			if one[i].Middle < all.Low*(1-slack)-1e-12 || one[i].Middle > all.High*(1+slack)+1e-12 {
				t.Fatalf("figure %d: %v lies outside %v", i, one[i], all)
			}
		}
	})
}

// The course obeys dC/dt = G/V - qC: its rise plus what was blown out is what came in.
func TestVapourIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tau := rapid.Float64Range(0.1, 100).Draw(t, "tau")
		q := rapid.Float64Range(0, 1).Draw(t, "q")
		at := rapid.Float64Range(0, 300).Draw(t, "t")
		in := math.Min(1, at/tau)
		if out := fadeAt(at, tau, q) + q*fadeSum(at, tau, q); math.Abs(out-in) > 1e-9 {
			t.Fatalf("%g went in, %g is there or was blown out", in, out)
		}
	})
}

func TestMeanIsNoHigherThanPeak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := figures(t, drawBox(t), drawRelease(t), 0)
		noHigher(t, "averaging 15 min", f[2:3], f[1:2])
		noHigher(t, "averaging 8 h", f[3:4], f[2:3])
	})
}

func TestCourseRisesThenFalls(t *testing.T) {
	course, err := Box{exact(30), exact(2)}.Course(Release{exact(0.628), exact(10)}, 60, 60)
	if err != nil {
		t.Fatal(err)
	}
	if len(course) != 61 || course[0].Value.High != 0 || course[60].Minutes != 60 {
		t.Fatalf("61 points from nought to 60 min wanted, got %d from %v", len(course), course[0])
	}
	for i := 1; i < len(course); i++ {
		rising := course[i].Value.Middle > course[i-1].Value.Middle
		if rising != (course[i].Minutes <= 10) {
			t.Errorf("minute %g: rising is %v", course[i].Minutes, rising)
		}
	}
}

func TestAirChangesByKind(t *testing.T) {
	last := 0.0
	for _, kind := range []Ventilation{NoAir, OpenWindow, Extract} {
		e, err := AirChanges(kind)
		if err != nil {
			t.Fatal(err)
		}
		if e.Middle <= last {
			t.Errorf("%s gives %v, no more than the kind before", kind, e)
		}
		last = e.Middle
		unknown, err := AirChanges(UnknownAir)
		if err != nil || !unknown.Covers(e) {
			t.Errorf("unknown %v does not cover %s %v (%v)", unknown, kind, e, err)
		}
	}
	if _, err := AirChanges("fan"); err == nil || !strings.Contains(err.Error(), "open-window") {
		t.Errorf("a wrong word must name the right ones, got %v", err)
	}
}

func TestDoseAgainstLimits(t *testing.T) {
	// Isopropanol: short-term limit 400 ppm, lower flammable limit 2 % (NIOSH Pocket Guide).
	limits := Limits{DayPpm: 200, ShortTermPpm: 400, LFLPercent: 2, SaturationPpm: 44000}
	release := Release{exact(0.628), exact(10)} // 2 mL
	for _, c := range []struct {
		name             string
		volume           float64
		shortTerm, under bool
	}{
		{"a workshop", 30, true, true},
		{"a small store", 5, false, true},
		{"a cupboard", 0.5, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, err := Box{exact(c.volume), exact(0.5)}.Exposure(release, limits)
			if err != nil {
				t.Fatal(err)
			}
			if e.WithinShortTerm != c.shortTerm || e.UnderQuarterLFL != c.under {
				t.Errorf("got %+v", e)
			}
			if e.NearWorkPpm.High > limits.SaturationPpm {
				t.Errorf("%v ppm is more than air can hold", e.NearWorkPpm.High)
			}
		})
	}
}

func TestRefuses(t *testing.T) {
	good := Box{exact(30), exact(1)}
	r := Release{exact(1), exact(10)}
	for name, f := range map[string]func() error{
		"NaN volume":         func() error { _, err := NewBox(exact(math.NaN()), exact(1)); return err },
		"no volume":          func() error { _, err := NewBox(exact(0), exact(1)); return err },
		"zero Box":           func() error { _, err := Box{}.PeakPpm(r); return err },
		"negative air":       func() error { _, err := NewBox(exact(30), exact(-1)); return err },
		"unordered":          func() error { _, err := NewBox(hazards.Estimate{Low: 3, Middle: 2, High: 1}, exact(1)); return err },
		"infinite release":   func() error { _, err := good.Ppm(Release{exact(math.Inf(1)), exact(1)}, 1); return err },
		"negative minute":    func() error { _, err := good.Ppm(r, -1); return err },
		"NaN minute":         func() error { _, err := good.Ppm(r, math.NaN()); return err },
		"no window":          func() error { _, err := good.MeanPpm(r, 0); return err },
		"no steps":           func() error { _, err := good.Course(r, 10, 0); return err },
		"NaN course":         func() error { _, err := good.Course(r, math.NaN(), 10); return err },
		"purge without air":  func() error { _, err := PurgeMinutes(exact(0), 0.01, exact(1)); return err },
		"purge to nothing":   func() error { _, err := PurgeMinutes(exact(1), 0, exact(1)); return err },
		"mixing under one":   func() error { _, err := PurgeMinutes(exact(1), 0.1, exact(0.5)); return err },
		"clear to nothing":   func() error { _, err := ClearMinutes(exact(1), 0, exact(1), exact(1)); return err },
		"steady without air": func() error { _, err := Box{exact(30), exact(0)}.SteadyPpm(exact(1)); return err },
		"no limit": func() error {
			_, err := good.Exposure(r, Limits{ShortTermPpm: 1, LFLPercent: 2, SaturationPpm: 1})
			return err
		},
		"NaN LFL":              func() error { _, err := QuarterOfLFL(math.NaN()); return err },
		"no molar mass":        func() error { _, err := PpmFromMgPerM3(1, 0, 25); return err },
		"a furnace":            func() error { _, err := GasLitres(exact(1), 60, exact(900)); return err },
		"no limit for the air": func() error { _, err := MinimumAirM3PerHour(exact(1), 0); return err },
		"a crawl space":        func() error { _, err := DesignAirChanges(5, 1, 0.1, 0.5); return err },
	} {
		t.Run(name, func(t *testing.T) {
			if err := f(); err == nil || !strings.HasPrefix(err.Error(), "room: ") {
				t.Errorf("want an error of package room, got %v", err)
			}
		})
	}
}

func BenchmarkExposure(b *testing.B) {
	box := Box{exact(30), hazards.Estimate{Low: 0.5, Middle: 2, High: 6}}
	r := Release{exact(0.628), hazards.Estimate{Low: 5, Middle: 15, High: 45}}
	l := Limits{DayPpm: 200, ShortTermPpm: 400, LFLPercent: 2, SaturationPpm: 44000}
	for b.Loop() {
		if _, err := box.Exposure(r, l); err != nil {
			b.Fatal(err)
		}
	}
}
