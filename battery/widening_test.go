package battery

import (
	"testing"

	"pgregory.net/rapid"
)

// Knowing less never narrows an answer. Each test draws facts, widens some of
// them, and compares.

func drawInterval(t *rapid.T, low, high float64, name string) Interval {
	a, b := rapid.Float64Range(low, high).Draw(t, name), rapid.Float64Range(low, high).Draw(t, name+"2")
	if rapid.Bool().Draw(t, name+" exact") {
		b = a
	}
	return hullOf(a, b)
}

func drawMaybe(t *rapid.T, low, high float64, name string) Maybe {
	if rapid.Bool().Draw(t, name+" given") {
		return Given(drawInterval(t, low, high, name))
	}
	return Maybe{}
}

// wider returns an interval that encloses iv, within low..high. Not given
// stays not given: presence is not a width.
func wider(t *rapid.T, m Maybe, low, high float64, name string) Maybe {
	if !m.Given {
		return m
	}
	switch rapid.IntRange(0, 2).Draw(t, name+" widen") {
	case 0:
		return m
	case 1:
		return Given(Interval{low, high})
	}
	return Given(m.Hull(drawInterval(t, low, high, name+" wider")))
}

func drawCount(t *rapid.T, name string) Maybe {
	if !rapid.Bool().Draw(t, name+" given") {
		return Maybe{}
	}
	a, b := rapid.IntRange(1, 6).Draw(t, name), rapid.IntRange(1, 6).Draw(t, name+"2")
	return Given(hullOf(float64(a), float64(b)))
}

func widerCount(t *rapid.T, m Maybe, name string) Maybe {
	if !m.Given || rapid.Bool().Draw(t, name+" same") {
		return m
	}
	return Given(m.Hull(Exact(float64(rapid.IntRange(1, MostSeriesCells).Draw(t, name+" wider")))))
}

func drawSet(t *rapid.T, name string) ChemistrySet {
	return ChemistrySet(rapid.Uint16Range(1, uint16(AllChemistries)).Draw(t, name))
}

func drawCharge(t *rapid.T) ChargeFacts {
	return ChargeFacts{
		Gauge:        drawMaybe(t, 0, 100, "gauge"),
		RestVolts:    drawMaybe(t, -1, 14, "rest volts"),
		Series:       drawCount(t, "series"),
		MeasuredAt:   PlaceSet(rapid.Uint8Range(1, uint8(AllPlaces)).Draw(t, "place")),
		Chemistries:  drawSet(t, "chemistries") &^ (1 << LithiumMetal),
		NominalVolts: drawMaybe(t, 2, 15, "nominal"),
		LimitVolts:   drawMaybe(t, 2, 17, "limit"),
		RestMinutes:  drawMaybe(t, 0, 3000, "rest"),
		AirC:         drawMaybe(t, -10, 40, "air"),
		SoundAndDry:  rapid.Bool().Draw(t, "sound"),
	}
}

func widerCharge(t *rapid.T, f ChargeFacts) ChargeFacts {
	w := f
	w.Gauge = wider(t, f.Gauge, 0, 100, "gauge")
	w.RestVolts = wider(t, f.RestVolts, -mostVolts, mostVolts, "rest volts")
	w.Series = widerCount(t, f.Series, "series")
	w.MeasuredAt |= PlaceSet(rapid.Uint8Range(0, uint8(AllPlaces)).Draw(t, "more places"))
	if f.Chemistries != 0 {
		w.Chemistries |= ChemistrySet(rapid.Uint16Range(0, uint16(AllChemistries)).Draw(t, "more chemistries"))
	}
	w.NominalVolts = wider(t, f.NominalVolts, smallestVolts, mostVolts, "nominal")
	w.LimitVolts = wider(t, f.LimitVolts, smallestVolts, mostVolts, "limit")
	w.RestMinutes = wider(t, f.RestMinutes, 0, mostRestMinutes, "rest")
	w.AirC = wider(t, f.AirC, coldestAirC, hottestAirC, "air")
	w.SoundAndDry = f.SoundAndDry && rapid.Bool().Draw(t, "still sound")
	// These play the same part unknown as given at full width; a rest that is not
	// given is one that is long enough to be told as a rest.
	if f.RestMinutes.Low >= leastMinutes && rapid.Bool().Draw(t, "rest unknown") {
		w.RestMinutes = Maybe{}
	}
	if rapid.Bool().Draw(t, "air unknown") {
		w.AirC = Maybe{}
	}
	if f.Series.Given && rapid.Bool().Draw(t, "limit unknown") {
		w.LimitVolts = Maybe{}
	}
	if f.Series.Given && w.Series.Given && rapid.Bool().Draw(t, "nominal unknown") {
		w.NominalVolts = Maybe{}
	}
	return w
}

func TestStateOfChargeOnlyWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawCharge(t)
		w := widerCharge(t, f)
		narrow, wide := StateOfChargePercent(&f), StateOfChargePercent(&w)
		if !wide.Encloses(narrow) {
			t.Fatalf("knowing less narrowed %v to %v\nfrom %+v\nto %+v", narrow, wide, f, w)
		}
		if !wholeCharge.Encloses(wide) || !wide.Valid() {
			t.Fatalf("%v is no charge", wide)
		}
	})
}

// Close to real labels the classes change often; draw there too.
func TestStateOfChargeOnlyWidensNearLabels(t *testing.T) {
	labels := []float64{2.4, 3.0, 3.2, 3.6, 3.7, 3.8, 3.82, 3.83, 3.85, 3.87, 3.89}
	limits := []float64{2.8, 3.65, 4.1, 4.2, 4.35, 4.4, 4.45, 4.48, 4.5}
	rapid.Check(t, func(t *rapid.T) {
		f := drawCharge(t)
		n := float64(rapid.IntRange(1, 3).Draw(t, "cells"))
		f.Series = GivenExactly(n)
		f.NominalVolts = GivenExactly(n * rapid.SampledFrom(labels).Draw(t, "nominal label"))
		f.LimitVolts = GivenExactly(n * rapid.SampledFrom(limits).Draw(t, "limit label"))
		f.RestVolts = Given(drawInterval(t, n*2, n*4.6, "rest near label"))
		w := widerCharge(t, f)
		narrow, wide := StateOfChargePercent(&f), StateOfChargePercent(&w)
		if !wide.Encloses(narrow) {
			t.Fatalf("knowing less narrowed %v to %v\nfrom %+v\nto %+v", narrow, wide, f, w)
		}
	})
}

func TestExplainedChargeIsTheFastOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawCharge(t)
		e, err := StateOfCharge(f)
		if err != nil {
			t.Fatal(err)
		}
		if e.Percent != StateOfChargePercent(&f) || len(e.Reasons) == 0 && !(e.FromVoltage && len(e.Readings) == 1) {
			t.Fatalf("%+v for %+v", e, f)
		}
		// The readings, with the gauge, are what the answer spans.
		if len(e.Readings) > 0 {
			span := e.Readings[0].Percent
			for _, r := range e.Readings {
				span = span.Hull(r.Percent)
			}
			if f.Gauge.Given {
				span = span.Hull(f.Gauge.Interval)
			}
			if f.hardlyRested() {
				span.High = 100
			}
			if span != e.Percent {
				t.Fatalf("readings span %v, answer is %v", span, e.Percent)
			}
		}
	})
}

func TestSeriesCellsOnlyWiden(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs, nominal, limit := drawSet(t, "cs"), drawMaybe(t, 1, 40, "nominal"), drawMaybe(t, 1, 40, "limit")
		narrow, err := SeriesCells(cs, nominal, limit)
		if err != nil {
			t.Fatal(err)
		}
		wide, err := SeriesCells(cs|drawSet(t, "more"), wider(t, nominal, smallestVolts, mostVolts, "nominal"), wider(t, limit, smallestVolts, mostVolts, "limit"))
		if err != nil || !wide.Encloses(narrow) || narrow.Low < 1 {
			t.Fatalf("%v became %v, %v", narrow, wide, err)
		}
	})
}

