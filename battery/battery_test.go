package battery

import (
	"math"
	"os"
	"regexp"
	"strings"
	"testing"
)

// Every voltage table rises strictly, so that it can be read both ways, and
// every voltage reads back to its charge.
func TestTablesRiseStrictly(t *testing.T) {
	if n := len(Tables()); n != 16 {
		t.Fatalf("%d tables", n)
	}
	for _, table := range Tables() {
		last := -1.0
		for i := range tableRows {
			v, err := table.Voltage(table.soc[i])
			if err != nil || v <= last {
				t.Errorf("%s at %g %%: %v after %v, %v", table.Name, table.soc[i], v, last, err)
			}
			back, err := table.Charge(v)
			if err != nil || math.Abs(back-table.soc[i]) > 1e-9 {
				t.Errorf("%s: %v V reads back as %v %%, %v", table.Name, v, back, err)
			}
			last = v
		}
		if table.soc[0] != 0 || table.soc[tableRows-1] != 100 {
			t.Errorf("%s does not go from 0 to 100 %%", table.Name)
		}
	}
}

func TestTablesRefuse(t *testing.T) {
	table := Tables()[0]
	for _, soc := range []float64{-0.1, 100.1, math.NaN(), math.Inf(1)} {
		if _, err := table.Voltage(soc); err == nil {
			t.Errorf("a charge of %v %% was taken", soc)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(-1)} {
		if _, err := table.Charge(v); err == nil {
			t.Errorf("%v V was taken", v)
		}
	}
	if _, err := TableNamed("no such table"); err == nil || !strings.Contains(err.Error(), "phone-4.40") {
		t.Errorf("got %v", err)
	}
}

func TestBetweenRefuses(t *testing.T) {
	for _, c := range [][2]float64{{math.NaN(), 1}, {1, math.NaN()}, {math.Inf(-1), 0}, {0, math.Inf(1)}, {2, 1}} {
		if iv, err := Between(c[0], c[1]); err == nil {
			t.Errorf("%v was taken as %v", c, iv)
		}
	}
	if iv, err := Between(1, 1); err != nil || !iv.IsExact() {
		t.Errorf("%v, %v", iv, err)
	}
}

func TestIntervalArithmetic(t *testing.T) {
	a, b := Interval{-1, 2}, Interval{3, 5}
	for _, c := range []struct {
		what      string
		got, want Interval
	}{
		{"sum", a.Add(b), Interval{2, 7}},
		{"difference", a.Sub(b), Interval{-6, -1}},
		{"product", a.Mul(b), Interval{-5, 10}},
		{"negative factor", a.Scale(-2), Interval{-4, 2}},
		{"hull", a.Hull(b), Interval{-1, 5}},
		{"clamp", a.Clamp(0, 1), Interval{0, 1}},
		{"quotient", a.dividedBy(b), Interval{-1.0 / 3, 2.0 / 3}},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	if !b.Contains(3) || !b.Contains(5) || b.Contains(5.1) || a.Overlaps(b) || !a.Encloses(Exact(2)) {
		t.Error("membership is wrong")
	}
}

func TestMarkWinsAndIsExact(t *testing.T) {
	for _, mark := range []float64{2.7, 19.9, 20, 20.1, 99.9, 100, 100.1} {
		e, err := RatedEnergy(EnergyFacts{MarkedWh: GivenExactly(mark), CapacityAh: GivenExactly(5.3), NominalVolts: GivenExactly(3.85)})
		if err != nil || e.Wh != Exact(mark) || e.Basis != FromMark {
			t.Errorf("mark of %v Wh: %+v, %v", mark, e, err)
		}
	}
}

func TestMarkDisagrees(t *testing.T) {
	for _, c := range []struct {
		name        string
		mark, ah, v float64
		want        bool
	}{
		{"17.3 Wh rounds 17.325", 17.3, 4.5, 3.85, false},
		{"typical capacity against rated", 17.8, 4.5, 3.85, false},
		{"another battery's mark", 19.9, 4.5, 3.85, true},
		{"mark too small", 15.0, 4.5, 3.85, true},
		{"earbud to one decimal", 0.2, 0.055, 3.85, false},
	} {
		got, product, err := MarkDisagrees(GivenExactly(c.mark), GivenExactly(c.ah), GivenExactly(c.v))
		if err != nil || got != c.want {
			t.Errorf("%s: %v (product %v), %v", c.name, got, product, err)
		}
	}
	if got, _, err := MarkDisagrees(GivenExactly(20), Maybe{}, GivenExactly(3.85)); got || err != nil {
		t.Errorf("without a capacity: %v, %v", got, err)
	}
}

func TestEnergyWithoutLabel(t *testing.T) {
	size := func(f EnergyFacts) EnergyFacts {
		f.LengthMM, f.WidthMM, f.ThicknessMM = GivenExactly(77), GivenExactly(64), GivenExactly(3.5)
		return f
	}
	for _, c := range []struct {
		name      string
		facts     EnergyFacts
		basis     EnergyBasis
		low, high float64
	}{
		// 17.248 mL: the 2.8 Ah, 3.85 V cell it is holds 10.78 Wh (625 Wh/L).
		{"phone pouch by size", size(EnergyFacts{Chemistries: LayeredOxide, Forms: Forms(Pouch)}), FromSize, 17.248 * 0.2, 17.248 * 0.75},
		{"18650 cylinder by size", EnergyFacts{Chemistries: Chemistries(NMC), Forms: Forms(Cylindrical), LengthMM: GivenExactly(65), WidthMM: GivenExactly(18), ThicknessMM: GivenExactly(18)}, FromSize, 9.924, 12.405},
		{"phone pouch by mass", EnergyFacts{Chemistries: LayeredOxide, Forms: Forms(Pouch), MassG: GivenExactly(45)}, FromMass, 5.4, 12.6},
		{"cells and capacity", EnergyFacts{Chemistries: Chemistries(LFP), CapacityAh: GivenExactly(10), Series: GivenExactly(4)}, FromCellsAndCapacity, 128, 132},
		{"device kind", EnergyFacts{PresumedWh: Given(Interval{8, 20})}, FromPresumption, 8, 20},
		{"nothing", EnergyFacts{}, FromNothing, 0, UnknownWh},
		{"capacity alone tells nothing", EnergyFacts{CapacityAh: GivenExactly(3)}, FromNothing, 0, UnknownWh},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, err := RatedEnergy(c.facts)
			if err != nil || e.Basis != c.basis || math.Abs(e.Wh.Low-c.low) > 0.01 || math.Abs(e.Wh.High-c.high) > 0.01 {
				t.Errorf("got %+v, %v; want %v..%v", e, err, c.low, c.high)
			}
		})
	}
}

