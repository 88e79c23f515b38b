package heat

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"sync"
)

//go:embed touch.csv
var touchCSV string

// Surface is what a bare finger meets.
type Surface string

// The surfaces of the touch table.
const (
	Metal   Surface = "metal"
	Glass   Surface = "glass" // glass and ceramic
	Plastic Surface = "plastic"
	Wood    Surface = "wood"
)

// Surfaces lists the surfaces in the order of the touch table.
func Surfaces() []Surface { return []Surface{Metal, Glass, Plastic, Wood} }

type touchRow struct {
	list     string
	contactS float64
	limitC   map[Surface]float64
}

var touchRows = sync.OnceValues(func() ([]touchRow, error) {
	table, err := rows("touch", touchCSV)
	if err != nil {
		return nil, err
	}
	var out []touchRow
	for _, r := range table {
		v, err := r.numbers("contact_s")
		if err != nil {
			return nil, err
		}
		row := touchRow{list: r.fields["list"], contactS: v[0], limitC: map[Surface]float64{}}
		for _, s := range Surfaces() {
			text := r.fields[string(s)+"_c"]
			if text == "" {
				continue
			}
			c, err := strconv.ParseFloat(text, 64)
			if err != nil {
				return nil, fmt.Errorf("heat: table touch line %d: %w", r.line, err)
			}
			row.limitC[s] = c
		}
		out = append(out, row)
	}
	return out, nil
})

// TouchLimitC returns the surface temperature in degC that a bare finger may meet for
// contactS seconds (0.5 s, where ISO 13732-1 begins, to 8 h). It is the lower of two
// lists: the bands of EN 563:1994 / ISO 13732-1:2006 (lower edge, from memory) and a
// list of times to serious burn attributed to a burns institute (quoted on a standards
// mailing list, weak). Between tabulated times the next longer one counts. It is a
// limit for touching on purpose, not for parts to be held.
func TouchLimitC(surface Surface, contactS float64) (float64, error) {
	if err := within("contact time", contactS, 0.5, 8*3600, "s"); err != nil {
		return 0, err
	}
	table, err := touchRows()
	if err != nil {
		return 0, err
	}
	// Each list ascends in time, so its first row long enough is the one that counts.
	limit, seen := math.Inf(1), map[string]bool{}
	for _, r := range table {
		c, rated := r.limitC[surface]
		if !rated || seen[r.list] || r.contactS < contactS {
			continue
		}
		seen[r.list] = true
		limit = min(limit, c)
	}
	if math.IsInf(limit, 1) {
		return 0, fmt.Errorf("%w: unknown surface %q; known are metal, glass, plastic, wood", ErrDomain, surface)
	}
	return limit, nil
}
