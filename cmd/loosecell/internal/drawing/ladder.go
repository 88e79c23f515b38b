package drawing

import (
	"fmt"
	"math"

	"loosecell/rules/advice"
)

// Rung is one box of the ladder: its name in plain words, which way out it is,
// and how it stands.
type Rung struct {
	Name  string
	State RungState
	Note  string // behind the state: minutes, or what is missing
}

// RungState is how a rung stands in this case.
type RungState uint8

const (
	Now     RungState = iota // the one to take
	Next                     // permitted, if the ones before it fail
	NotYet                   // open: something has to be known or done first
	Barred                   // not permitted here
	Tried                    // tried already
	Elected                  // likely, once what comes first is done
)

var stateWords = map[RungState]string{
	Now: "Now", Next: "Permitted, if that fails", NotYet: "Not yet", Barred: "Not permitted here", Tried: "Tried already", Elected: "Most likely, once ready",
}

// StateOf tells how a rung stands.
func StateOf(r advice.Rung, pick, likely string) RungState {
	switch {
	case r.Rung == pick:
		return Now
	case r.Tried:
		return Tried
	case pick == "undecided" && r.Rung == likely:
		return Elected
	case r.May == "yes" && r.Fits == "yes":
		return Next
	case r.May == "no":
		return Barred
	}
	return NotYet
}

// Ladder is the rungs that apply here, gentlest first, and how each stands: from
// one to the next only after a look at the cell.
func Ladder(rungs []Rung) Picture {
	p := &pen{}
	const left, boxW, boxH, gap = 8.0, width - 16, 38.0, 18.0
	y := 6.0
	told := "From the gentlest on:"
	for i, r := range rungs {
		fill, edge, colour := paper, plain, ink
		switch r.State {
		case Now, Elected:
			fill, edge = pale, stroke{act, 3.2, ""}
		case NotYet:
			edge = hidden
		case Barred, Tried:
			edge, colour = stroke{soft, 1, "2 3"}, soft
		}
		p.rect(left, y, boxW, boxH, 4, fill, edge)
		p.text(left+30, y+17, "start", colour, r.State == Now || r.State == Elected, r.Name)
		state := stateWords[r.State]
		if r.Note != "" {
			state += ", " + r.Note
		}
		p.text(left+30, y+33, "start", colour, false, state)
		p.mark(left+15, y+boxH/2, r.State)
		told += fmt.Sprintf(" %d, %s: %s.", i+1, r.Name, state)
		y += boxH
		p.arrow(left+15, y+2, left+15, y+gap-2, stroke{ink, 1.6, ""})
		p.text(left+30, y+14, "start", soft, false, "still stuck: look at the cell again, then")
		y += gap
	}
	p.rect(left, y, boxW, 30, 15, mid, plain)
	p.text(left+boxW/2, y+19, "middle", ink, true, "None left: it stays in, hand it over")
	return Picture{
		Name: "ladder", Title: "The ways out, gentlest first", W: width, H: y + 36,
		Desc: told + " None left: leave it in and hand it over.", Caption: "After every try look at the cell, note the try and run the case again. Any stop sign ends the ladder.", body: p.b.String(),
	}
}

// mark is the sign of a state, so that it does not hang on colour.
func (p *pen) mark(x, y float64, s RungState) {
	switch s {
	case Now, Elected:
		p.arrow(x-9, y, x+10, y, hands)
	case Next:
		p.path("none", plain, "M%v %v l%v %v l%v %v", x-6, y, 4.0, 5.0, 8.0, -10.0)
	case NotYet:
		p.text(x, y+5, "middle", ink, true, "?")
	case Barred:
		p.cross(x, y)
	case Tried:
		p.line(x-7, y, x+7, y, stroke{soft, 2, ""})
	}
}

// finite guards a chart against numbers that cannot be drawn.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
