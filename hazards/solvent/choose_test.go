package solvent

import (
	"slices"
	"strings"
	"testing"

	"loosecell/hazards"
	"loosecell/hazards/room"
	"pgregory.net/rapid"
)

var every = []string{"isopropanol-99", "isopropanol-91", "isopropanol-70", "ethanol", "heptane", "acetone", "ethyl-acetate", "limonene"}

// bench is the Harbour Lane bench: a workshop of 30 m3 with a window ajar, 20 degC.
func bench(change func(*Setting)) Setting {
	s := Setting{
		Purpose: UnderCell, Available: every, Families: []Family{Acrylic}, Display: NoDisplay,
		HottestSurfaceC: exact(22), RoomC: exact(20),
		Room:   room.Box{VolumeM3: exact(30), AirChangesPerHour: hazards.Estimate{Low: 0.5, Middle: 2, High: 6}},
		DoseML: exact(1),
	}
	change(&s)
	return s
}

func TestChoose(t *testing.T) {
	without := func(names ...string) []string {
		return slices.DeleteFunc(slices.Clone(every), func(n string) bool { return slices.Contains(names, n) })
	}
	for _, c := range []struct {
		name   string
		change func(*Setting)
		want   string
	}{
		{"everything at the bench", func(*Setting) {}, "isopropanol-99"},
		{"no 99 %: 91 % is acceptable", func(s *Setting) { s.Available = without("isopropanol-99") }, "isopropanol-91"},
		{"neither: ethanol before watery isopropanol", func(s *Setting) { s.Available = without("isopropanol-99", "isopropanol-91") }, "ethanol"},
		{"70 % alone: discouraged but permitted", func(s *Setting) { s.Available = []string{"isopropanol-70"} }, "isopropanol-70"},
		{"heptane on certain rubber by bare metal", func(s *Setting) {
			s.Available, s.Families = []string{"heptane", "acetone"}, []Family{Rubber}
		}, "heptane"},
		{"heptane on acrylic", func(s *Setting) { s.Available = []string{"heptane"} }, ""},
		{"heptane, family unknown", func(s *Setting) { s.Available, s.Families = []string{"heptane"}, nil }, ""},
		{"heptane near ABS", func(s *Setting) {
			s.Available, s.Families, s.Plastics = []string{"heptane"}, []Family{Rubber}, []string{"abs"}
		}, ""},
		{"heptane near silicone", func(s *Setting) {
			s.Available, s.Families, s.Plastics = []string{"heptane"}, []Family{Rubber}, []string{"silicone"}
		}, ""},
		{"heptane, plastics unknown", func(s *Setting) {
			s.Available, s.Families, s.PlasticsUnknown = []string{"heptane"}, []Family{Rubber}, true
		}, ""},
		{"acetone at a cell", func(s *Setting) { s.Available = []string{"acetone", "ethyl-acetate", "limonene"} }, ""},
		{"acetone for residue on metal", func(s *Setting) {
			s.Available, s.Purpose = []string{"acetone"}, DetachedResidue
		}, "acetone"},
		{"acetone for residue by a display", func(s *Setting) {
			s.Available, s.Purpose, s.Display = []string{"acetone"}, DetachedResidue, DisplayNear
		}, ""},
		{"acetone for residue, display unknown", func(s *Setting) {
			s.Available, s.Purpose, s.Display = []string{"acetone"}, DetachedResidue, ""
		}, ""},
		{"nothing known of plastics, family, display", func(s *Setting) {
			s.Families, s.PlasticsUnknown, s.Display = nil, true, ""
		}, "isopropanol-99"},
		{"a surface still hot", func(s *Setting) { s.HottestSurfaceC = exact(55) }, ""},
		{"a surface that may be hot", func(s *Setting) { s.HottestSurfaceC = hazards.Estimate{Low: 20, Middle: 30, High: 41} }, ""},
		{"a small closed store", func(s *Setting) {
			s.Room = room.Box{VolumeM3: exact(3), AirChangesPerHour: exact(0)}
			s.DoseML = exact(2)
		}, ""},
		{"nothing at the bench", func(s *Setting) { s.Available = nil }, ""},
		{"a cold yard", func(s *Setting) { s.RoomC, s.HottestSurfaceC = exact(2), exact(5) }, "isopropanol-99"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Choose(bench(c.change))
			if err != nil {
				t.Fatal(err)
			}
			if got.Name != c.want {
				t.Fatalf("got %q, want %q: %+v", got.Name, c.want, got.Others)
			}
			told := []string{got.Name}
			for _, o := range got.Others {
				told = append(told, o.Name)
				if len(o.Reasons) == 0 || o.Reasons[0].Text == "" || o.Reasons[0].Source == "" {
					t.Errorf("%s was passed over without a reason", o.Name)
				}
			}
			for _, name := range every {
				if !slices.Contains(told, name) {
					t.Errorf("nothing is said of %s", name)
				}
			}
			if got.Name != "" && len(got.Cautions) < 2 {
				t.Errorf("few cautions: %+v", got.Cautions)
			}
		})
	}
}

