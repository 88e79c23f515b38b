package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// pen collects shapes.
type pen struct{ b strings.Builder }

// num writes a length to a hundredth, which is finer than any printer.
func num(x float64) string {
	return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
}

// stroke is how a line is drawn.
type stroke struct {
	ink   string
	width float64
	dash  string
}

func (s stroke) attr() string {
	if s.ink == "" {
		return ` stroke="none"`
	}
	out := fmt.Sprintf(` stroke="%s" stroke-width="%s"`, s.ink, num(s.width))
	if s.dash != "" {
		out += fmt.Sprintf(` stroke-dasharray="%s"`, s.dash)
	}
	return out
}

var (
	thin   = stroke{soft, 1, ""}
	plain  = stroke{ink, 1.4, ""}
	heavy  = stroke{ink, 2.4, ""}
	hidden = stroke{soft, 1.2, "4 3"}
	hands  = stroke{act, 2.6, ""}
	barred = stroke{never, 2, ""}
)

func (p *pen) line(x1, y1, x2, y2 float64, s stroke) {
	fmt.Fprintf(&p.b, "<line x1=\"%s\" y1=\"%s\" x2=\"%s\" y2=\"%s\"%s/>\n", num(x1), num(y1), num(x2), num(y2), s.attr())
}

func (p *pen) rect(x, y, w, h, round float64, fill string, s stroke) {
	fmt.Fprintf(&p.b, "<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" rx=\"%s\" fill=\"%s\"%s/>\n", num(x), num(y), num(w), num(h), num(round), fill, s.attr())
}

func (p *pen) circle(x, y, r float64, fill string, s stroke) {
	fmt.Fprintf(&p.b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\" fill=\"%s\"%s/>\n", num(x), num(y), num(r), fill, s.attr())
}

// path draws a path whose numbers are given with %v verbs.
func (p *pen) path(fill string, s stroke, format string, at ...float64) {
	args := make([]any, len(at))
	for i, x := range at {
		args[i] = num(x)
	}
	fmt.Fprintf(&p.b, "<path d=\"%s\" fill=\"%s\"%s/>\n", fmt.Sprintf(format, args...), fill, s.attr())
}

func (p *pen) text(x, y float64, anchor, colour string, bold bool, text string) {
	weight := ""
	if bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(&p.b, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" text-anchor=\"%s\" fill=\"%s\"%s>%s</text>\n", num(x), num(y), num(letters), anchor, colour, weight, escaped(text))
}

// turned draws something turned by degrees, clockwise, about a point.
func (p *pen) turned(degrees, x, y float64, draw func()) {
	fmt.Fprintf(&p.b, "<g transform=\"rotate(%s %s %s)\">\n", num(degrees), num(x), num(y))
	draw()
	p.b.WriteString("</g>\n")
}

// arrow ends in a full head.
func (p *pen) arrow(x1, y1, x2, y2 float64, s stroke) {
	along := math.Hypot(x2-x1, y2-y1)
	if along == 0 {
		return
	}
	ux, uy := (x2-x1)/along, (y2-y1)/along
	const long, half = 10.0, 5.0
	bx, by := x2-ux*long, y2-uy*long
	p.line(x1, y1, bx, by, s)
	p.path(s.ink, stroke{}, "M%v %v L%v %v L%v %v Z", x2, y2, bx-uy*half, by+ux*half, bx+uy*half, by-ux*half)
}

// cross is "not here".
func (p *pen) cross(x, y float64) {
	const r = 4.0
	p.path("none", barred, "M%v %v L%v %v M%v %v L%v %v", x-r, y-r, x+r, y+r, x-r, y+r, x+r, y-r)
}

// crosses bars an edge from end to end.
func (p *pen) crosses(x1, y1, x2, y2 float64) {
	n := max(2, math.Round(math.Hypot(x2-x1, y2-y1)/26))
	for i := 0.0; i <= n; i++ {
		p.cross(x1+(x2-x1)*i/n, y1+(y2-y1)*i/n)
	}
}

// drop is liquid; it hangs from its point.
func (p *pen) drop(x, y, size float64, fill string, s stroke) {
	p.path(fill, s, "M%v %v C%v %v %v %v %v %v C%v %v %v %v %v %v Z",
		x, y, x+size*0.9, y+size*1.1, x+size*0.7, y+size*2, x, y+size*2,
		x-size*0.7, y+size*2, x-size*0.9, y+size*1.1, x, y)
}

// noDrop is a drop with a bar across: liquid must not come here.
func (p *pen) noDrop(x, y float64) {
	p.drop(x, y, 6, paper, barred)
	p.line(x-8, y+14, x+8, y, barred)
}

// hatch fills a box with slanting lines.
func (p *pen) hatch(x, y, w, h, gap float64, s stroke) {
	for at := gap; at < w+h; at += gap {
		x1, y1 := x+at, y
		if at > w {
			x1, y1 = x+w, y+at-w
		}
		x2, y2 := x, y+at
		if at > h {
			x2, y2 = x+at-h, y+h
		}
		p.line(x1, y1, x2, y2, s)
	}
}

// screw is a screw's head from above.
func (p *pen) screw(x, y float64) {
	p.circle(x, y, 6, paper, plain)
	p.path("none", plain, "M%v %v L%v %v M%v %v L%v %v", x-3, y, x+3, y, x, y-3, x, y+3)
}

// wrap breaks a text into lines of at most n letters.
func wrap(text string, n int) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && len([]rune(line))+1+len([]rune(word)) > n {
			out, line = append(out, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(out, line)
}

// polar is the unit step at an angle above the horizontal, in degrees.
func polar(degrees float64) (dx, dy float64) {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return cos, sin
}
