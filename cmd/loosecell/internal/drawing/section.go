package drawing

import (
	"slices"

	"loosecell/rules/advice"
)

// The most a strip may rise from the surface and a card may lift, degrees, as the
// rulebook's steps say it (US patent 5,516,581; common practice).
const (
	pullMost = 35
	liftMost = 15
)

const (
	sectionLabels = 196.0
	sectionRunes  = 18
)

// section is the view from the side, being drawn.
type section struct {
	pen
	labels
	s           advice.Scene
	below, glue box
	cell        box
}

// Section is the cell from the side: what lies below it, and how the way out is
// taken. Steady tells that a flat hand may rest on the cell.
func Section(s advice.Scene, steady bool) Picture {
	d := &section{s: s, below: box{6, 124, 120, 16}, glue: box{18, 114, 92, 10}, cell: box{14, 78, 100, 36}}
	title := d.draw(steady)
	end := d.labels.draw(&d.pen, sectionLabels, drawingTop, sectionRunes)
	return Picture{
		Name: "section", Title: title, W: width, H: max(end, 178),
		Desc: "From below: " + underWord(s) + ", the adhesive, the cell. " + d.told(), Caption: "Seen from the side, not to scale.", body: d.b.String(),
	}
}

// draw is the whole view; it returns what it shows.
func (d *section) draw(steady bool) string {
	switch w := way(d.s); {
	case slices.Contains(pulling, w):
		d.stack()
		d.pullStrip(steady)
		return "Pulling a strip, from the side"
	case w == "lift-film":
		d.stack()
		d.liftFilm()
		return "Lifting by the film, from the side"
	case w == "pull-cord":
		d.stack()
		d.pullCord()
		return "Pulling the cord, from the side"
	case w == "voltage-release":
		d.stack()
		d.release()
		return "Releasing by voltage, from the side"
	case w == "warm":
		d.stack()
		d.warm()
		return "Warming from outside, from the side"
	case w == "solvent":
		d.turned(-9, d.below.midX(), d.below.bottom(), d.stack)
		d.soak()
		return "Letting liquid in, from the side"
	case w == "card":
		d.stack()
		d.slide()
		return "Cutting the adhesive, from the side"
	case w == "fasteners":
		d.stack()
		d.arrow(d.cell.midX(), d.cell.y-4, d.cell.midX(), d.cell.y-52, hands)
		d.add(d.cell.midX(), d.cell.y-46, act, "Lift straight up by the frame, never by the wires")
		return "Lifting the cell out, from the side"
	case w == "cut-leads":
		d.stack()
		return "The cell in its place, from the side"
	}
	d.stack()
	return "The cell in its place, from the side"
}

// stack is what lies below the cell, the adhesive and the cell.
func (d *section) stack() {
	d.rect(d.below.x, d.below.y, d.below.w, d.below.h, 2, paper, plain)
	switch d.s.UnderCell {
	case "display":
		d.hatch(d.below.x, d.below.y, d.below.w, d.below.h, 7, thin)
	case "shielded-flex", "bare-flex":
		for i := range 6 {
			x := d.below.x + 6 + float64(i)*19
			d.path("none", plain, "M%v %v q%v %v %v %v q%v %v %v %v", x, d.below.midY(), 4.0, -5.0, 8.0, 0.0, 4.0, 5.0, 8.0, 0.0)
		}
		if d.s.UnderCell == "shielded-flex" {
			d.line(d.below.x+4, d.below.y+3, d.below.right()-4, d.below.y+3, plain)
		}
	}
	d.add(d.below.right()-4, d.below.midY()+2, ink, underWord(d.s))
	if d.s.Adhesive != "none" {
		d.rect(d.glue.x, d.glue.y, d.glue.w, d.glue.h, 0, mid, thin)
		d.hatch(d.glue.x, d.glue.y, d.glue.w, d.glue.h, 8, thin)
	}
	d.rect(d.cell.x, d.cell.y, d.cell.w, d.cell.h, 6, pale, heavy)
	d.name(d.cell.midX(), d.cell.midY())
}

// pullStrip is the strip leaving flat, with the most it may rise.
func (d *section) pullStrip(steady bool) {
	x, y := d.glue.right(), d.glue.midY()
	const long = 50
	up := func(degrees float64) (float64, float64) {
		dx, dy := polar(degrees)
		return x + long*dx, y - long*dy
	}
	topX, topY := up(pullMost)
	d.line(x, y, topX, topY, stroke{never, 1.6, "5 3"})
	endX, endY := up(9)
	d.line(x, y, x+(endX-x)*0.62, y+(endY-y)*0.62, stroke{ink, 3, ""})
	d.arrow(x+(endX-x)*0.5, y+(endY-y)*0.5, endX+10, endY-1.6, hands)
	lowX, lowY := polar(9)
	highX, highY := polar(pullMost)
	d.path("none", stroke{never, 1.2, ""}, "M%v %v A38 38 0 0 0 %v %v", x+38*lowX, y-38*lowY, x+38*highX, y-38*highY)
	d.add(topX, topY, never, "Never above 35° from the surface")
	d.add(endX+6, endY, act, "Pull flat and slowly, 5 to 10 mm a second; let it stretch thin")
	if steady {
		hand := d.cell.x + 14
		d.path(paper, plain, "M%v %v q%v %v %v %v h%v q%v %v %v %v Z", hand, d.cell.y-2, -2.0, -10.0, 8.0, -10.0, 40.0, 8.0, 0.0, 8.0, 10.0)
		d.arrow(hand+28, d.cell.y-46, hand+28, d.cell.y-14, hands)
		d.add(hand+52, d.cell.y-8, act, "A flat hand rests on the cell, face aside")
		return
	}
	d.cross(d.cell.midX()-26, d.cell.y-8)
	d.add(d.cell.midX()-26, d.cell.y-8, never, "Do not press the cell: hold the frame, face aside")
}

