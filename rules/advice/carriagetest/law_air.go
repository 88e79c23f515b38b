package carriagetest

// instruction is the packing instruction of the entry (PI 965 to 970, 976 to 978).
func (p *parcel) instruction() string {
	numbers := [3]string{"965", "966", "967"}
	switch {
	case p.metal:
		numbers = [3]string{"968", "969", "970"}
	case p.sodium:
		numbers = [3]string{"976", "977", "978"}
	}
	switch {
	case p.loose:
		return "PI " + numbers[0]
	case p.with:
		return "PI " + numbers[1]
	}
	return "PI " + numbers[2]
}

// grounded is what never flies: damaged (A154), shorting, sodium ion before its
// entry, without the watt-hours it has to show.
func (p *parcel) grounded() (Answer, bool) {
	switch {
	case p.warm: // a dangerous evolution of heat
		return no("A154"), true
	case p.hurt && p.law == "us":
		return no("A154", "173.185(f)"), true
	case p.hurt:
		return no("A154", "not 173.185(f)"), true
	case p.bare:
		return no(), true
	case p.sodium && p.day < "2025-01-01":
		return no(), true
	case p.whLacking(), p.law == "us" && p.unmarked && p.day >= "2024-05-10":
		return no("SP 348"), true
	case p.law == "us" && p.unmarked:
		return Answer{}, true // before 10 May 2024 the paragraphs were others
	}
	return Answer{}, false
}

// tooMuchMetal is over the limit of lithium in equipment (A101, PI 970).
func (p *parcel) tooMuchMetal() bool {
	return !p.loose && p.metal && (p.cell && p.grams > 12 || p.grams > 500)
}

// cap is the charge by air: 30 % of rated capacity, mandatory for loose ones
// since 2016 and, over 2.7 Wh, for packed-with ones since 2026.
func (p *parcel) cap() string {
	switch {
	case p.metal:
		return "none"
	case p.loose, p.with && p.wh > 2.7 && p.day >= "2026-01-01":
		return "mandatory"
	}
	return "recommended"
}

// cargo rules on cargo aircraft.
func (p *parcel) cargo() Answer {
	if a, ok := p.grounded(); ok {
		return a
	}
	a := Answer{Allowed: "approval", CapKind: p.cap()}
	switch {
	case p.net > 35:
		return Answer{Allowed: "no", NetLimit: "35"}
	case p.tooMuchMetal():
		return no("A101")
	case !p.tested && !p.prototype && !p.spent:
		return no("UN 38.3")
	case p.spent:
		return approval("A183").saying("Approval of the State of Origin")
	case p.prototype:
		a.Clauses = []string{"A88", "PI 910"}
		return a
	case p.cap() == "mandatory" && p.charge > 30:
		a.Clauses = []string{"A331"}
		return a.saying("Approval of the State of Origin")
	}
	section, limit := "-I", "35"
	switch {
	case p.loose && p.sodium:
		section = ""
	case p.loose && p.relief() && p.net <= p.smallLoose():
		section, limit = "-IB", "10"
		if p.metal {
			limit = "2.5"
		}
	case p.loose:
		section = "-IA"
	case p.relief() && p.net <= 5:
		section, limit = "-II", "5"
	}
	return p.flies(section, limit)
}

// passenger rules on cargo in passenger aircraft: nothing loose, 5 kg.
func (p *parcel) passenger() Answer {
	if a, ok := p.grounded(); ok {
		return a
	}
	switch {
	case p.loose:
		return no(p.instruction())
	case p.net > 5:
		return Answer{Allowed: "no", NetLimit: "5"}
	case p.tooMuchMetal():
		return no("A101")
	case p.prototype && !p.spent:
		return no("A88")
	case !p.tested && !p.spent:
		return no("UN 38.3")
	case p.spent:
		return approval("A183").saying("Approval of the State of Origin")
	case p.cap() == "mandatory" && p.charge > 30:
		a := approval("A331")
		a.CapKind = "mandatory"
		return a
	case p.relief():
		return p.flies("-II", "5")
	}
	return p.flies("-I", "5")
}

func (p *parcel) smallLoose() float64 {
	if p.metal {
		return 2.5
	}
	return 10
}

// flies is a permission under a section of the packing instruction, with its
// marks and papers.
func (p *parcel) flies(section, limit string) Answer {
	a := yes(p.instruction() + section).saying("ask the operator").saying(p.sizeNote()...)
	a.NetLimit, a.CapKind = limit, p.cap()
	// The device's own gauge counts only for what is installed in it.
	a = a.saying(when(!p.metal && !p.loose && !p.with, "25 % on the device's own gauge"))
	switch section {
	case "-II":
		return a.saying(p.batteryMark()...).saying("No declaration", "not Class 9A label", "Section II of "+p.instruction())
	case "-IB":
		return a.saying(p.batteryMark()...).saying("declaration", "Class 9A label", "Cargo Aircraft Only label", "3 m")
	}
	return a.saying("declaration", "Class 9A label", "not Battery mark")
}

// post rules on international mail, which takes small ones inside devices only
// (International Mail Manual 135.64; universal postal rules from memory).
func (p *parcel) post() Answer {
	if a, ok := p.grounded(); ok {
		return a
	}
	small := p.relief() && p.net <= 5
	switch {
	case p.spent:
		return no("A183")
	case p.loose:
		return no("135.64", p.instruction())
	case p.with:
		return no("135.64")
	case p.sodium:
		return no()
	case p.prototype:
		return no("A88")
	case !p.tested:
		return no("UN 38.3")
	case !small, p.counted && (p.cells > 4 || p.batteries > 2):
		return no("135.64")
	case p.counted:
		return yes("135.64", p.instruction()+"-II").saying("No outside mark")
	}
	return Answer{}
}

// baggage rules on what travellers carry (Table 8-1; Addendum No. 1 from
// 2026-03-27).
func (p *parcel) baggage() Answer {
	spare := p.loose || p.with
	large := !p.metal && p.wh > 100 || p.metal && p.grams > 2
	more := func(n float64) bool { return p.cells > n || p.batteries > n }
	switch {
	case p.hurt:
		return no("A154")
	case p.bare:
		return no()
	case p.spent: // nobody's own use, and waste flies only by approval
		return no("A183")
	case p.sodium && p.day < "2025-01-01":
		return no()
	case !p.tested:
		return no("UN 38.3")
	case !p.metal && p.wh > 160, p.metal && p.grams > 8:
		return no("Table 8-1")
	case spare && !p.counted && (p.bank || large):
		return Answer{} // how many there are is not told
	case p.bank && more(2) && p.day >= "2026-03-27":
		return no("Addendum No. 1").saying("cabin only")
	case spare && large && more(2):
		return no("Table 8-1").saying("At most two")
	case spare && large:
		return approval("Table 8-1").saying("cabin only", "airline's approval")
	case large:
		return approval("Table 8-1").saying("not cabin only", "airline's approval")
	case spare && !p.counted:
		return Answer{}
	case spare && more(20):
		return approval("Table 8-1").saying("cabin only")
	case !spare && p.equipment > 15:
		return approval("Table 8-1").saying("not cabin only")
	case p.bank:
		return yes("Table 8-1", "Addendum No. 1").saying("cabin only")
	case spare:
		return yes("Table 8-1", "not Addendum No. 1").saying("cabin only", "ask the operator")
	}
	return yes("Table 8-1").saying("not cabin only", "ask the operator")
}
