package drawing

import (
	"slices"
	"strings"
)

// label is words in the margin with a line to what they name.
type label struct {
	x, y float64 // what they name
	text string
	ink  string
}

// labels stand in one column, in the order of what they name.
type labels struct {
	all []label
}

func (l *labels) add(x, y float64, colour, text string) {
	l.all = append(l.all, label{x, y, text, colour})
}

const lineHeight = 14.0

// draw prints the column between two heights and returns where it ends. Letters
// is how many fit a line.
func (l *labels) draw(p *pen, left, top float64, letters int) float64 {
	sorted := slices.Clone(l.all)
	slices.SortStableFunc(sorted, func(a, b label) int {
		switch {
		case a.y < b.y:
			return -1
		case a.y > b.y:
			return 1
		}
		return 0
	})
	y := top
	for _, one := range sorted {
		lines := wrap(one.text, letters)
		// Beside what it names where there is room, else below the label before.
		start := max(y, one.y-lineHeight*float64(len(lines))/2)
		middle := start + lineHeight*float64(len(lines))/2
		p.path("none", stroke{one.ink, 1, ""}, "M%v %v L%v %v L%v %v", one.x, one.y, left-12, middle, left-4, middle)
		p.circle(one.x, one.y, 2.2, one.ink, stroke{paper, 0.8, ""})
		for i, text := range lines {
			p.text(left, start+lineHeight*(float64(i)+0.78), "start", one.ink, false, text)
		}
		y = start + lineHeight*float64(len(lines)) + 5
	}
	return y
}

// told joins the labels into a description.
func (l *labels) told() string {
	var out []string
	for _, one := range l.all {
		out = append(out, strings.TrimRight(one.text, ".")+".")
	}
	return strings.Join(out, " ")
}
