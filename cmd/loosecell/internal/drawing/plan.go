package drawing

import (
	"slices"

	"loosecell/rules/advice"
)

// box is a rectangle of the drawing.
type box struct{ x, y, w, h float64 }

func (b box) right() float64  { return b.x + b.w }
func (b box) bottom() float64 { return b.y + b.h }
func (b box) midX() float64   { return b.x + b.w/2 }
func (b box) midY() float64   { return b.y + b.h/2 }

// bodies are the devices from above: width, height and roundness.
var bodies = map[string][3]float64{
	"phone": {140, 250, 18}, "tablet": {140, 200, 12}, "laptop": {140, 170, 8}, "handheld": {140, 190, 30},
	"earbud": {120, 170, 50}, "earbud-case": {140, 170, 46}, "watch": {140, 160, 34},
}

var kindWords = map[string]string{
	"phone": "phone", "tablet": "tablet", "laptop": "laptop", "handheld": "handheld", "earbud": "earbud", "earbud-case": "earbud case", "watch": "watch",
}

func kindWord(kind string) string {
	if w := kindWords[kind]; w != "" {
		return w
	}
	return "device"
}

const (
	drawingLeft = 8.0
	drawingTop  = 10.0
	labelLeft   = 172.0
	labelRunes  = 22
)

// way is the rung the picture shows.
func way(s advice.Scene) string {
	if s.Pick == "undecided" && s.Likely != "" {
		return s.Likely
	}
	return s.Pick
}

// pulling rungs stretch strips out.
var pulling = []string{"stretch-strips", "strip-stub", "other-tab"}

// plan is the view from above, being drawn.
type plan struct {
	pen
	labels
	s            advice.Scene
	solvent      bool // liquid is or may come to be used
	device, cell box
	well         box // the room between cell and board, where connector and leads lie
}

// Plan is the device from above: the cell in it, what holds it, which tab is
// pulled which way, the edge no tool goes to, and where liquid may go. Solvent
// tells that liquid is not ruled out.
func Plan(s advice.Scene, solvent bool) Picture {
	d := &plan{s: s, solvent: solvent}
	size, ok := bodies[s.Kind]
	if !ok {
		size = [3]float64{140, 200, 10}
	}
	d.device = box{drawingLeft, drawingTop, size[0], size[1]}
	board := size[1] * 0.2
	foot := max(size[1]*0.17, 34)
	d.cell = box{d.device.x + 22, d.device.y + board + 18, size[0] - 44, size[1] - board - foot - 18}
	d.well = box{d.cell.x, d.device.y + board, d.cell.w, 18}
	d.shell(size[2], board)
	d.adhesive()
	d.connector()
	d.tabs()
	d.hold()
	d.liquid()
	d.name(d.cell.midX(), d.cell.midY())
	end := d.labels.draw(&d.pen, labelLeft, drawingTop, labelRunes)
	return Picture{
		Name: "plan", Title: "The " + kindWord(s.Kind) + " from above, opened", W: width, H: max(end, d.device.bottom()+26),
		Desc:    "The cell lies in the middle, the board above it, the openings for sound below it. " + d.told(),
		Caption: "Seen from above, not to scale; your device may have the board on another side.", body: d.b.String(),
	}
}

// shell is the device, its board and the cell.
func (d *plan) shell(round, board float64) {
	d.rect(d.device.x, d.device.y, d.device.w, d.device.h, round, paper, heavy)
	pcb := box{d.device.x + 12, d.device.y + 10, d.device.w - 24, board - 12}
	d.rect(pcb.x, pcb.y, pcb.w, pcb.h, min(round/2, 10), pale, thin)
	for i := 0.0; i < 3; i++ {
		d.rect(pcb.x+10+i*26, pcb.y+pcb.h*0.2, 16, pcb.h*0.34, 1, mid, thin)
	}
	d.rect(d.cell.x, d.cell.y, d.cell.w, d.cell.h, 4, pale, plain)
	if d.s.Swelling == "slight" || d.s.Swelling == "severe" {
		d.path("none", hidden, "M%v %v Q%v %v %v %v", d.cell.x+12, d.cell.midY()+14, d.cell.midX(), d.cell.midY()+34, d.cell.right()-12, d.cell.midY()+14)
	}
}

// name goes on last, so that nothing runs through it.
func (p *pen) name(x, y float64) {
	p.rect(x-20, y-9, 40, 18, 2, pale, stroke{})
	p.text(x, y+4, "middle", ink, true, "CELL")
}