// Each chemistry in each form has at least one energy density, so that no
// size or mass goes without an answer.
func TestEveryCellHasADensity(t *testing.T) {
	for c := range chemistryCount {
		for f := range formCount {
			e, err := RatedEnergy(EnergyFacts{Chemistries: Chemistries(c), Forms: Forms(f), MassG: GivenExactly(10)})
			if err != nil || !e.Wh.Valid() || e.Wh.High <= 0 {
				t.Errorf("%s %s: %+v, %v", c, f, e, err)
			}
		}
	}
	for _, d := range Densities() {
		for _, s := range []Spread{d.WhPerLitre, d.WhPerKg} {
			if !(0 < s.Low && s.Low <= s.Middle && s.Middle <= s.High) {
				t.Errorf("%s: %+v is out of order", d.Name, s)
			}
		}
	}
}

func TestEnergyPerCell(t *testing.T) {
	for _, c := range []struct {
		name             string
		wh               Interval
		series, parallel Maybe
		want             Interval
	}{
		{"one cell", Exact(17.3), GivenExactly(1), GivenExactly(1), Exact(17.3)},
		{"three by two", Exact(60), GivenExactly(3), GivenExactly(2), Exact(10)},
		{"parallel not known", Exact(40), GivenExactly(2), Maybe{}, Interval{0.02, 20}},
	} {
		got, err := EnergyPerCell(c.wh, c.series, c.parallel)
		if err != nil || got != c.want {
			t.Errorf("%s: got %v, %v", c.name, got, err)
		}
	}
	for _, n := range []float64{0, 1.5, -1, math.NaN()} {
		if _, err := EnergyPerCell(Exact(10), GivenExactly(n), Maybe{}); err == nil {
			t.Errorf("%v cells were taken", n)
		}
		if _, err := TransportUnit(GivenExactly(n), Maybe{}); err == nil {
			t.Errorf("%v cells were taken", n)
		}
	}
}

