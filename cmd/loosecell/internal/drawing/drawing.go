// Package drawing draws the pictures of a printed sheet as SVG: how the cell
// lies in the device and where hands, heat and liquid may go, the rungs in their
// order, and the courses behind the numbers.
//
// A picture decides nothing and is never the only place where something is said:
// it carries its title and description, and everything on it is labelled in
// words. It is readable in grey, and the same input gives the same bytes.
package drawing

import (
	"encoding/xml"
	"fmt"
	"strings"
)

// Picture is one finished drawing.
type Picture struct {
	Name    string // short and unique within a sheet, in the letters of an HTML id
	Title   string // what it is
	Desc    string // what it shows, for those who cannot see it
	Caption string // what to take from it, printed beside it
	W, H    float64
	body    string
}

// SVG is the picture as an svg element that stands alone or inside HTML; prefix
// keeps its ids apart from those of other sheets in one file.
func (p Picture) SVG(prefix string) string {
	id := prefix + p.Name
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%s" height="%s" role="img" aria-labelledby="%s-t %s-d" font-family="%s">`+
		"\n<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n%s</svg>\n",
		num(p.W), num(p.H), num(p.W), num(p.H), id, id, fonts, id, escaped(p.Title), id, escaped(p.Desc), p.body)
}

// fonts have all the same widths, so that what fits here fits on other machines.
const fonts = "'Liberation Sans', Arial, Helvetica, sans-serif"

// The inks. Each is dark enough on white and on the greys to be told apart from
// the paper without colour; words and shapes carry the meaning.
const (
	ink   = "#1a1a1a"
	soft  = "#595959"
	act   = "#0b4f8a" // what the hands do
	never = "#9b1c1c" // where nothing may go
	paper = "#ffffff"
	pale  = "#ededed"
	mid   = "#d2d2d2"
)

// width of every picture: half a printed page, or the whole of a phone.
const width = 330.0

// size of the smallest letters, which at half a page's width print at 9 points.
const letters = 12.0

func escaped(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a Builder never fails
	return b.String()
}