func TestVoltageComparisonsOnlyWiden(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs, rest, series := drawSet(t, "cs"), drawInterval(t, -2, 20, "rest"), Given(Exact(float64(rapid.IntRange(1, 4).Draw(t, "n"))))
		nominal, limit := drawMaybe(t, 2, 16, "nominal"), drawMaybe(t, 2, 18, "limit")
		moreCS, moreRest, moreSeries := cs|drawSet(t, "more"), rest.Hull(drawInterval(t, -2, 20, "more rest")), widerCount(t, series, "series")
		moreNominal, moreLimit := wider(t, nominal, smallestVolts, mostVolts, "nominal"), wider(t, limit, smallestVolts, mostVolts, "limit")
		// Unknown is the widest reading; a reading that nobody took is another
		// question, which the chemistry answers.
		if limit.Given && rapid.Bool().Draw(t, "limit unknown") {
			moreLimit = Given(Interval{smallestVolts, mostVolts})
		}
		if nominal.Given && rapid.Bool().Draw(t, "nominal unknown") {
			moreNominal = Given(Interval{smallestVolts, mostVolts})
		}
		if !limit.Given {
			moreLimit = Maybe{}
		}
		if !nominal.Given {
			moreNominal = Maybe{}
		}
		narrow, err1 := VoltsOverLimit(rest, cs, nominal, limit, series.Interval)
		wide, err2 := VoltsOverLimit(moreRest, moreCS, moreNominal, moreLimit, moreSeries.Interval)
		if err1 != nil || err2 != nil || !wide.Encloses(narrow) {
			t.Fatalf("over limit: %v became %v (%v, %v)", narrow, wide, err1, err2)
		}
		narrow, err1 = VoltsUnderCutOff(rest, cs, series.Interval)
		wide, err2 = VoltsUnderCutOff(moreRest, moreCS, moreSeries.Interval)
		if err1 != nil || err2 != nil || !wide.Encloses(narrow) {
			t.Fatalf("under cut-off: %v became %v (%v, %v)", narrow, wide, err1, err2)
		}
	})
}

func TestRatedEnergyOnlyWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := EnergyFacts{
			MarkedWh:     drawMaybe(t, 0, 200, "mark"),
			CapacityAh:   drawMaybe(t, 0, 20, "ah"),
			NominalVolts: drawMaybe(t, 1, 20, "volts"),
			Series:       drawCount(t, "series"),
			Chemistries:  drawSet(t, "cs"),
			Forms:        FormSet(rapid.Uint8Range(1, uint8(AllForms)).Draw(t, "forms")),
			LengthMM:     drawMaybe(t, 1, 200, "length"), WidthMM: drawMaybe(t, 1, 200, "width"), ThicknessMM: drawMaybe(t, 1, 20, "thickness"),
			MassG: drawMaybe(t, 1, 500, "mass"), PresumedWh: drawMaybe(t, 1, 100, "presumed"),
		}
		w := f
		w.MarkedWh = wider(t, f.MarkedWh, 0, UnknownWh, "mark")
		w.CapacityAh = wider(t, f.CapacityAh, 0, mostAh, "ah")
		w.NominalVolts = wider(t, f.NominalVolts, smallestVolts, mostVolts, "volts")
		w.Series = widerCount(t, f.Series, "series")
		w.Chemistries |= drawSet(t, "more cs")
		w.Forms |= FormSet(rapid.Uint8Range(0, uint8(AllForms)).Draw(t, "more forms"))
		w.LengthMM = wider(t, f.LengthMM, smallestMM, mostMM, "length")
		w.ThicknessMM = wider(t, f.ThicknessMM, smallestMM, mostMM, "thickness")
		w.MassG = wider(t, f.MassG, 0, mostGrams, "mass")
		narrow, wide := RatedWh(&f), RatedWh(&w)
		if !wide.Encloses(narrow) || !narrow.Valid() || narrow.Low < 0 {
			t.Fatalf("knowing less narrowed %v to %v\nfrom %+v\nto %+v", narrow, wide, f, w)
		}
		if e, err := RatedEnergy(f); err != nil || e.Wh != narrow {
			t.Fatalf("%+v, %v", e, err)
		}
	})
}

func TestTransportUnitOnlyWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, p := drawCount(t, "s"), drawCount(t, "p")
		ws, wp := widerCount(t, s, "s"), widerCount(t, p, "p")
		if rapid.Bool().Draw(t, "series unknown") {
			ws = Maybe{}
		}
		narrow, err1 := TransportUnit(s, p)
		wide, err2 := TransportUnit(ws, wp)
		if err1 != nil || err2 != nil || narrow == 0 || wide&narrow != narrow {
			t.Fatalf("%v became %v (%v, %v)", narrow, wide, err1, err2)
		}
	})
}