func TestLithiumContent(t *testing.T) {
	metal := Chemistries(LithiumMetal)
	for _, c := range []struct {
		name   string
		cs     ChemistrySet
		stated Maybe
		want   Interval
	}{
		{"stated", metal, GivenExactly(0.11), Exact(0.11)},
		{"not stated", metal, Maybe{}, Interval{0, UnknownLithiumG}},
		{"lithium ion has none", LithiumIon, Maybe{}, Interval{}},
		{"perhaps primary", metal | LayeredOxide, GivenExactly(0.5), Interval{0, 0.5}},
		{"chemistry not known", 0, Maybe{}, Interval{0, UnknownLithiumG}},
	} {
		if got, err := LithiumContentG(c.cs, c.stated); err != nil || got != c.want {
			t.Errorf("%s: got %v, %v", c.name, got, err)
		}
	}
	// 0.3 g per Ah: the old 1.5 g step for cells is 5 Ah, about 18 to 20 Wh.
	if got, err := EquivalentLithiumG(Exact(5), 1); err != nil || got != Exact(1.5) {
		t.Errorf("got %v, %v", got, err)
	}
}

func TestVoltsOverLimit(t *testing.T) {
	phone := LayeredOxide
	for _, c := range []struct {
		name           string
		rest           float64
		cs             ChemistrySet
		nominal, limit Maybe
		series         float64
		want           Interval
	}{
		{"4.40 V label, full", 4.38, phone, GivenExactly(3.85), GivenExactly(4.40), 1, Exact(-0.02)},
		{"4.40 V label, overcharged", 4.50, phone, GivenExactly(3.85), GivenExactly(4.40), 1, Exact(0.1)},
		{"4.20 V label at 4.35 V", 4.35, phone, GivenExactly(3.7), GivenExactly(4.20), 1, Exact(0.15)},
		{"no label: the lowest limit counts", 4.35, phone, Maybe{}, Maybe{}, 1, Interval{-0.15, 0.15}},
		{"nominal voltage alone tells the class", 4.38, phone, GivenExactly(3.85), Maybe{}, 1, Exact(-0.02)},
		{"a printed limit is the cell's own, whatever the nominal voltage says", 4.46, phone, GivenExactly(3.87), GivenExactly(4.40), 1, Exact(0.06)},
		{"iron phosphate without a label", 3.90, Chemistries(LFP), Maybe{}, Maybe{}, 1, Interval{0.2, 0.3}},
		{"li-ion with the nominal voltage", 4.38, LithiumIon, GivenExactly(3.85), GivenExactly(4.40), 1, Exact(-0.02)},
		{"two cells", 8.9, phone, GivenExactly(7.7), GivenExactly(8.8), 2, Exact(0.05)},
		{"iron phosphate", 3.75, Chemistries(LFP), GivenExactly(3.2), GivenExactly(3.65), 1, Exact(0.1)},
		{"a printed limit beyond any cell", 4.6, phone, GivenExactly(3.87), GivenExactly(5.0), 1, Exact(0.1)},
	} {
		got, err := VoltsOverLimit(Exact(c.rest), c.cs, c.nominal, c.limit, Exact(c.series))
		if err != nil || math.Abs(got.Low-c.want.Low) > 1e-9 || math.Abs(got.High-c.want.High) > 1e-9 {
			t.Errorf("%s: got %v, %v; want %v", c.name, got, err, c.want)
		}
	}
}

func TestVoltsUnderCutOff(t *testing.T) {
	for _, c := range []struct {
		name string
		rest float64
		cs   ChemistrySet
		want Interval
	}{
		{"iron phosphate at 1.8 V", 1.8, Chemistries(LFP), Interval{0.2, 0.7}},
		{"nmc at 2.4 V", 2.4, Chemistries(NMC), Interval{0.1, 0.4}},
		{"cobalt at 3.2 V", 3.2, Chemistries(LCO), Interval{-0.45, -0.2}},
		{"titanate at 2.3 V is not empty", 2.3, Chemistries(LTO), Exact(-0.8)},
	} {
		got, err := VoltsUnderCutOff(Exact(c.rest), c.cs, Exact(1))
		if err != nil || math.Abs(got.Low-c.want.Low) > 1e-9 || math.Abs(got.High-c.want.High) > 1e-9 {
			t.Errorf("%s: got %v, %v; want %v", c.name, got, err, c.want)
		}
	}
	// 1.5 V: the cautious shop limit (common practice; Guo et al. 2016 for why).
	if got := NoRechargeVolts(LithiumIon); got != Exact(1.5) {
		t.Errorf("no recharge under %v", got)
	}
}

