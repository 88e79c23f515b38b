package advice

import (
	"math"
	"strconv"

	"loosecell/hazards"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// at is what is possible for a fact of this case.
func (o *outcome) at(fact string) expression.Range { return o.full.At(o.full.Layout.MustSlot(fact)) }

// missing tells that nobody mentioned a fact and that nothing was presumed.
func (o *outcome) missing(fact string) bool { return o.values[fact].State == facts.Missing }

// wordsOfFact lists the words a fact may be, in catalogue order.
func (o *outcome) wordsOfFact(fact string) []string {
	slot := o.full.Layout.MustSlot(fact)
	set := o.full.At(slot).Words
	var out []string
	for i, w := range o.full.Layout.Slots[slot].Fact.Words {
		if set>>i&1 == 1 {
			out = append(out, w)
		}
	}
	return out
}

// mayBe tells that a fact may be a word.
func (o *outcome) mayBe(fact, word string) bool {
	slot := o.full.Layout.MustSlot(fact)
	i, ok := o.full.Layout.Slots[slot].Fact.Word(word)
	return ok && o.full.At(slot).Words>>i&1 == 1
}

// members lists what is certainly and what is possibly among the things a fact
// holds at once.
func (o *outcome) members(fact string) (certain, possible []string) {
	first, count, _ := o.full.Layout.MemberSlots(fact)
	for i := range count {
		word := o.full.Layout.Slots[first+i].Fact.Words[i]
		switch o.full.At(first + i).Words {
		case 0b10:
			certain, possible = append(certain, word), append(possible, word)
		case 0b11:
			possible = append(possible, word)
		}
	}
	return certain, possible
}

// estimate is a range held inside what a model takes, its middle half-way.
func estimate(r expression.Range, low, high float64) hazards.Estimate {
	a, b := hold(r.Low, low, high), hold(r.High, low, high)
	return hazards.Estimate{Low: a, Middle: a + (b-a)/2, High: b}
}

// scale is estimate for what spans orders of magnitude: its middle is the
// geometric one where both ends lie above zero.
func scale(r expression.Range, low, high float64) hazards.Estimate {
	e := estimate(r, low, high)
	if e.Low > 0 {
		e.Middle = hold(math.Sqrt(e.Low)*math.Sqrt(e.High), e.Low, e.High)
	}
	return e
}

func hold(x, low, high float64) float64 { return max(low, min(high, x)) }

func exactly(x float64) hazards.Estimate { return hazards.Estimate{Low: x, Middle: x, High: x} }

// either holds both estimates; the middle stays that of the first, which is the
// likelier one.
func either(a, b hazards.Estimate) hazards.Estimate {
	return hazards.Estimate{Low: min(a.Low, b.Low), Middle: a.Middle, High: max(a.High, b.High)}
}

// band writes an estimate as the sheet prints it: three figures. Rounding keeps
// the order, so a wider estimate never prints narrower.
func band(e hazards.Estimate) Band {
	return Band{Low: three(e.Low), Middle: three(e.Middle), High: three(e.High)}
}

// three keeps three significant figures.
func three(x float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	if err != nil {
		return x
	}
	return out
}