func TestLimoneneIsNeverPermitted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		permitted, reasons, err := Permits(drawSetting(t), "limonene")
		if err != nil {
			t.Fatal(err)
		}
		if permitted || !strings.Contains(reasons[0].Text, "allergic") {
			t.Fatalf("permitted %v: %v", permitted, reasons)
		}
	})
}

func TestIsopropanolIsLitAtRoomTemperature(t *testing.T) {
	got, err := Choose(bench(func(*Setting) {}))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(got.Cautions[0].Text, "can be lit here (flash point 11.7 degC)") {
		t.Errorf("a room of 20 degC is over the flash point of 11.7 (NIOSH Pocket Guide): %q", got.Cautions[0].Text)
	}
}

func drawSetting(t *rapid.T) Setting {
	subset := func(what string, words []string) []string {
		var out []string
		for _, w := range words {
			if rapid.Bool().Draw(t, what+" "+w) {
				out = append(out, w)
			}
		}
		return out
	}
	s := Setting{
		Purpose:         rapid.SampledFrom([]Purpose{UnderCell, DetachedResidue}).Draw(t, "purpose"),
		Available:       subset("available", every),
		Families:        rapid.SampledFrom([][]Family{nil, {Acrylic}, {Rubber}, {Acrylic, Rubber}}).Draw(t, "families"),
		Plastics:        subset("plastic", Materials),
		PlasticsUnknown: rapid.Bool().Draw(t, "plastics unknown"),
		Display:         rapid.SampledFrom([]Display{"", NoDisplay, DisplayNear, DisplayUnder}).Draw(t, "display"),
		HottestSurfaceC: drawEstimate(t, "surface", 5, 80),
		RoomC:           drawEstimate(t, "room", -5, 35),
		DoseML:          drawEstimate(t, "dose", 0, 3),
	}
	s.Room = room.Box{VolumeM3: drawEstimate(t, "volume", 1, 100), AirChangesPerHour: drawEstimate(t, "air", 0, 10)}
	return s
}

func drawEstimate(t *rapid.T, what string, low, high float64) hazards.Estimate {
	a := rapid.Float64Range(low, high).Draw(t, what+" low")
	b := rapid.Float64Range(a, high).Draw(t, what+" middle")
	c := rapid.Float64Range(b, high).Draw(t, what+" high")
	return hazards.Estimate{Low: a, Middle: b, High: c}
}

