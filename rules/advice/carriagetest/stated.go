package carriagetest

import (
	"time"

	"loosecell/rules/facts"
)

// parcel is what the law looks at, read from a case that states it, without a
// rulebook. What a case leaves out of the package is that of one battery.
type parcel struct {
	law string // un, eu, uk, us
	day string // on which it is offered

	// What it is.
	metal, sodium bool // neither: lithium ion
	bank          bool
	cell          bool    // one cell, whatever it is called
	count         float64 // cells in it
	wh, grams     float64 // rated energy; lithium
	small         bool    // the size of SP 188
	unmarked      bool    // no watt-hours on a rechargeable battery of several cells
	made          string
	mass          float64 // g
	charge        float64 // % of rated capacity
	tested        bool
	prototype     bool
	bare          bool
	hurt          bool // damaged, defective or recalled
	critical      bool // SP 376: liable to react on the way
	reacting      bool // gives off heat or gas now
	warm          bool // 5 K over the room, 45 °C, or rising by 0.4 K/min

	// How it is packed.
	loose, with      bool    // neither: contained in equipment
	button           bool    // a button cell in equipment
	net, gross       float64 // kg in the package
	cells, batteries float64
	counted          bool // how many there are is told, or it is the one
	packages         float64
	packagesKnown    bool
	equipment        float64
	load             float64 // kg on the vehicle
	loadKnown        bool
	ownVehicle       bool
	customer, sorter bool // where it goes
	spent            bool // for recycling or disposal
	household        bool // discarded by one, in its equipment
	mainSource       bool
}

func read(c *facts.Case) *parcel {
	s := stated{c}
	p := &parcel{
		metal: s.is("battery.chemistry", "li-metal"), sodium: s.is("battery.chemistry", "na-ion"), bank: s.is("battery.role", "power-bank"),
		count: s.number("battery.series_cells", 1) * s.number("battery.parallel_cells", 1),
		wh:    s.number("battery.rated_energy", 0), grams: s.number("battery.lithium_content", 0),
		made: s.day("battery.made"), day: s.day("dispatch.date"),
		spent: s.is("dispatch.purpose", "recycle", "dispose"), prototype: s.is("dispatch.prototype", "yes"),
		charge: s.number("battery.gauge_charge", 0), net: s.number("dispatch.net_mass", 0.1), gross: s.number("dispatch.gross_mass", 1),
		mass: s.number("battery.mass", 1000), load: s.number("dispatch.load_per_vehicle", 1000), loadKnown: s.has("dispatch.load_per_vehicle"),
		mainSource: !s.is("dispatch.main_source", "no"), sorter: s.is("dispatch.destination", "sorter"),
		customer: s.is("dispatch.destination", "customer"), ownVehicle: s.is("dispatch.own_vehicle", "yes"),
		cells: s.number("dispatch.cells", 0), batteries: s.number("dispatch.batteries", 0), packages: s.number("dispatch.packages", 1),
		equipment: s.number("dispatch.equipment", 1),
	}
	p.cell = p.count == 1
	// A power bank is a battery, and so is what travels with a charger only.
	p.with = s.is("dispatch.packing", "with-equipment") && !p.bank && p.equipment >= 1
	contained := s.is("dispatch.packing", "in-equipment") && !p.bank
	p.loose = !p.with && !contained
	p.button = contained && s.is("battery.form", "coin")
	p.bare = !contained && s.is("battery.terminals", "bare")
	p.tested = s.is("battery.test_summary", "yes") || p.button
	p.household = contained && s.is("dispatch.discarded_by", "household")
	p.small = p.within(20, 100, 1, 2)
	p.unmarked = !p.cell && !p.metal && s.is("battery.wh_printed", "no")
	for _, law := range []string{"un", "eu", "uk", "us"} {
		if s.is("dispatch.jurisdiction", law) {
			p.law = law
		}
	}
	p.packagesKnown = s.has("dispatch.packages")
	switch cells, batteries := s.has("dispatch.cells"), s.has("dispatch.batteries"); {
	case cells && batteries:
		p.counted = p.cells == 0 || p.batteries == 0
	case !cells && !batteries:
		p.counted = true
		p.cells, p.batteries = 0, 1
		if p.cell {
			p.cells, p.batteries = 1, 0
		}
	}
	p.reacting = s.is("battery.venting", "yes") || s.is("battery.self_heating", "yes")
	p.warm = s.has("battery.temperature") && s.number("battery.temperature", 0)-s.number("bench.air_temperature", 0) >= 5 ||
		s.number("battery.temperature", 0) >= 45 || s.number("battery.temperature_rate", 0) >= 0.4
	p.critical = p.reacting || p.warm || s.is("battery.assessed", "critical")
	p.hurt = p.critical || !s.is("battery.swelling", "none") || !s.is("battery.deformation", "none") || !s.is("battery.leakage", "none") ||
		s.is("battery.recalled", "yes") || s.is("battery.wetted", "yes")
	return p
}

// within tells that it is inside the limits of a size: watt-hours of a cell and
// of a battery, grams of lithium in a cell and in a battery.
func (p *parcel) within(cellWh, batteryWh, cellG, batteryG float64) bool {
	switch {
	case p.metal && p.cell:
		return p.grams <= cellG
	case p.metal:
		return p.grams <= batteryG
	case p.cell:
		return p.wh <= cellWh
	}
	return p.wh <= batteryWh
}

// whLacking tells that SP 348 asks for watt-hours on the case and there are none.
func (p *parcel) whLacking() bool {
	return p.unmarked && (p.sodium && p.made >= "2026-01-01" || !p.sodium && p.made >= "2012-01-01")
}

// relief tells that it is small, marked as SP 188 (b) asks, and light enough
// where that counts.
func (p *parcel) relief() bool {
	return p.small && !(p.unmarked && (p.sodium || p.made >= "2009-01-01"))
}

func (p *parcel) tooHeavy() bool { return p.loose && p.gross > 30 }

// stated reads single facts of a case.
type stated struct{ c *facts.Case }

func (s stated) has(fact string) bool { return s.c.Get(fact).State == facts.Stated }

func (s stated) is(fact string, words ...string) bool {
	v := s.c.Get(fact)
	f, _ := s.c.Catalogue().Lookup(fact)
	for _, w := range words {
		if i, ok := f.Word(w); ok && v.State == facts.Stated && v.Words == 1<<i {
			return true
		}
	}
	return false
}

func (s stated) number(fact string, otherwise float64) float64 {
	if v := s.c.Get(fact); v.State == facts.Stated {
		return v.Low
	}
	return otherwise
}

func (s stated) day(fact string) string {
	return time.Unix(int64(s.c.Get(fact).Low)*86400, 0).UTC().Format(time.DateOnly)
}
