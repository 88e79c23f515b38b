package facts

import (
	"math"

	"loosecell/battery"
)

// markedEnergyTolerance is how far the marked watt-hours may lie from nominal
// volts times amp-hours before one of the three must be misread. Marks are
// rounded, and the rated and typical capacity of one cell differ by 2 to 5 %
// (common practice); 6 % covers both.
const markedEnergyTolerance = 0.06

// Contradictions lists the pairs of stated facts that cannot both be so,
// however their ranges are filled. What is merely unlikely is not listed, and a
// dangerous reading is a finding, never a contradiction.
func Contradictions(c *Case) Problems {
	k := contradictions{c: c}
	k.markedEnergy()
	k.chargeLimit()
	k.label()
	k.pullTabs()
	k.tried()
	k.masses()
	return k.problems
}

type contradictions struct {
	c        *Case
	problems Problems
}

// both returns two values if both are stated.
func (k *contradictions) both(a, b string) (va, vb Value, ok bool) {
	va, vb = k.c.Get(a), k.c.Get(b)
	return va, vb, va.State == Stated && vb.State == Stated
}

func (k *contradictions) add(at Value, fix, format string, args ...any) {
	p := problem(CodeContradiction, fix, format, args...)
	p.At = at.At
	k.problems = append(k.problems, *p)
}

// certainly reports whether a fact is stated as exactly this word.
func (k *contradictions) certainly(name, word string) (Value, bool) {
	v := k.c.Get(name)
	f, ok := k.c.Catalogue().Lookup(name)
	if !ok || v.State != Stated {
		return v, false
	}
	i, ok := f.Word(word)
	return v, ok && v.Words == 1<<i
}

// hasTried reports whether job.tried lists a rung.
func (k *contradictions) hasTried(rung string) bool {
	v := k.c.Get("job.tried")
	f, ok := k.c.Catalogue().Lookup("job.tried")
	if !ok || v.State != Stated {
		return false
	}
	i, ok := f.Word(rung)
	return ok && v.Has(i)
}

func (k *contradictions) markedEnergy() {
	marked := k.c.Get("battery.rated_energy")
	volts, capacity, ok := k.both("battery.nominal_voltage", "battery.rated_capacity")
	if !ok || marked.State != Stated {
		return
	}
	low, high := volts.Low*capacity.Low, volts.High*capacity.High
	if marked.High < low*(1-markedEnergyTolerance) || marked.Low > high*(1+markedEnergyTolerance) {
		round := func(x float64) float64 { return math.Round(x*100) / 100 }
		k.add(marked, "read the label again; nominal volts are those of the whole battery",
			"%s marked does not go with nominal volts times capacity, %s",
			FormatQuantity(marked.Low, marked.High, "Wh"), FormatQuantity(round(low), round(high), "Wh"))
	}
}

func (k *contradictions) chargeLimit() {
	if !k.limitUnderNominal() {
		return
	}
	nominal, limit, _ := k.both("battery.nominal_voltage", "battery.charge_limit")
	k.add(limit, "give both for the whole battery",
		"a charge limit of %s lies under the nominal voltage of %s",
		FormatQuantity(limit.Low, limit.High, "V"), FormatQuantity(nominal.Low, nominal.High, "V"))
}

func (k *contradictions) limitUnderNominal() bool {
	nominal, limit, ok := k.both("battery.nominal_voltage", "battery.charge_limit")
	return ok && nominal.Low > limit.High
}

// label holds the voltages on the label against the chemistry, for each number of
// cells in series that is possible.
func (k *contradictions) label() {
	chemistry := k.c.Get("battery.chemistry")
	nominal, limit := k.c.Get("battery.nominal_voltage"), k.c.Get("battery.charge_limit")
	possible, stated := battery.AllChemistries, 0
	for _, v := range []Value{chemistry, nominal, limit} {
		if v.State == Stated {
			stated++
		}
	}
	if chemistry.State == Stated {
		possible = battery.ChemistrySet(chemistry.Words)
	}
	if stated < 2 || k.limitUnderNominal() {
		return
	}
	from, to := 1, battery.MostSeriesCells
	if series := k.c.Get("battery.series_cells"); series.State == Stated {
		from, to = int(series.Low), int(series.High)
	}
	for n := from; n <= to; n++ {
		fits, err := battery.LabelFits(possible, maybe(nominal), maybe(limit), battery.Exact(float64(n)))
		if err != nil || fits {
			return
		}
	}
	name := possible.String()
	if possible == battery.AllChemistries {
		name = "lithium"
	}
	at, says := limit, "a charge limit of "+FormatQuantity(limit.Low, limit.High, "V")
	switch volts := FormatQuantity(nominal.Low, nominal.High, "V"); {
	case limit.State != Stated:
		at, says = nominal, "a nominal voltage of "+volts
	case nominal.State == Stated:
		says += " at a nominal " + volts
	}
	k.add(at, "read the label again, give volts for the whole battery, or leave the chemistry open (li-ion)",
		"no %s battery of so many cells has %s", name, says)
}

func maybe(v Value) battery.Maybe {
	if v.State != Stated {
		return battery.Maybe{}
	}
	return battery.Given(battery.Interval{Low: v.Low, High: v.High})
}

func (k *contradictions) pullTabs() {
	tabs, torn, ok := k.both("adhesive.pull_tabs", "adhesive.pull_tabs_torn")
	if ok && torn.Low > tabs.High {
		k.add(torn, "count tabs and stubs again", "%s tabs torn of %s tabs",
			FormatQuantity(torn.Low, torn.High, ""), FormatQuantity(tabs.Low, tabs.High, ""))
		return
	}
	worst, intact := k.certainly("adhesive.pull_tab", "intact")
	if ok && intact && tabs.High >= 1 && torn.Low >= tabs.High {
		k.add(worst, "write pull_tab: torn", "the pull tab is intact, yet all %s are torn",
			FormatQuantity(tabs.Low, tabs.High, ""))
	}
}

func (k *contradictions) tried() {
	if v, no := k.certainly("job.force_used", "no"); no && k.hasTried("card") {
		k.add(v, "write force_used: yes", "a card or thread was tried, and that is force")
	}
	if v, no := k.certainly("adhesive.solvent_used", "no"); no {
		if k.hasTried("solvent") {
			k.add(v, "write solvent_used: yes", "solvent was tried, yet none was used")
		}
		if volume := k.c.Get("adhesive.solvent_volume"); volume.State == Stated && volume.Low > 0 {
			k.add(v, "write solvent_used: yes", "%s of solvent went in, yet none was used",
				FormatQuantity(volume.Low, volume.High, "mL"))
		}
	}
	if v := k.c.Get("job.warmings"); v.State == Stated && v.High == 0 && k.hasTried("warm") {
		k.add(v, "write how many times it was warmed", "warmth was tried, yet it was never warmed")
	}
}

func (k *contradictions) masses() {
	net, gross, ok := k.both("dispatch.net_mass", "dispatch.gross_mass")
	if ok && net.Low > gross.High {
		k.add(gross, "weigh again; gross is with the packing", "a package of %s holds cells of %s",
			FormatQuantity(gross.Low, gross.High, "kg"), FormatQuantity(net.Low, net.High, "kg"))
	}
}
