package rules_test

import (
	"math/bits"

	"loosecell/battery"
	"loosecell/rules/expression"
)

// bench is one case as a programmer without a rule engine would hold it: plain
// numbers, words by their index in the catalogue, everything known. What is
// computed from them is a range, as in the engine.
type bench struct {
	gauge, rest, series, nominal, limit, restMinutes, air             float64
	temperature, rate, off, drop, thickness, newThickness             float64
	warmings, solventVolume, setPoint, releaseVolts                   float64
	chemistry, voltsAt                                                uint64
	swelling, deformation, puncture, leakage, looked, place           int
	assessed, heatSource, underCell, ventilation                      int
	odour, stained, corroded, warm, venting, wet, hot, fell, charger  bool
	recalled, force, used, protected, off2, unplugged, starts         bool
	sensitive, taped, thermometer, meter, ignition, currentLimited    bool
	triedCard, triedLeads, triedCord, triedSolvent, strong, strongish bool
}

// benchOf reads a box of which every stated fact is known.
func benchOf(b *expression.Box) bench {
	l := b.Layout
	number := func(name string) float64 { return b.At(l.MustSlot(name)).Low }
	word := func(name string) int { return bits.TrailingZeros64(b.At(l.MustSlot(name)).Words) }
	yes := func(name string) bool { return word(name) == 1 }
	yesFirst := func(name string) bool { return word(name) == 0 }
	return bench{
		gauge: number("battery.gauge_charge"), rest: number("battery.rest_voltage"), series: number("battery.series_cells"),
		nominal: number("battery.nominal_voltage"), limit: number("battery.charge_limit"), restMinutes: number("battery.rest_time"),
		air: number("bench.air_temperature"), temperature: number("battery.temperature"), rate: number("battery.temperature_rate"),
		off: number("battery.off_time"), drop: number("battery.rest_drop"), thickness: number("battery.thickness"),
		newThickness: number("battery.nominal_thickness"), warmings: number("job.warmings"), solventVolume: number("adhesive.solvent_volume"),
		setPoint: number("bench.heat_setpoint"), releaseVolts: number("bench.release_voltage"),
		chemistry: b.At(l.MustSlot("battery.chemistry")).Words, voltsAt: b.At(l.MustSlot("battery.volts_at")).Words,
		swelling: word("battery.swelling"), deformation: word("battery.deformation"), puncture: word("battery.puncture"),
		leakage: word("battery.leakage"), looked: word("battery.looked"), place: word("battery.place"), assessed: word("battery.assessed"),
		heatSource: word("bench.heat_source"), underCell: word("device.under_cell"), ventilation: word("bench.ventilation"),
		odour: yes("battery.odour"), stained: yes("battery.discoloured"), corroded: yes("battery.terminal_corrosion"),
		warm: yes("battery.self_heating"), venting: yes("battery.venting"), wet: yes("battery.wetted"), hot: yes("battery.overheated"),
		fell: yes("battery.dropped"), charger: yes("battery.wrong_charger"), recalled: yes("battery.recalled"), force: yes("job.force_used"),
		used: yes("adhesive.solvent_used"), protected: yesFirst("battery.protected"), off2: yesFirst("device.powered_off"),
		unplugged: yesFirst("device.battery_disconnected"), starts: yesFirst("device.starts"), sensitive: yes("device.liquid_sensitive_near"),
		taped: yesFirst("device.openings_taped"), thermometer: yesFirst("bench.thermometer"), meter: yesFirst("bench.meter"),
		ignition: yes("bench.ignition_source"), currentLimited: yesFirst("bench.release_current_limited"),
		triedCard: yes("job.tried/card"), triedLeads: yes("job.tried/cut-leads"), triedCord: yes("job.tried/pull-cord"),
		triedSolvent: yes("job.tried/solvent"), strong: yes("bench.solvents/isopropanol-99"), strongish: yes("bench.solvents/isopropanol-91"),
	}
}

// The permissions to work, as bits of what byHand returns.
const (
	mayFasteners uint32 = 1 << iota
	mayPull             // lift-film, pull-cord, stretch-strips
	mayFish             // strip-stub, other-tab
	mayRelease
	mayWarm // rung.warm and heat
	mayWet  // rung.solvent and solvent
	mayCard
	mayLeads
	mayRunDown
	mayResist
	mayOpen
	mayRefit
)

// handNames gives the book's permissions that each bit stands for.
var handNames = map[uint32][]string{
	mayFasteners: {"rung.fasteners"}, mayPull: {"rung.lift-film", "rung.pull-cord", "rung.stretch-strips"},
	mayFish: {"rung.strip-stub", "rung.other-tab"}, mayRelease: {"rung.voltage-release"},
	mayWarm: {"rung.warm", "heat"}, mayWet: {"rung.solvent", "solvent"}, mayCard: {"rung.card"}, mayLeads: {"rung.cut-leads"},
	mayRunDown: {"discharge.in-device"}, mayResist: {"discharge.resistor"}, mayOpen: {"opening"}, mayRefit: {"refit"},
}

