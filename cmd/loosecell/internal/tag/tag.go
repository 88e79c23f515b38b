// Package tag prints labels: as plain text to copy by hand, and as an HTML sheet
// in millimetres with a QR code, cut along its lines, for A4 and Letter.
package tag

import (
	"loosecell/rules/labels"
)

// Paper is a size of sheet.
type Paper struct {
	Name       string
	Wide, High float64 // mm
}

// Papers are the sheets that labels are laid out for.
var Papers = []Paper{{"a4", 210, 297}, {"letter", 215.9, 279.4}}

// grid is how many labels go on a sheet.
type grid struct{ columns, rows int }

var grids = map[string]grid{labels.Bag: {2, 3}, labels.Container: {1, 2}, labels.Parcel: {1, 1}}

// edge is the margin of a sheet that printers leave white.
const edge = 8.0

// cell is the size of one label in mm.
func cell(p Paper, kind string) (wide, high float64) {
	g := grids[kind]
	return (p.Wide - 2*edge) / float64(g.columns), (p.High - 2*edge) / float64(g.rows)
}

// captionOf names a label, for readers that do not see it.
func captionOf(l *labels.Label) string {
	if l.ID == "" {
		return l.Heading
	}
	return l.ID + ": " + l.Heading
}