func TestVoltagesRefuse(t *testing.T) {
	nan := math.NaN()
	if _, err := VoltsPerCell(Exact(nan), Exact(1)); err == nil {
		t.Error("not a voltage")
	}
	if _, err := VoltsPerCell(Exact(3.7), Interval{0, 1}); err == nil {
		t.Error("no cells")
	}
	if _, err := VoltsOverLimit(Exact(3.7), 0, GivenExactly(nan), Maybe{}, Exact(1)); err == nil {
		t.Error("not a nominal voltage")
	}
	if _, err := SeriesCells(0, GivenExactly(math.Inf(1)), Maybe{}); err == nil {
		t.Error("not a nominal voltage")
	}
	if _, err := RatedEnergy(EnergyFacts{MassG: GivenExactly(nan)}); err == nil {
		t.Error("not a mass")
	}
	if _, err := LithiumContentG(0, GivenExactly(-1)); err == nil {
		t.Error("not a lithium content")
	}
}

func TestThicknessGrowth(t *testing.T) {
	for _, c := range []struct {
		name        string
		now, made   Interval
		want        Interval
		least, most GrowthBand
	}{
		{"exactly 5 %", Exact(4.2), Exact(4.0), Exact(5), GrowthSound, GrowthSound},
		{"just over 5 %", Exact(4.21), Exact(4.0), Exact(5.25), GrowthWorn, GrowthWorn},
		{"exactly 10 %", Exact(4.4), Exact(4.0), Exact(10), GrowthWorn, GrowthWorn},
		{"just over 10 %", Exact(4.41), Exact(4.0), Exact(10.25), GrowthSwollen, GrowthSwollen},
		{"thinner", Exact(3.9), Exact(4.0), Exact(-2.5), GrowthSound, GrowthSound},
		{"ranges", Interval{4.0, 4.5}, Interval{4.0, 4.2}, Interval{-4.761904762, 12.5}, GrowthSound, GrowthSwollen},
	} {
		got, err := ThicknessGrowth(c.now, c.made)
		if err != nil || math.Abs(got.Low-c.want.Low) > 1e-8 || math.Abs(got.High-c.want.High) > 1e-8 {
			t.Errorf("%s: got %v, %v", c.name, got, err)
		}
		if least, most := GrowthBands(got); least != c.least || most != c.most {
			t.Errorf("%s: %s to %s", c.name, least, most)
		}
	}
	for _, mm := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := ThicknessGrowth(Exact(4), Exact(mm)); err == nil {
			t.Errorf("a thickness of %v mm was taken", mm)
		}
	}
}

func TestDischargeData(t *testing.T) {
	got, err := MeanVoltage(80, 25, LayeredOxide, GivenExactly(3.85), GivenExactly(4.40), Exact(1))
	// A 4.5 Ah cell from 80 to 25 % was worked with a mean of 3.9 V.
	if err != nil || math.Abs(got.Low-3.9) > 0.05 || math.Abs(got.High-3.9) > 0.05 {
		t.Errorf("got %v, %v", got, err)
	}
	for _, c := range [][2]float64{{25, 80}, {50, 50}, {101, 0}, {50, -1}, {math.NaN(), 0}} {
		if _, err := MeanVoltage(c[0], c[1], LayeredOxide, Maybe{}, Maybe{}, Exact(1)); err == nil {
			t.Errorf("%v was taken", c)
		}
	}
	if _, err := MeanVoltage(80, 25, Chemistries(SodiumIon), Maybe{}, Maybe{}, Exact(1)); err == nil {
		t.Error("a cell without a table has no mean voltage")
	}
	r, err := PhoneCellResistance(25, false)
	if err != nil || math.Abs(r.Low-0.06) > 1e-9 || math.Abs(r.High-0.16) > 1e-9 {
		t.Errorf("%+v, %v", r, err)
	}
}

// Every source key of the data is defined where the sources are kept. The two
// keys that are no documents are defined beside them.
func TestSourcesAreDefined(t *testing.T) {
	text, err := os.ReadFile("../rules/source/shipped/cells.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defined := map[string]bool{"common-practice": true, "from-memory": true}
	for _, m := range regexp.MustCompile(`(?m)^- key: (\S+)$`).FindAllStringSubmatch(string(text), -1) {
		defined[m[1]] = true
	}
	need := func(where, key string) {
		if !defined[key] {
			t.Errorf("%s: source %q is not defined", where, key)
		}
	}
	for _, x := range Tables() {
		need(x.Name, x.Source)
	}
	for _, x := range AllLimits() {
		need(x.Chemistry.String()+" "+x.Label, x.Source)
	}
	for _, x := range Densities() {
		need(x.Name, x.Source)
	}
	f := ChargeFacts{RestVolts: GivenExactly(3.7), Gauge: GivenExactly(20), Chemistries: LithiumIon}
	e, err := StateOfCharge(f)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range e.Sources {
		need("state of charge", key)
	}
}
