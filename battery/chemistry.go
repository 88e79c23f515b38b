package battery

import (
	"fmt"
	"strings"
)

// Chemistry is the positive electrode of a cell (the negative one for lto), or
// li-metal for primary lithium cells.
type Chemistry uint8

// The chemistries from least to most hazardous, in the order of the fact
// battery.chemistry.
const (
	LFP Chemistry = iota
	LTO
	SodiumIon
	LMO
	NMC
	NCA
	LCO
	LithiumMetal
	chemistryCount
)

var chemistryNames = [chemistryCount]string{"lfp", "lto", "na-ion", "lmo", "nmc", "nca", "lco", "li-metal"}

// String returns the word used in case files.
func (c Chemistry) String() string {
	if c < chemistryCount {
		return chemistryNames[c]
	}
	return fmt.Sprintf("chemistry %d", uint8(c))
}

// ParseChemistry returns the chemistry a word stands for; it never guesses.
func ParseChemistry(word string) (Chemistry, error) {
	for i, n := range chemistryNames {
		if n == word {
			return Chemistry(i), nil
		}
	}
	return 0, fmt.Errorf("battery: %q is no chemistry; use one of %s", word, strings.Join(chemistryNames[:], ", "))
}

// ChemistrySet holds the chemistries that are possible; bit i is Chemistry(i).
// The empty set means the same as all of them: nothing is known.
type ChemistrySet uint16

// Sets that the words of the trade stand for.
const (
	AllChemistries ChemistrySet = 1<<chemistryCount - 1
	// LithiumIon is what "li-ion", "lipo" and "polymer" on a label leave open.
	LithiumIon = Rechargeable &^ (1 << SodiumIon)
	// Rechargeable is every chemistry but li-metal.
	Rechargeable = AllChemistries &^ (1 << LithiumMetal)
	// LayeredOxide is what a label's nominal voltage of 3.6 to 3.9 V leaves
	// open: manganese spinel is kept with the layered oxides because it is
	// sold under the same labels.
	LayeredOxide ChemistrySet = 1<<LMO | 1<<NMC | 1<<NCA | 1<<LCO
)

// Chemistries returns the set of the given chemistries.
func Chemistries(cs ...Chemistry) ChemistrySet {
	var s ChemistrySet
	for _, c := range cs {
		s |= 1 << c & AllChemistries
	}
	return s
}

// Has reports whether c is possible in s as it stands.
func (s ChemistrySet) Has(c Chemistry) bool { return s&(1<<c) != 0 }

func (s ChemistrySet) orAll() ChemistrySet {
	if s&AllChemistries == 0 {
		return AllChemistries
	}
	return s & AllChemistries
}

// String lists the members, "lmo | lco".
func (s ChemistrySet) String() string {
	var words []string
	for c := Chemistry(0); c < chemistryCount; c++ {
		if s.Has(c) {
			words = append(words, c.String())
		}
	}
	return strings.Join(words, " | ")
}

// Limits are the voltages of one kind of cell, in V per cell.
type Limits struct {
	Chemistry    Chemistry
	Label        string   // which kind within the chemistry: "4.40", "standard"
	Rechargeable bool     // false: never charged, ChargeLimit is 0
	Nominal      Interval // as printed on labels
	ChargeLimit  Interval // end of a normal charge
	CutOff       Interval // end of a normal discharge
	// Lines below the cut-off. Under Harm some damage must be expected; under
	// Doubtful the trade recycles; under NoRecharge the cell is never charged
	// again, because copper may have bridged it. Sources disagree on where
	// copper dissolves, so 1.5 V is a cautious shop limit and not a threshold
	// that somebody measured.
	HarmBelow, DoubtfulBelow, NoRechargeBelow float64
	HowKnown                                  string // read, secondary, memory
	Source, Note                              string // key of the source
}

// AllLimits returns a copy of the voltages of every kind of cell. Sources are
// named in each row; the over-discharge lines are those of Guo et al., Sci. Rep.
// 6 (2016) 30248, and common practice.
func AllLimits() []Limits { return append([]Limits(nil), shipped.limits...) }

// LimitsOf returns the kinds of cell that one chemistry comes in.
func LimitsOf(c Chemistry) []Limits {
	var out []Limits
	for _, l := range shipped.limits {
		if l.Chemistry == c {
			out = append(out, l)
		}
	}
	return out
}

// CutOffVolts returns the range of normal discharge cut-offs, in V per cell,
// over the possible chemistries.
func CutOffVolts(cs ChemistrySet) Interval {
	return spanLimits(cs, func(l Limits) Interval { return l.CutOff })
}

// NoRechargeVolts returns the range of the line under which a cell is never
// charged again, in V per cell. For a primary cell the line lies above every
// voltage.
func NoRechargeVolts(cs ChemistrySet) Interval {
	return spanLimits(cs, func(l Limits) Interval { return Exact(l.NoRechargeBelow) })
}

// NominalVolts returns the range of nominal voltages, in V per cell, that
// labels of the possible chemistries print.
func NominalVolts(cs ChemistrySet) Interval {
	return spanLimits(cs, func(l Limits) Interval { return l.Nominal })
}

func spanLimits(cs ChemistrySet, pick func(Limits) Interval) Interval {
	cs = cs.orAll()
	first := true
	var out Interval
	for i := range shipped.limits {
		if !cs.Has(shipped.limits[i].Chemistry) {
			continue
		}
		iv := pick(shipped.limits[i])
		if first {
			out, first = iv, false
			continue
		}
		out = out.Hull(iv)
	}
	return out
}
