package runaway

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"loosecell/hazards"
)

//go:embed media.csv
var mediaCSV string

// Medium is what a cell is bedded in or cooled with: heat capacity kJ/(kg K), rise in K, heat of
// boiling off kJ/kg, density kg/m3. Sink is false for what only keeps pieces apart.
type Medium struct {
	Name                             string
	KJPerKgK, RiseK, LatentKJ, KgPM3 float64
	Sink                             bool
	Known                            string
	Sources                          []string // keys of the table of documents
}

var mediumTable = sync.OnceValues(func() ([]Medium, error) {
	return readTable("media.csv", mediaCSV, func(r *row) Medium {
		m := Medium{r.text("medium"), r.number("kj_kg_k"), r.number("rise_k"), r.number("latent_kj_kg"),
			r.number("kg_m3"), r.text("sink") == "yes", r.text("known"), strings.Fields(r.text("source"))}
		if m.KJPerKgK*m.RiseK <= 0 || m.KgPM3 <= 0 {
			r.err = fmt.Errorf("runaway: media.csv: %s: heat capacity, rise and density must be above 0", m.Name)
		}
		return m
	})
})

// Bed is how much of a medium takes up a heat.
type Bed struct {
	Medium Medium
	Kg     hazards.Estimate
	Litres hazards.Estimate
}

// Beds gives what it takes to absorb heatKJ (0 or more), one entry a medium of the table (sand,
// vermiculite, water to cool, water to boil off): m = E/(c·dT + latent).
//
// Vermiculite is listed to show why it does not cool (7 to 13 times less heat per litre than sand): it
// insulates and keeps pieces apart. Sand takes heat but holds gas and hinders cooling later; water
// cools best. Sources: media.csv. Errors: ErrDomain.
func Beds(heatKJ hazards.Estimate) ([]Bed, error) {
	if err := within("heat in kJ", heatKJ, 0, math.MaxFloat64, true); err != nil {
		return nil, err
	}
	media, err := mediumTable()
	if err != nil {
		return nil, err
	}
	out := make([]Bed, 0, len(media))
	for _, m := range media {
		kg := scaled(heatKJ, 1/(m.KJPerKgK*m.RiseK+m.LatentKJ))
		out = append(out, Bed{m, kg, scaled(kg, 1000/m.KgPM3)})
	}
	return out, nil
}

// BedOf gives the one medium of Beds: sand, vermiculite, water-cool or water-boil.
func BedOf(medium string, heatKJ hazards.Estimate) (Bed, error) {
	beds, err := Beds(heatKJ)
	if err != nil {
		return Bed{}, err
	}
	i := slices.IndexFunc(beds, func(b Bed) bool { return b.Medium.Name == medium })
	if i < 0 {
		return Bed{}, fmt.Errorf("runaway: medium %q, want sand, vermiculite, water-cool or water-boil", medium)
	}
	return beds[i], nil
}