// Not knowing, and worse, never permit more.
func TestWorseNeverPermitsMore(t *testing.T) {
	worsen := map[string]func(*rapid.T, *Setting){
		"family unknown":   func(_ *rapid.T, s *Setting) { s.Families = nil },
		"plastics unknown": func(_ *rapid.T, s *Setting) { s.PlasticsUnknown = true },
		"more plastics":    func(_ *rapid.T, s *Setting) { s.Plastics = Materials },
		"display unknown":  func(_ *rapid.T, s *Setting) { s.Display = "" },
		"display under":    func(_ *rapid.T, s *Setting) { s.Display = DisplayUnder },
		"hotter surface":   func(t *rapid.T, s *Setting) { s.HottestSurfaceC = higher(t, s.HottestSurfaceC) },
		"larger dose":      func(t *rapid.T, s *Setting) { s.DoseML = higher(t, s.DoseML) },
		"smaller room":     func(t *rapid.T, s *Setting) { s.Room.VolumeM3, _ = s.Room.VolumeM3.Scale(0.5) },
		"less air":         func(t *rapid.T, s *Setting) { s.Room.AirChangesPerHour, _ = s.Room.AirChangesPerHour.Scale(0.5) },
		"at a cell":        func(_ *rapid.T, s *Setting) { s.Purpose = UnderCell },
		"wider everything": func(t *rapid.T, s *Setting) {
			s.HottestSurfaceC.High += 10
			s.DoseML = hazards.Estimate{Low: 0, Middle: s.DoseML.Middle, High: s.DoseML.High * 2}
			s.Room.AirChangesPerHour.Low = 0
			s.RoomC.Low -= 2
			s.RoomC.High += 2
		},
	}
	for name, change := range worsen {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				before := drawSetting(t)
				after := before
				change(t, &after)
				for _, liquid := range every {
					was, _, err := Permits(before, liquid)
					if err != nil {
						t.Fatal(err)
					}
					is, _, err := Permits(after, liquid)
					if err != nil {
						t.Fatal(err)
					}
					if is && !was {
						t.Fatalf("%s became permitted", liquid)
					}
				}
			})
		})
	}
}

func higher(t *rapid.T, e hazards.Estimate) hazards.Estimate {
	more := rapid.Float64Range(0, 20).Draw(t, "more")
	return hazards.Estimate{Low: e.Low + more, Middle: e.Middle + more, High: e.High + more}
}

// The choice is permitted and at the bench; nothing permitted and there comes before it.
func TestChoiceAgreesWithPermits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetting(t)
		choice, err := Choose(s)
		if err != nil {
			t.Fatal(err)
		}
		all, err := All()
		if err != nil {
			t.Fatal(err)
		}
		want := ""
		for _, l := range all {
			if ok, _, err := Permits(s, l.Name); err != nil {
				t.Fatal(err)
			} else if ok && slices.Contains(s.Available, l.Name) {
				want = l.Name
				break
			}
		}
		if choice.Name != want {
			t.Fatalf("chose %q, want %q", choice.Name, want)
		}
	})
}

func TestChooseRefuses(t *testing.T) {
	for name, change := range map[string]func(*Setting){
		"unknown solvent":  func(s *Setting) { s.Available = []string{"petrol"} },
		"unknown plastic":  func(s *Setting) { s.Plastics = []string{"wood"} },
		"unknown family":   func(s *Setting) { s.Families = []Family{"hot-melt"} },
		"unknown display":  func(s *Setting) { s.Display = "beside" },
		"no purpose":       func(s *Setting) { s.Purpose = "" },
		"no room":          func(s *Setting) { s.Room = room.Box{} },
		"unordered dose":   func(s *Setting) { s.DoseML = hazards.Estimate{Low: 2, Middle: 1, High: 1} },
		"furnace for room": func(s *Setting) { s.RoomC = exact(200) },
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := Choose(bench(change)); err == nil {
				t.Error("want an error")
			}
		})
	}
}

func BenchmarkChoose(b *testing.B) {
	s := bench(func(s *Setting) { s.PlasticsUnknown = true })
	for b.Loop() {
		if _, err := Choose(s); err != nil {
			b.Fatal(err)
		}
	}
}
