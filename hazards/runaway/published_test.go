package runaway_test

import (
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"loosecell/hazards"
	"loosecell/hazards/room"
	"loosecell/hazards/runaway"
)

func exact(x float64) hazards.Estimate { return hazards.Estimate{Low: x, Middle: x, High: x} }

// inputs are the key=value pairs of one check; the first wrong number stays in err.
type inputs struct {
	words map[string]string
	err   error
}

func (in *inputs) n(key string) float64 {
	x, err := strconv.ParseFloat(in.words[key], 64)
	if err != nil && in.err == nil {
		in.err = fmt.Errorf("input %s: %w", key, err)
	}
	return x
}

func (in *inputs) mixture(share func(map[string]float64) (float64, error)) (float64, error) {
	m, err := mixtureNamed(in.words["mixture"])
	if err != nil {
		return 0, err
	}
	return share(m.SharePct)
}

func mixtureNamed(name string) (runaway.Mixture, error) {
	all, err := runaway.Mixtures()
	for _, m := range all {
		if m.Name == name {
			return m, nil
		}
	}
	return runaway.Mixture{}, fmt.Errorf("no mixture %q (%v)", name, err)
}

func (in *inputs) heat(pick func(runaway.Heat) float64) (float64, error) {
	h, err := runaway.ReckonHeat(exact(in.n("wh")), exact(in.n("charge")))
	return pick(h), err
}

func (in *inputs) gas(pick func(runaway.Gas) float64) (float64, error) {
	g, err := runaway.ReckonGas(exact(in.n("wh")), exact(in.n("charge")), 0)
	return pick(g), err
}

func (in *inputs) release() (room.Release, error) {
	return runaway.ReleaseOf(in.words["gas"], exact(in.n("g")))
}

func (in *inputs) exposure() (runaway.Exposure, error) {
	release, err := in.release()
	if err != nil {
		return runaway.Exposure{}, err
	}
	return runaway.ExposureTo(in.words["gas"], release, room.Box{VolumeM3: exact(in.n("m3")), AirChangesPerHour: exact(0)})
}

func mgM3(gas string, ppm float64) (float64, error) {
	molar, err := runaway.MolarMassOf(map[string]float64{gas: 1})
	if err != nil {
		return 0, err
	}
	return room.MgPerM3FromPpm(ppm, molar, 25)
}

