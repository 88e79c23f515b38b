package advice

import (
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// parcel is the full box with what nobody stated about the package taken as
// that of one battery packed as the sheet says. An explicit unknown stays open.
// What was taken as so is returned in words.
func (w *writer) parcel() (*expression.Box, []string) {
	p := &parcel{writer: w, box: w.q.Full.Clone()}
	// Printed watt-hours are what battery.rated_energy states.
	if w.values["battery.rated_energy"].State == facts.Stated {
		p.word("battery.wh_printed", "yes", "The watt-hours are taken as printed on the case, since they are stated.")
	}
	p.word("battery.terminals", "covered", "Every contact is taken as covered before it is packed.")
	p.word("battery.assessed", "none", "")
	p.word("dispatch.prototype", "no", "")
	p.word("dispatch.own_vehicle", "no", "")
	p.word("dispatch.main_source", "yes", "")
	p.scrap()
	p.range_("dispatch.net_mass", 0, 2.5)
	p.range_("dispatch.gross_mass", 0, 30)
	p.counts()
	counted := p.counted
	p.range_("dispatch.equipment", 1, 1)
	if counted {
		p.taken = append(p.taken, "What is not stated of the package is taken as that of one battery, within the limits of a package.")
	}
	return p.box, p.taken
}

type parcel struct {
	*writer
	box     *expression.Box
	taken   []string
	counted bool
}

func (p *parcel) missing(fact string) bool { return p.values[fact].State == facts.Missing }

// word takes a fact nobody mentioned as one word.
func (p *parcel) word(fact, word, note string) {
	if !p.missing(fact) {
		return
	}
	slot := p.box.Layout.MustSlot(fact)
	if i, ok := p.box.Layout.Slots[slot].Fact.Word(word); ok {
		p.box.Set(slot, expression.Word(i))
		p.taken = appendNew(p.taken, note)
	}
}

// range_ takes a number nobody mentioned as lying in a range.
func (p *parcel) range_(fact string, low, high float64) {
	if p.missing(fact) {
		p.box.Set(p.box.Layout.MustSlot(fact), expression.Range{Low: low, High: high})
		p.counted = true
	}
}

// scrap reads a job that ends in scrap as sent for recycling or disposal.
func (p *parcel) scrap() {
	if !p.missing("dispatch.purpose") || !p.certainly(p.cat, "job.goal", "scrap") {
		return
	}
	slot := p.box.Layout.MustSlot("dispatch.purpose")
	f := p.box.Layout.Slots[slot].Fact
	recycle, _ := f.Word("recycle")
	dispose, _ := f.Word("dispose")
	p.box.Set(slot, expression.Range{Words: 1<<recycle | 1<<dispose})
}

// counts takes the number of cells and batteries in the package, where one or
// both were not mentioned, from what one battery counts as.
func (p *parcel) counts() {
	cells, batteries := p.box.Layout.MustSlot("dispatch.cells"), p.box.Layout.MustSlot("dispatch.batteries")
	noCells, noBatteries := p.missing("dispatch.cells"), p.missing("dispatch.batteries")
	unit := p.box.Layout.MustSlot("derived.unit")
	isCell, _ := p.box.Layout.Slots[unit].Fact.Word("cell")
	mayCell := p.box.At(unit).Words>>isCell&1 == 1
	mayBattery := p.box.At(unit).Words&^(1<<isCell) != 0
	one := func(may bool, other bool) expression.Range {
		r := expression.Range{Low: 1, High: 1}
		if !may {
			return expression.Exactly(0)
		}
		if other {
			r.Low = 0
		}
		return r
	}
	switch {
	case noCells && noBatteries:
		p.box.Set(cells, one(mayCell, mayBattery))
		p.box.Set(batteries, one(mayBattery, mayCell))
		p.counted = true
	case noCells:
		// A battery of one cell is counted as a cell, whatever it was called.
		r := p.box.At(batteries)
		switch {
		case !mayBattery:
			p.box.Set(cells, r)
			p.box.Set(batteries, expression.Exactly(0))
		case mayCell:
			p.box.Set(cells, expression.Range{High: r.High})
			p.box.Set(batteries, expression.Range{High: r.High})
		default:
			p.box.Set(cells, expression.Exactly(0))
		}
	case noBatteries:
		r := expression.Exactly(0)
		if mayBattery {
			r.High = p.box.At(cells).High
		}
		p.box.Set(batteries, r)
	}
}
