package carriagetest

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
)

// draws are telling values of the facts that decide about carriage: either side
// of every limit and date. A word that stands twice is drawn twice as often.
var draws = map[string][]string{
	"battery.role":           {"device", "device", "device", "power-bank"},
	"battery.chemistry":      {"lco", "nmc", "lfp", "li-metal", "na-ion"},
	"battery.form":           {"pouch", "cylindrical", "coin"},
	"battery.series_cells":   {"1", "1", "2", "4"},
	"battery.parallel_cells": {"1", "1", "2"},
	"battery.rated_energy":   {"0.2 Wh", "2.7 Wh", "2.8 Wh", "15 Wh", "20 Wh", "20.1 Wh", "60 Wh", "60.1 Wh", "100 Wh", "100.1 Wh", "160 Wh", "160.1 Wh", "300 Wh", "300.1 Wh"},
	"battery.gauge_charge":   {"5 %", "30 %", "31 %", "90 %"},
	"battery.mass":           {"60 g", "500 g", "501 g"},
	"battery.made":           {"2008-05-01", "2010-05-01", "2013-05-01", "2016-05-01", "2026-02-01"},
	"battery.test_summary":   {"yes", "yes", "no"},
	"battery.wh_printed":     {"yes", "yes", "no"},
	"battery.terminals":      {"covered", "covered", "bare"},
	"battery.assessed":       {"none", "none", "not-critical", "critical"},
	"dispatch.purpose":       {"reuse", "return", "recycle", "dispose"},
	"dispatch.packing":       {"by-itself", "with-equipment", "in-equipment"},
	"dispatch.jurisdiction":  {"un", "eu", "uk", "us"},
	"dispatch.date":          {"2024-03-01", "2024-12-31", "2025-06-01", "2025-12-31", "2026-01-01", "2026-06-01", "2027-02-01"},
	"dispatch.discarded_by":  {"household", "business"},
	"dispatch.destination":   {"sorter", "treatment", "recycler", "maker", "customer"},
	"dispatch.net_mass":      {"0.1 kg", "2.5 kg", "2.6 kg", "5 kg", "5.1 kg", "10 kg", "10.1 kg", "35 kg", "35.1 kg"},
	"dispatch.gross_mass":    {"1 kg", "30 kg", "30.1 kg"},
	"dispatch.packages":      {"1", "2", "3"},
	"dispatch.cells":         {"0", "0", "1", "2", "3", "4", "5", "20", "21"},
	"dispatch.batteries":     {"0", "0", "1", "2", "3", "20", "21"},
	"dispatch.load_per_vehicle": {
		"10 kg", "200 kg", "201 kg", "333 kg", "334 kg"},
	"dispatch.prototype":   {"no", "no", "no", "yes"},
	"dispatch.own_vehicle": {"no", "no", "yes"},
	"dispatch.main_source": {"yes", "no"},
	"dispatch.equipment":   {"0", "1", "2", "15", "16"},
}

// drawsOfMetal are drawn for cells that cannot be recharged only: no others hold
// lithium metal.
var drawsOfMetal = []string{"0.1 g", "1 g", "1.1 g", "2 g", "2.1 g", "5 g", "5.1 g", "8 g", "8.1 g", "12 g", "12.1 g", "25 g", "25.1 g"}

var drawn = slices.Sorted(maps.Keys(draws))

// Energies are the watt-hours that are drawn, from least to most.
func Energies() []string { return slices.Clone(draws["battery.rated_energy"]) }

// Damages are the ways a cell is hurt or may be, each as one change.
var Damages = []string{
	"battery.swelling=slight", "battery.swelling=severe", "battery.deformation=slight", "battery.puncture=suspected",
	"battery.leakage=confirmed", "battery.odour=yes", "battery.discoloured=yes", "battery.venting=yes", "battery.recalled=yes",
	"battery.wetted=yes", "battery.self_heating=yes", "battery.terminal_corrosion=yes", "battery.looked=no; battery.deformation=unknown",
	"battery.history_asked=no; battery.wetted=unknown", "battery.odour=unknown; battery.swelling=unknown", "battery.assessed=critical",
	"battery.temperature=25 degC", "battery.temperature=25 degC; battery.off_time=5 min",
}

// plainDamages are those that nobody can doubt: steady ones, one that reacts
// whatever was judged, one that is judged critical, and warmth that was measured.
var plainDamages = []string{
	"battery.swelling=slight", "battery.deformation=slight", "battery.recalled=yes", "battery.wetted=yes", "battery.leakage=confirmed", "battery.venting=yes",
	"battery.deformation=slight; battery.assessed=critical", "battery.venting=yes; battery.assessed=not-critical",
	"battery.temperature=25 degC; battery.assessed=not-critical", "battery.temperature=26 degC; battery.off_time=5 min", "battery.temperature_rate=0.4 K/min",
}

// Chooser chooses one of n; the words say of what.
type Chooser func(of string, n int) int

func (choose Chooser) one(of string, list []string) string { return list[choose(of, len(list))] }

// DrawSound makes the changes of a parcel that is not hurt. Of each fact something is
// said or nothing; of some parcels little is said, so that they come to the ends
// of the tables as well.
func DrawSound(choose Chooser) string {
	var out []string
	said := []int{4, 3, 1}[choose("how much is said", 3)] // of 5
	for _, name := range drawn {
		if choose("say "+name, 5) < said {
			out = append(out, name+"="+choose.one(name, draws[name]))
		}
	}
	if slices.Contains(out, "battery.chemistry=li-metal") {
		out = append(out, "battery.lithium_content="+choose.one("lithium", drawsOfMetal))
	}
	return strings.Join(out, "; ")
}

// Draw makes the changes of a parcel that may be hurt, or not be known to be
// sound.
func Draw(choose Chooser) string {
	changes := DrawSound(choose)
	if choose("hurt", 3) == 0 {
		changes += "; " + choose.one("damage", Damages)
	}
	return changes
}

// DrawPlain makes the changes of a parcel on which [Law] can rule: it is sound or
// hurt so that nobody can doubt it.
func DrawPlain(choose Chooser) string {
	changes := DrawSound(choose) + "; battery.assessed=none"
	if choose("hurt", 5) == 0 {
		changes += "; " + choose.one("damage", plainDamages)
	}
	return changes
}

// Usual is how many sampled parcels meet every row of the tables.
const Usual = 720

// Sample makes n parcels that [Law] can rule on, the same ones every time. Each
// kind of battery is packed in each way under each law as often as the others.
func Sample(n int) []string {
	chance := rand.New(rand.NewPCG(3480, 3481))
	choose := Chooser(func(_ string, n int) int { return chance.IntN(n) })
	out := make([]string, n)
	for i := range out {
		turn := i
		next := func(list ...string) string {
			word := list[turn%len(list)]
			turn /= len(list)
			return word
		}
		changes := DrawPlain(choose)
		kind := next("lco", "li-metal; battery.lithium_content="+choose.one("lithium", drawsOfMetal), "na-ion")
		out[i] = fmt.Sprintf("%s; battery.lithium_content=; battery.chemistry=%s; dispatch.packing=%s; dispatch.jurisdiction=%s",
			changes, kind, next("by-itself", "with-equipment", "in-equipment"), next("eu", "us", "uk", "us", "eu", "un"))
	}
	return out
}
