package carriagetest

// road rules under ADR 2025; under the model rules alone nothing is said of land.
func (p *parcel) road() Answer {
	here := p.ownVehicle && p.customer && p.load <= 333 // 1.1.3.1 (c)
	if p.law != "un" && here && !p.hurt && !p.bare && !p.spent && !p.whLacking() && !(p.sodium && p.day < "2025-01-01") {
		return yes("1.1.3.1(c)")
	}
	return p.land(true)
}

// rail rules under RID: the same, without the craftsman's own vehicle.
func (p *parcel) rail() Answer { return p.land(true) }

// sea rules under the IMDG Code, which has no special provision of the 600s.
func (p *parcel) sea() Answer { return p.land(false) }

// land is the decision table of the surface modes, from the strictest down.
func (p *parcel) land(onLand bool) Answer {
	damaged := p.named("DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES", "DAMAGED/DEFECTIVE LITHIUM METAL BATTERIES", "DAMAGED/DEFECTIVE SODIUM ION BATTERIES")
	waste := p.named("LITHIUM BATTERIES FOR RECYCLING", "LITHIUM BATTERIES FOR RECYCLING", "SODIUM ION BATTERIES FOR RECYCLING")
	collected := onLand && p.sorter && p.load <= 333
	switch {
	case onLand && p.law == "un":
		return no()
	case p.sodium && p.day < "2025-01-01":
		return approval()
	case p.bare:
		return no("P903")
	case p.whLacking() && !p.spent:
		return no("SP 348")
	case p.critical && onLand:
		return approval("SP 376", "SP 677", "P911", "not P908").saying("Transport category 0", damaged)
	case p.critical:
		return p.marked(onLand, approval("SP 376", "P911", "not SP 677", "not P908").saying(damaged))
	case p.hurt:
		return p.marked(onLand, yes("SP 376", "P908", "not SP 188", "not SP 377").saying(damaged, "special provision 376"))
	case p.spent && onLand && p.household && !p.mainSource:
		return yes("SP 670(a)", "not SP 377").saying("not Class 9A")
	case p.spent && p.household && collected:
		return yes("SP 670(b)", "not SP 377").saying(waste, "No transport document")
	case p.spent && p.loose && p.small && p.mass <= 500 && collected:
		return yes("SP 636", "not SP 377").saying(waste, "No transport document")
	case p.spent:
		return p.regulated(onLand, yes("SP 377", "P909", "not SP 636").saying(waste, "Class 9A label"))
	case p.prototype:
		return p.regulated(onLand, yes("SP 310", "P910").saying("special provision 310"))
	case !p.tested:
		return no("UN 38.3")
	case !p.relief() || p.tooHeavy():
		return p.regulated(onLand, yes("SP 230", "P903", "not SP 188").saying("Class 9A label").saying(p.sizeNote()...))
	}
	a := yes("SP 188", "not SP 230").saying(p.batteryMark()...).saying(p.sizeNote()...).saying("not Class 9A")
	switch {
	case p.with:
		a.Clauses = append(a.Clauses, "SP 390")
	case p.loose:
		a = a.saying("30 kg gross")
	default:
		a = a.saying("not 1.2 m")
	}
	return a
}

// regulated is what holds of every package of class 9 that nothing excepts.
func (p *parcel) regulated(onLand bool, a Answer) Answer {
	return p.loaded(onLand, p.marked(onLand, a))
}

// marked adds the proper shipping name beside the number, which the sea asks for
// and the land does not (IMDG Code and ADR 5.2.1.1; the Code from memory).
func (p *parcel) marked(onLand bool, a Answer) Answer {
	return a.saying(when(!onLand, "\n"+p.un()+", "+p.name()))
}

// loaded adds the relief of a small load (ADR 1.1.3.6: 333 kg of category 2).
func (p *parcel) loaded(onLand bool, a Answer) Answer {
	switch {
	case !onLand:
		a.Clauses = append(a.Clauses, "not 1.1.3.6")
	case p.loadKnown && p.load <= 333:
		a.Clauses = append(a.Clauses, "1.1.3.6")
	case p.loadKnown:
		a.Clauses = append(a.Clauses, "not 1.1.3.6")
	}
	return a
}

// sizeNote is what has to be told of the one cell (SP 188, last paragraph): it
// is measured as a cell where it would pass as a battery; and of a cell over
// 20 Wh inside a battery, which readers judge differently.
func (p *parcel) sizeNote() []string {
	if p.metal {
		return []string{when(p.cell && p.grams > 1 && p.grams <= 2, "1 g of lithium, not 2 g")}
	}
	return []string{
		when(p.cell && p.wh > 20 && p.wh <= 100, "20 Wh, not 100 Wh"),
		when(!p.cell && p.wh/p.count > 20, "A cell inside this battery has more than 20 Wh"),
	}
}

// when has words said if something is so, and not said if it is not.
func when(so bool, words string) string {
	if so {
		return words
	}
	return "not " + words
}