// connector is the lead from the cell's protection board, or its soldered leads.
func (d *plan) connector() {
	guard := box{d.cell.x + 2, d.cell.y + 2, d.cell.w - 4, 10}
	d.rect(guard.x, guard.y, guard.w, guard.h, 2, mid, thin)
	d.crosses(d.cell.x+3, d.cell.y+7, d.cell.right()-3, d.cell.y+7)
	plug := box{d.cell.right() - 34, d.well.y - 6, 22, 10}
	d.rect(plug.x+7, plug.bottom(), 8, d.cell.y+2-plug.bottom(), 0, mid, thin)
	d.rect(plug.x, plug.y, plug.w, plug.h, 2, paper, plain)
	switch {
	case d.s.Soldered == "yes" && way(d.s) == "cut-leads":
		d.line(plug.x-2, plug.bottom()+4, plug.right()+2, plug.bottom()+4, hands)
		d.add(plug.right(), plug.midY(), act, "Cut the leads here, board side, one at a time; tape the first end")
	case d.s.Soldered == "yes":
		d.add(plug.right(), plug.midY(), ink, "Leads soldered to the board")
	default:
		d.add(plug.right(), plug.midY(), act, "Connector: unplugged first. Is there a second one?")
	}
	d.add(guard.right(), guard.midY(), never, "Never pry this edge: the cell's protection board. No tool, no liquid")
}

// strips are the lanes in which strips or tape run under the cell.
func (d *plan) lanes(n int) []box {
	var out []box
	wide := min(d.cell.w*0.7/float64(n), 22)
	for i := range n {
		mid := d.cell.x + d.cell.w*(float64(i)+0.5)/float64(n)
		out = append(out, box{mid - wide/2, d.cell.y + 18, wide, d.cell.h - 18})
	}
	return out
}

// tabsShown is how many strips are drawn: as many as are stated, to four.
func (d *plan) tabsShown() int {
	switch {
	case d.s.SideTabs == "free" || d.s.SideTabs == "pinned":
		return 1
	case d.s.Tabs >= 1:
		return min(d.s.Tabs, 4)
	}
	return 2
}

// adhesive is what holds the cell from below, seen through it.
func (d *plan) adhesive() {
	c := d.cell
	switch d.s.Adhesive {
	case "stretch-strip":
		lanes := d.lanes(d.tabsShown())
		for _, l := range lanes {
			d.rect(l.x, l.y, l.w, l.h, 2, "none", hidden)
			d.hatch(l.x, l.y, l.w, l.h, 12, stroke{"#9a9a9a", 0.8, ""})
		}
		d.add(lanes[len(lanes)-1].right(), c.y+34, ink, "Stretch strip under the cell")
	case "plain-tape", "voltage-release":
		at := box{c.x + 10, c.y + 20, c.w - 20, c.h - 34}
		d.rect(at.x, at.y, at.w, at.h, 2, "none", hidden)
		d.hatch(at.x, at.y, at.w, at.h, 12, stroke{"#9a9a9a", 0.8, ""})
		text := "Plain tape under the cell, no tab"
		if d.s.Adhesive == "voltage-release" {
			text = "Tape that a low voltage lets go"
		}
		d.add(at.right(), c.y+34, ink, text)
	case "foam":
		at := box{c.x + 10, c.y + 20, c.w - 20, c.h - 34}
		d.rect(at.x, at.y, at.w, at.h, 8, "none", hidden)
		for y := at.y + 8; y < at.bottom()-4; y += 11 {
			for x := at.x + 8; x < at.right()-4; x += 11 {
				d.circle(x, y, 1.8, "#9a9a9a", stroke{})
			}
		}
		d.add(at.right(), c.y+34, ink, "Foam under the cell: thick, drinks slowly")
	case "liquid-glue":
		for _, at := range [][3]float64{{0.22, 0.3, 11}, {0.72, 0.28, 9}, {0.3, 0.78, 9}, {0.76, 0.74, 12}} {
			x, y := c.x+c.w*at[0], c.y+c.h*at[1]
			d.path("none", hidden, "M%v %v q%v %v %v %v q%v %v %v %v q%v %v %v %v q%v %v %v %v Z",
				x-at[2], y, 2, -at[2], at[2], -at[2], at[2], 2, at[2], at[2], -1, at[2], -at[2], at[2], -at[2], -1, -at[2], -at[2])
		}
		d.add(c.x+c.w*0.72+9, c.y+c.h*0.28, ink, "Beads of glue under the cell")
	case "lift-film":
		d.rect(c.x-5, c.y+18, c.w+10, c.h-12, 3, "none", stroke{ink, 1.4, "6 3"})
		d.add(c.right()+5, c.y+34, ink, "Film the cell sits in")
	case "pull-cord":
		d.path("none", stroke{ink, 1.8, "5 3"}, "M%v %v Q%v %v %v %v T%v %v T%v %v",
			c.x+14, c.y+24, c.right()-6, c.y+24+(c.h-30)*0.15, c.midX(), c.y+24+(c.h-30)*0.4, c.x+20, c.y+24+(c.h-30)*0.75, c.midX()-10, c.bottom())
		d.add(c.midX()+12, c.y+24+(c.h-30)*0.16, ink, "Cord under the cell")
	case "none":
		for _, at := range [][2]float64{{c.x - 8, c.y + 20}, {c.right() + 8, c.y + 20}, {c.x - 8, c.bottom() - 6}, {c.right() + 8, c.bottom() - 6}} {
			d.screw(at[0], at[1])
		}
		d.add(c.right()+14, c.y+20, act, "Screws or clips hold it: undo them, lift straight up")
	default:
		d.text(c.midX(), c.y+c.h*0.3, "middle", soft, false, "held by ?")
		d.add(c.midX()+28, c.y+c.h*0.3-4, soft, "What holds the cell is not known: look along its edges")
	}
}