var quantities = map[string]func(*inputs) (float64, error){
	"stored-kj": func(in *inputs) (float64, error) {
		return in.heat(func(h runaway.Heat) float64 { return h.StoredKJ.Middle })
	},
	"flame-kj-low": func(in *inputs) (float64, error) {
		return in.heat(func(h runaway.Heat) float64 { return h.WithFlameKJ.Low })
	},
	"flame-kj-high": func(in *inputs) (float64, error) {
		return in.heat(func(h runaway.Heat) float64 { return h.WithFlameKJ.High })
	},
	"peak-w-low": func(in *inputs) (float64, error) {
		return in.heat(func(h runaway.Heat) float64 { return h.PeakW.Low })
	},
	"peak-w-high": func(in *inputs) (float64, error) {
		return in.heat(func(h runaway.Heat) float64 { return h.PeakW.High })
	},
	"no-flame-kj-middle": func(in *inputs) (float64, error) {
		return in.heat(func(h runaway.Heat) float64 { return h.NoFlameKJ.Middle })
	},
	"vent-l-middle": func(in *inputs) (float64, error) {
		return in.gas(func(g runaway.Gas) float64 { return g.VentL.Middle })
	},
	"hf-g-low": func(in *inputs) (float64, error) {
		return in.gas(func(g runaway.Gas) float64 { return g.HydrogenFluorideG.Low })
	},
	"hf-g-middle": func(in *inputs) (float64, error) {
		return in.gas(func(g runaway.Gas) float64 { return g.HydrogenFluorideG.Middle })
	},
	"hf-g-high": func(in *inputs) (float64, error) {
		return in.gas(func(g runaway.Gas) float64 { return g.HydrogenFluorideG.High })
	},
	"pof3-g-middle": func(in *inputs) (float64, error) {
		return in.gas(func(g runaway.Gas) float64 { return g.PhosphorylFluorideG.Middle })
	},
	"pof3-g-high": func(in *inputs) (float64, error) {
		return in.gas(func(g runaway.Gas) float64 { return g.PhosphorylFluorideG.High })
	},
	"air-l": func(in *inputs) (float64, error) {
		air, err := room.AirToLFLLitres(exact(in.n("litres")), in.n("lfl"))
		return air.Middle, err
	},
	"mixture-lfl": func(in *inputs) (float64, error) { return in.mixture(runaway.FlammableLimitOf) },
	"mixture-lfl-burning": func(in *inputs) (float64, error) {
		return in.mixture(func(shares map[string]float64) (float64, error) {
			burning := maps.Clone(shares)
			delete(burning, "carbon-dioxide")
			return runaway.FlammableLimitOf(burning)
		})
	},
	"mixture-molar": func(in *inputs) (float64, error) { return in.mixture(runaway.MolarMassOf) },
	"mixture-l-per-wh": func(in *inputs) (float64, error) {
		m, err := mixtureNamed(in.words["mixture"])
		return m.Litres / m.RatedWh, err
	},
	"litres-of-mol": func(in *inputs) (float64, error) { return in.n("mol") * runaway.LitresPerMol20C, nil },
	"mg-m3":         func(in *inputs) (float64, error) { return mgM3(in.words["gas"], in.n("ppm")) },
	"limit-mg-m3": func(in *inputs) (float64, error) {
		limits, err := runaway.Limits(in.words["gas"])
		for _, l := range limits {
			if l.Name == strings.ReplaceAll(in.words["limit"], "_", " ") {
				return mgM3(l.Gas, l.PPM)
			}
		}
		return 0, fmt.Errorf("no limit %q (%v)", in.words["limit"], err)
	},
	"room-ppm": func(in *inputs) (float64, error) {
		e, err := in.exposure()
		return e.PeakPPM.Middle, err
	},
	"room-times-idlh": func(in *inputs) (float64, error) {
		e, err := in.exposure()
		for _, c := range e.Compared {
			if c.Limit.Name == "IDLH" {
				return c.Times.Middle, err
			}
		}
		return 0, fmt.Errorf("no IDLH (%v)", err)
	},
	"room-at-idlh": func(in *inputs) (float64, error) {
		release, err := in.release()
		if err != nil {
			return 0, err
		}
		danger, err := runaway.DangerLimit(in.words["gas"])
		if err != nil {
			return 0, err
		}
		volume, err := runaway.RoomAtPPM(release, danger.PPM)
		return volume.Middle, err
	},
	"clear-min": func(in *inputs) (float64, error) {
		t, err := room.ClearMinutes(exact(in.n("from")), in.n("to"), exact(in.n("changes")), exact(1))
		return t.Middle, err
	},
	"distance-m": func(in *inputs) (float64, error) {
		return runaway.RadiantDistance(in.n("watts"), in.n("fraction"), in.n("flux"))
	},
	"burn-s": func(in *inputs) (float64, error) { return runaway.BurnSeconds(in.n("flux")) },
	"table-burn-s": func(in *inputs) (float64, error) {
		_, burn, err := runaway.SkinTimes(in.n("flux"))
		return burn, err
	},
	"table-pain-s": func(in *inputs) (float64, error) {
		pain, _, err := runaway.SkinTimes(in.n("flux"))
		return pain, err
	},
	"bed-kg": func(in *inputs) (float64, error) {
		bed, err := runaway.BedOf(in.words["medium"], exact(in.n("kj")))
		return bed.Kg.Middle, err
	},
}

func TestPublishedChecks(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "published", "runaway-checks.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	// check, quantity, inputs, expected, tolerance_pct, unit, known, source
	for _, line := range lines[1:] {
		t.Run(line[0], func(t *testing.T) {
			in := &inputs{words: map[string]string{}}
			for _, pair := range strings.Fields(line[2]) {
				key, value, _ := strings.Cut(pair, "=")
				in.words[key] = value
			}
			reckon, known := quantities[line[1]]
			if !known {
				t.Fatalf("no quantity %q", line[1])
			}
			got, err := reckon(in)
			want, errWant := strconv.ParseFloat(line[3], 64)
			tolerance, errTolerance := strconv.ParseFloat(line[4], 64)
			for _, err := range []error{err, in.err, errWant, errTolerance} {
				if err != nil {
					t.Fatal(err)
				}
			}
			if math.Abs(got-want) > want*tolerance/100 {
				t.Errorf("%g %s, want %g within %g %% (%s)", got, line[5], want, tolerance, line[7])
			}
		})
	}
}
