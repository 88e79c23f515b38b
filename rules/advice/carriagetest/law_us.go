package carriagetest

// highway rules under the order of paragraphs of 49 CFR 173.185, with the
// materials of trade of 173.6.
func (p *parcel) highway() Answer {
	own := p.ownVehicle && !p.spent && p.load <= 200 && p.gross <= 30
	switch {
	case !p.sodium && !p.bare && own && !p.hurt:
		return yes("173.6")
	case !p.sodium && !p.bare && p.spent && !p.hurt && p.usSize() && !p.usFull():
		return yes("173.185(d)", "173.185(c)").saying("No shipping paper").saying(p.batteryMark()...).saying(p.usMarks()...).saying(p.usSizeNote()...)
	case !p.sodium && !p.bare && p.spent && !p.hurt:
		return yes("173.185(d)", "not 173.185(c)").saying("Shipping paper", "not Battery mark").saying(p.usSizeNote()...)
	}
	return p.paragraphs(p.usSize(), p.spent)
}

func (p *parcel) usRail() Answer { return p.paragraphs(p.usSize(), false) }

// vessel has neither the sizes of highway and rail nor the relief of (d).
func (p *parcel) vessel() Answer { return p.paragraphs(p.small, false) }

// usSize is the size of highway and rail, (c)(1)(iv).
func (p *parcel) usSize() bool { return p.within(60, 300, 5, 25) }

// usFull is what keeps a small one from (c) otherwise: over 30 kg gross, or
// without the watt-hours that (c)(1)(i) asks for after 31 December 2015.
func (p *parcel) usFull() bool { return p.tooHeavy() || p.unmarked && p.made >= "2016-01-01" }

func (p *parcel) paragraphs(small, spentByRoad bool) Answer {
	switch {
	case p.sodium:
		return approval()
	case p.bare && p.unmarked:
		return no() // two paragraphs bar it, and either may be named
	case p.bare:
		return no("173.185(b)(2)")
	case p.unmarked && p.day >= "2024-05-10" && !spentByRoad:
		return no("173.185(a)(5)")
	case p.reacting || p.warm: // 173.21 (c)
		return approval("173.185(f)", "173.21(c)", "173.185(h)")
	case p.hurt:
		return yes("173.185(f)", "not 173.185(d)", "not 173.185(c)").saying(
			p.named("Damaged/defective lithium ion battery", "Damaged/defective lithium metal battery", ""), "packing group I")
	case p.prototype:
		return yes("173.185(e)", "not 173.185(c)").saying("173.185(e)")
	case !p.tested:
		return no("173.185(a)")
	case !small || p.usFull():
		return yes("173.185(b)", "not 173.185(c)").saying("Shipping paper", "Class 9 lithium battery label").saying(p.sizeNote()...)
	case p.small:
		return yes("173.185(c)", "not 173.185(c)(1)(iv)").saying("No shipping paper").saying(p.batteryMark()...).saying(p.usMarks()...)
	}
	return yes("173.185(c)", "173.185(c)(1)(iv)").saying("No shipping paper").saying(p.batteryMark()...).saying(p.usMarks()...).saying(p.usSizeNote()...)
}

// usSizeNote is what has to be told of the one cell on highway and rail: (a)(1)
// measures it as a cell.
func (p *parcel) usSizeNote() []string {
	if p.metal {
		return nil
	}
	return []string{
		when(p.cell && p.wh > 60 && p.wh <= 300, "60 Wh, not 300 Wh"),
		when(p.cell && p.wh > 20 && p.wh <= 60, "small on highway and rail only"),
	}
}

// usMarks are the words on small ones that keep them from passenger aircraft,
// (c)(1)(iii), or from every aircraft and vessel, (c)(1)(iv).
func (p *parcel) usMarks() []string {
	switch {
	case !p.small:
		return []string{"FORBIDDEN FOR TRANSPORT ABOARD AIRCRAFT AND VESSEL", "not PASSENGER AIRCRAFT"}
	case p.loose || p.net > 5:
		return []string{"FORBIDDEN FOR TRANSPORT ABOARD PASSENGER AIRCRAFT", "not AIRCRAFT AND VESSEL"}
	}
	return []string{"not FORBIDDEN FOR TRANSPORT"}
}
