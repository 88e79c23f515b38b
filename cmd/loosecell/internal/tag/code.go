package tag

import (
	"fmt"
	"html/template"
	"strings"

	"github.com/piglig/go-qr"
)

// quiet is the white edge of a QR code in modules (ISO/IEC 18004, 4 modules).
const quiet = 4

// The size of a module that a telephone still reads off a printed label, and
// the one that is wanted, in mm (common practice).
const (
	leastModule = 0.36
	goodModule  = 0.5
)

// Code is a QR code in mm, or why there is none.
type Code struct {
	SVG    template.HTML
	SideMM float64
}

// newCode draws the text as a code no wider than most mm. The second result is
// false where it would be too fine to read.
func newCode(text string, most float64) (Code, bool) {
	for _, level := range []go_qr.Ecc{go_qr.Medium, go_qr.Low} {
		q, err := go_qr.EncodeText(text, level)
		if err != nil {
			continue
		}
		module := min(goodModule, most/float64(q.Size()+2*quiet))
		if module < leastModule {
			continue
		}
		return Code{SVG: drawCode(q, module), SideMM: module * float64(q.Size()+2*quiet)}, true
	}
	return Code{}, false
}

// drawCode writes the dark modules as one path, row by row in runs, on a white
// ground with its quiet edge. Only numbers of ours go into it.
func drawCode(q *go_qr.QrCode, module float64) template.HTML {
	n := q.Size()
	var path strings.Builder
	for y := range n {
		for x := 0; x < n; x++ {
			if !q.Module(x, y) {
				continue
			}
			run := 1
			for x+run < n && q.Module(x+run, y) {
				run++
			}
			fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", x+quiet, y+quiet, run, run)
			x += run
		}
	}
	side := n + 2*quiet
	return template.HTML(fmt.Sprintf(`<svg class="code" role="img" aria-label="QR code of the case" width="%.2fmm" height="%.2fmm" viewBox="0 0 %d %d" shape-rendering="crispEdges"><rect width="%d" height="%d" fill="#fff"/><path fill="#000" d="%s"/></svg>`,
		module*float64(side), module*float64(side), side, side, side, side, path.String()))
}