// hold is the last mark of each way that is not a tab.
func (d *plan) hold() {
	c := d.cell
	switch way(d.s) {
	case "card":
		y := c.midY() + 12
		d.path(paper, plain, "M%v %v h%v v%v h%v Z", c.right()+18, y, -28.0, 15.0, 28.0)
		d.arrow(c.right()+20, y+7, c.right()-20, y+7, hands)
		d.add(c.right()+14, y+7, act, "Thin film card or thread, flat, 10 mm deep at most")
	}
	if slices.Contains([]string{"card", "solvent", "warm"}, way(d.s)) {
		x, end := c.x-10, c.bottom()+9
		d.path("none", stroke{soft, 1.6, "3 2"}, "M%v %v V%v", x, c.y+6, end)
		d.crosses(x, c.midY()-14, x, c.midY()+26)
		d.add(x, end, never, "Cables may run beside it: find them, never go in on their side")
	}
}

// liquid marks where solvent may go and what it must not reach.
func (d *plan) liquid() {
	c := d.cell
	openings := box{d.device.midX() - 24, d.device.bottom() - 10, 48, 6}
	for x := openings.x; x < openings.right(); x += 8 {
		d.circle(x+4, openings.midY(), 1.6, ink, stroke{})
	}
	if !d.solvent {
		return
	}
	if way(d.s) != "card" {
		for i := range 3 {
			d.drop(c.right()+10, c.midY()+6+float64(i)*16, 4, act, stroke{})
		}
		d.add(c.right()+12, c.midY()+12, act, "Liquid, if the sheet permits it: one edge at a time, none near the board")
	}
	d.noDrop(openings.x-14, openings.y-8)
	text := "Sound and sensor openings: liquid must not reach them. Tape them first"
	if d.s.Taped == "yes" {
		d.rect(openings.x-3, openings.y-3, openings.w+6, 12, 1, mid, plain)
		text = "Sound and sensor openings, taped: liquid must not reach them"
	}
	d.add(openings.right(), openings.midY(), never, text)
}

// pullWords name what the arrow says.
func pullWords(tab string) string {
	switch tab {
	case "torn":
		return "Torn stub, flush: fish it out with flat plastic tweezers, full width"
	case "short":
		return "Short stub: grip its full width, roll it on a plastic rod"
	}
	return "Whole tab: roll it on a plastic rod and pull flat, this way"
}

// tabs are the ends that hands take hold of.
func (d *plan) tabs() {
	c := d.cell
	switch d.s.Adhesive {
	case "stretch-strip":
		d.stripTabs()
	case "lift-film":
		flap := box{c.midX() - 16, c.bottom() + 6, 32, 14}
		d.rect(flap.x, flap.y, flap.w, flap.h, 3, paper, plain)
		d.arrow(flap.midX(), flap.bottom()-2, flap.midX(), flap.y-22, hands)
		d.add(flap.right(), flap.midY(), act, "Free end of the film: peel it loose, pull it straight up, evenly")
	case "pull-cord":
		x := c.midX() - 10
		d.line(x, c.bottom(), x, c.bottom()+8, stroke{ink, 1.8, ""})
		d.circle(x, c.bottom()+11, 3.4, paper, plain)
		d.arrow(x, c.bottom()+14, x+34, c.bottom()+14, hands)
		d.add(x+34, c.bottom()+14, act, "Cord end: keep it low and pull slowly along its path")
	case "voltage-release":
		for i, sign := range []string{"+", "−"} {
			pad := box{c.midX() - 26 + float64(i)*30, c.bottom() + 4, 20, 14}
			d.rect(pad.x, pad.y, pad.w, pad.h, 2, paper, plain)
			d.text(pad.midX(), pad.bottom()-2.6, "middle", ink, true, sign)
		}
		d.add(c.midX()+24, c.bottom()+11, act, "Release pads: published voltage, right polarity, current limited")
	}
}

