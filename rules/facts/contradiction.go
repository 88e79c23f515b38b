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
	marked, capacity, ok := k.both("battery.rated_energy", "battery.rated_capacity")
	if !ok {
		return
	}
	volts, says := k.c.Get("battery.nominal_voltage"), "nominal volts times capacity"
	if volts.State != Stated {
		volts, says = k.usualVolts(), "the capacity at the nominal volts of such cells"
	}
	low, high := volts.Low*capacity.Low, volts.High*capacity.High
	if marked.High < low*(1-markedEnergyTolerance) || marked.Low > high*(1+markedEnergyTolerance) {
		round := func(x float64) float64 { return math.Round(x*100) / 100 }
		k.add(marked, "read the label again; nominal volts are those of the whole battery",
			"%s marked does not go with %s, %s",
			FormatQuantity(marked.Low, marked.High, "Wh"), says, FormatQuantity(round(low), round(high), "Wh"))
	}
}

// usualVolts is what the whole battery may have nominally by its chemistry and its
// cells in series, as far as they are stated.
func (k *contradictions) usualVolts() Value {
	possible := battery.AllChemistries
	if v := k.c.Get("battery.chemistry"); v.State == Stated {
		possible = battery.ChemistrySet(v.Words)
	}
	cell := battery.NominalVolts(possible)
	series := k.c.Get("battery.series_cells")
	if series.State != Stated {
		series = Value{Low: 1, High: battery.MostSeriesCells}
	}
	return Value{Low: cell.Low * series.Low, High: cell.High * series.High}
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
// cells in series that is stated or usual in such a device, or else possible.
func (k *contradictions) label() {
	nominal, limit := k.c.Get("battery.nominal_voltage"), k.c.Get("battery.charge_limit")
	if nominal.State != Stated && limit.State != Stated || k.limitUnderNominal() {
		return
	}
	possible, name := battery.AllChemistries, "lithium"
	chemistry := k.c.Get("battery.chemistry")
	if chemistry.State == Stated {
		possible = battery.ChemistrySet(chemistry.Words)
		name = possible.String()
	}
	series, fix := k.series()
	if series.Low == 0 {
		if chemistry.State != Stated && (nominal.State != Stated || limit.State != Stated) {
			return // one voltage alone contradicts nothing
		}
		series = Value{Low: 1, High: battery.MostSeriesCells}
	}
	_, fits, err := battery.SeriesByLabel(possible, nominal.Measured(), limit.Measured(), battery.Interval{Low: series.Low, High: series.High})
	if err != nil || fits {
		return
	}
	at, says := limit, "a charge limit of "+FormatQuantity(limit.Low, limit.High, "V")
	switch volts := FormatQuantity(nominal.Low, nominal.High, "V"); {
	case limit.State != Stated:
		at, says = nominal, "a nominal voltage of "+volts
	case nominal.State == Stated:
		says += " at a nominal " + volts
	}
	cells := FormatQuantity(series.Low, series.High, "") + " cells in series"
	if series.High == 1 {
		cells = "one cell"
	}
	k.add(at, fix, "no %s battery of %s has %s", name, cells, says)
}

// series is how many cells in series the case states or the catalogue presumes of
// such a device, Low 0 if neither, and what to do where the label says otherwise.
func (k *contradictions) series() (Value, string) {
	const again = "read the label again, and give volts for the whole battery"
	v := k.c.Get("battery.series_cells")
	switch v.State {
	case Stated:
		return v, again
	case Unknown:
		return Value{}, again
	}
	f, _ := k.c.Catalogue().Lookup("battery.series_cells")
	for i := range f.Presume {
		if k.presumed(&f.Presume[i]) {
			return f.Presume[i].Means, again + ", or state battery.series_cells: so many are usual here"
		}
	}
	return Value{}, again
}

// presumed tells that a presumption follows from what is stated.
func (k *contradictions) presumed(p *Presumption) bool {
	for _, n := range p.Needs {
		v := k.c.Get(k.c.Catalogue().Facts[n.Fact].Name)
		if v.State != Stated || !n.Any && (v.Words == 0 || v.Words&^n.Words != 0) {
			return false
		}
	}
	return true
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