const (
	lowestRecovery = 1.5 // V per cell
	emptyV         = 2.4
	lithiumMetal   = 1 << uint64(battery.LithiumMetal)
)

// byHand is the part of the shipped rulebook that permits work (all permits and
// restrictions of heat, solvent, discharge, removal, opening and refit, with the
// grades and alarms behind them; not the modes of carriage, caps, holds or
// texts), written as a programmer would. It computes the same derived ranges
// with package battery.
func byHand(f *bench) (may uint32) {
	series := battery.Exact(f.series)
	excess := f.temperature - f.air
	perCell := f.rest / f.series
	growth := 100 * (f.thickness - f.newThickness) / f.newThickness
	limits, err := battery.ChargeLimits(battery.ChemistrySet(f.chemistry), battery.GivenExactly(f.nominal), battery.GivenExactly(f.limit), series)
	if err != nil {
		return 0
	}
	over := perCell - limits.Low

	warmNow := excess >= 5 || f.rate >= 0.4 || excess >= 2 && f.rate > 0.1
	critical := f.venting || f.warm || f.odour || f.stained || f.leakage >= 1 || f.puncture >= 1 || f.assessed == 2 ||
		f.rate >= 0.4 || excess >= 20 || f.temperature >= 45 && excess >= 5 ||
		excess >= 5 && f.off >= 15 && f.warmings == 0 || over > 0.05 || f.drop > 0.05
	if critical || warmNow {
		return 0
	}
	metal := f.chemistry&lithiumMetal != 0
	layered := battery.ChemistrySet(f.chemistry)&battery.LayeredOxide != 0
	swollen := f.swelling >= 1 || growth > 10
	deformed := f.deformation >= 1
	memories := f.fell && f.hot || f.fell && f.charger || f.hot && f.charger
	besides := deformed || f.wet || f.recalled || f.corroded || memories ||
		perCell < lowestRecovery && !metal || perCell < emptyV && layered
	damaged := swollen || besides
	charge := battery.ChargeFacts{
		Gauge: battery.GivenExactly(f.gauge), RestVolts: battery.GivenExactly(f.rest), Series: battery.Given(series),
		MeasuredAt: battery.PlaceSet(f.voltsAt), Chemistries: battery.ChemistrySet(f.chemistry),
		NominalVolts: battery.GivenExactly(f.nominal), LimitVolts: battery.GivenExactly(f.limit),
		RestMinutes: battery.GivenExactly(f.restMinutes), AirC: battery.GivenExactly(f.air),
		SoundAndDry: f.swelling == 0 && !deformed && f.puncture == 0 && f.leakage == 0 && !f.odour && !f.warm && !f.wet && !f.corroded,
	}
	charged := battery.StateOfChargePercent(&charge).High > 30

	if f.looked <= 2 { // the closed device
		may |= mayOpen
		if f.starts && f.place != 2 && !damaged && !metal && !f.recalled {
			may |= mayRunDown
		}
	}
	if f.looked > 1 { // the open cell
		return may
	}
	may |= mayFasteners
	if !(swollen && charged) {
		may |= mayPull
		if !swollen && !(besides && charged) {
			may |= mayFish
		}
	}
	if f.releaseVolts <= 12 && f.currentLimited && f.unplugged && !damaged {
		may |= mayRelease
	}
	if !charged && !damaged {
		may |= mayCard | mayLeads
	}
	if f.heatSource == 1 && f.setPoint <= 60 && f.thermometer && !charged && f.warmings <= 2 && !f.used &&
		f.underCell <= 2 && f.off2 && !damaged && !metal {
		may |= mayWarm
	}
	if (f.strong || f.strongish) && f.ventilation <= 1 && !f.ignition && f.off2 && f.unplugged &&
		!(f.temperature >= 40 && f.warmings >= 1) && !(f.sensitive && !f.taped) && !besides &&
		!(swollen && charged) && f.swelling < 2 && !(f.used && f.solventVolume >= 2) {
		may |= mayWet
	}
	if (f.place == 2 || f.place == 1 && f.unplugged) && f.series == 1 && f.protected && f.meter && f.rest >= 3 &&
		!damaged && !metal && !f.recalled {
		may |= mayResist
	}
	if f.place == 2 && f.looked == 0 && perCell >= 3 && !damaged && growth <= 5 &&
		!f.force && !f.triedCard && !f.triedLeads && !f.triedCord && !f.used && !f.triedSolvent {
		may |= mayRefit
	}
	return may
}