func (d *section) liftFilm() {
	d.path("none", stroke{ink, 2, ""}, "M%v %v H%v V%v", d.cell.x-4, d.glue.y+4, d.cell.right()+4, d.cell.y-16)
	d.path("none", stroke{ink, 2, ""}, "M%v %v V%v", d.cell.x-4, d.glue.y+4, d.cell.y+6)
	d.arrow(d.cell.right()+4, d.cell.y-10, d.cell.right()+4, d.cell.y-54, hands)
	d.add(d.cell.right()+4, d.cell.y-40, act, "Straight up, slowly and evenly; rock a little, never jerk")
	d.add(d.below.right()-2, d.below.y+2, act, "Other hand holds the frame, not the cell")
}

func (d *section) pullCord() {
	d.circle(d.glue.right()-14, d.glue.midY(), 3.4, ink, stroke{})
	d.line(d.glue.right()-14, d.glue.midY(), d.cell.right()+8, d.glue.midY(), stroke{ink, 2.4, ""})
	d.arrow(d.cell.right()-2, d.glue.midY(), d.cell.right()+24, d.glue.midY(), hands)
	d.add(d.cell.right()+16, d.glue.midY(), act, "Cord low in the adhesive: it cuts glue, not foil")
	d.cross(d.cell.right()+12, d.cell.y+12)
	d.add(d.cell.right()+12, d.cell.y+12, never, "Never up against the cell")
}

func (d *section) release() {
	d.path("none", plain, "M%v %v H%v V%v", d.glue.right(), d.glue.midY(), d.cell.right()+12, 50.0)
	d.rect(d.cell.right()-34, 26, 58, 24, 3, paper, plain)
	d.text(d.cell.right()-5, 42, "middle", ink, true, "+  −")
	d.add(d.cell.right()+24, 38, act, "Battery unplugged, then the supply: published voltage, limited current, 15 to 60 s")
	d.arrow(d.cell.x+34, d.cell.y-4, d.cell.x+34, d.cell.y-42, hands)
	d.add(d.cell.x+34, d.cell.y-24, act, "Lift at once by hand, no lever")
}

func (d *section) warm() {
	pad := box{d.below.x, d.below.bottom() + 4, d.below.w, 12}
	d.rect(pad.x, pad.y, pad.w, pad.h, 3, mid, plain)
	for i := range 4 {
		x := pad.x + 18 + float64(i)*28
		d.arrow(x, pad.y+2, x, d.glue.y+2, stroke{act, 1.8, ""})
	}
	d.add(pad.right()-4, pad.midY(), act, "Pad below, even, at most as warm and as long as the sheet says")
	d.line(d.cell.midX()+30, d.cell.y-1, d.cell.midX()+52, d.cell.y-40, stroke{ink, 2.4, ""})
	d.circle(d.cell.midX()+30, d.cell.y-1, 3, ink, stroke{})
	d.add(d.cell.midX()+50, d.cell.y-36, act, "Contact probe on the cell: an infrared gun misreads bare foil")
	d.cross(d.cell.x+22, d.cell.y-10)
	d.add(d.cell.x+22, d.cell.y-10, never, "No heat on the cell itself, none after liquid")
}

func (d *section) soak() {
	// The board lies at the raised end, so that what is spilt runs away from it.
	d.rect(d.below.right()+6, d.below.y-34, 34, 12, 2, mid, thin)
	d.noDrop(d.below.right()+23, d.below.y-54)
	d.add(d.below.right()+34, d.below.y-44, never, "Board, display and openings stay on the raised side, dry")
	d.drop(d.cell.right()+2, d.cell.y-30, 5, act, stroke{})
	d.drop(d.cell.right()+6, d.cell.y-14, 4, act, stroke{})
	d.add(d.cell.right()+3, d.cell.y-24, act, "Few drops at the raised edge of the cell")
	d.arrow(d.cell.right()-10, d.cell.bottom()-6, d.cell.x+26, d.cell.bottom()+11, stroke{act, 2, "6 3"})
	d.add(d.cell.midX()+8, d.cell.bottom()+3, act, "It creeps under the cell, downhill")
}

func (d *section) slide() {
	d.path(paper, plain, "M%v %v L%v %v L%v %v Z", d.glue.right()+50, d.glue.y+1, d.glue.right()-16, d.glue.midY(), d.glue.right()+50, d.glue.bottom()-1)
	d.arrow(d.glue.right()+60, d.glue.midY(), d.glue.right()+14, d.glue.midY(), hands)
	d.add(d.glue.right()+58, d.glue.midY(), act, "Flat into the adhesive, 10 mm at most; cut, do not lever")
	dx, dy := polar(liftMost)
	d.line(d.cell.x, d.cell.y, d.cell.x+118*dx, d.cell.y-118*dy, stroke{never, 1.6, "5 3"})
	d.path("none", stroke{never, 1.2, ""}, "M%v %v A70 70 0 0 0 %v %v", d.cell.x+70, d.cell.y, d.cell.x+70*dx, d.cell.y-70*dy)
	d.add(d.cell.x+118*dx, d.cell.y-118*dy, never, "Any lift under 15°: the cell must not bend")
}