// stripTabs draws each tab in its state; the one to pull has the arrow.
func (d *plan) stripTabs() {
	c := d.cell
	lanes := d.lanes(d.tabsShown())
	torn := 0
	if d.s.TabsTorn >= 0 {
		torn = min(d.s.TabsTorn, len(lanes))
	}
	worst := d.s.PullTab
	if torn == 0 && (worst == "torn" || worst == "buried" || worst == "short") {
		torn = len(lanes) // nobody said that one is whole
		if d.s.Tabs > 1 && d.s.TabsTorn == 0 {
			torn = 1
		}
	}
	takeWhole := slices.Contains([]string{"stretch-strips", "other-tab"}, way(d.s))
	arrowed := false
	named := map[string]bool{}
	for i, l := range lanes {
		state := "whole"
		switch {
		case i < torn && worst != "intact" && worst != "":
			state = worst
		case i < torn:
			state = "torn"
		case d.s.PullTab == "" && d.s.TabsTorn < 0:
			state = "not known"
		}
		d.stub(l, state)
		pull := !arrowed && (takeWhole && state == "whole" || way(d.s) == "strip-stub" && state != "whole" && state != "not known")
		if pull {
			arrowed = true
			d.arrow(l.midX(), c.bottom()+18, l.midX(), d.device.bottom()+20, hands)
			if d.device.bottom()+20 < c.bottom()+30 {
				d.arrow(l.midX(), c.bottom()+8, l.midX(), c.bottom()+36, hands)
			}
		}
		if !named[state] || pull && state == "whole" {
			d.nameTab(l, state, pull)
			named[state] = true
		}
	}
	d.flaps(lanes)
}

func (d *plan) nameTab(l box, state string, pull bool) {
	y := d.cell.bottom() + 6
	switch {
	case pull:
		d.add(l.right(), y, act, pullWords(map[string]string{"torn": "torn", "buried": "torn", "short": "short"}[state]))
	case state == "whole":
		d.add(l.right(), y, ink, "Tab, whole")
	case state == "torn":
		d.add(l.right(), y, ink, "Tab torn off, stub flush with the cell")
	case state == "short":
		d.add(l.right(), y, ink, "Tab torn, a short stub stands out")
	case state == "buried":
		d.add(l.right(), d.cell.bottom()-3, ink, "Tab gone under the cell: nothing to hold")
	default:
		d.add(l.right(), y, soft, "Tab: state not known, look")
	}
}

// stub is the end of one strip.
func (d *plan) stub(l box, state string) {
	y := d.cell.bottom()
	torn := func(at float64) {
		d.path(paper, plain, "M%v %v V%v l%v %v l%v %v l%v %v l%v %v V%v Z",
			l.x, y, y+at, l.w*0.25, 4.0, l.w*0.25, -5.0, l.w*0.25, 5.0, l.w*0.25, -4.0, y)
	}
	switch state {
	case "whole":
		d.rect(l.x, y, l.w, 16, 2, paper, plain)
		d.rect(l.x, y+10, l.w, 6, 2, ink, plain)
	case "short":
		torn(9)
	case "torn":
		torn(2)
	case "buried":
		d.path("none", barred, "M%v %v l%v %v l%v %v l%v %v l%v %v", l.x, y-12, l.w*0.25, 4.0, l.w*0.25, -5.0, l.w*0.25, 5.0, l.w*0.25, -4.0)
	default:
		d.rect(l.x, y, l.w, 14, 2, "none", hidden)
		d.text(l.midX(), y+11, "middle", soft, true, "?")
	}
}

// flaps are the outer flaps beside a middle tab, which come first.
func (d *plan) flaps(lanes []box) {
	if d.s.SideTabs != "free" && d.s.SideTabs != "pinned" {
		return
	}
	l, y := lanes[0], d.cell.bottom()
	for _, x := range []float64{l.x - 18, l.right() + 4} {
		if d.s.SideTabs == "pinned" {
			d.rect(x, y-2, 14, 12, 2, mid, plain)
			d.circle(x+7, y+4, 2.6, ink, stroke{})
			continue
		}
		d.path(paper, plain, "M%v %v l%v %v h%v l%v %v Z", x, y, -3.0, 11.0, 14.0, 3.0, -11.0)
	}
	text := "Outer flaps, free"
	if d.s.SideTabs == "pinned" {
		text = "Outer flaps, stuck down: free both before the middle tab"
	}
	d.add(l.right()+18, y+3, map[bool]string{true: act, false: ink}[d.s.SideTabs == "pinned"], text)
}

// underWords name what the cell lies on.
var underWords = map[string]string{
	"frame": "Frame", "shielded-flex": "Cables under a shield", "bare-flex": "Bare cables: nothing sharp", "display": "Back of the display: no pressure",
}

func underWord(s advice.Scene) string {
	if w := underWords[s.UnderCell]; w != "" {
		return w
	}
	return "Below the cell: not known, treat as the display"
}
