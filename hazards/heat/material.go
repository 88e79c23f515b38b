package heat

import (
	_ "embed"
	"fmt"
	"sort"
	"strings"
	"sync"

	"loosecell/hazards"
)

//go:embed materials.csv
var materialsCSV string

// Kind says what a material can be in a stack.
type Kind string

// The kinds of the materials table.
const (
	Solid    Kind = "solid"
	Gap      Kind = "gap"      // still air: no heat capacity to speak of, radiation across it
	Adhesive Kind = "adhesive" // softens; candidate for the layer to be loosened
	Cell     Kind = "cell"     // candidate for the layer to be protected
)

// Material is one row of the materials table.
type Material struct {
	Name         string
	Kind         Kind
	Conductivity hazards.Estimate // W/(m K), through the thickness
	Density      float64          // kg/m³
	SpecificHeat hazards.Estimate // J/(kg K)
	Source       string           // key resolved by rules/source
	Known        string           // read, secondary, memory or practice
	Note         string
}

// Diffusivity returns the middle thermal diffusivity k/(density * cp), m²/s.
func (m Material) Diffusivity() float64 {
	return m.Conductivity.Middle / (m.Density * m.SpecificHeat.Middle)
}

// materials reads the embedded table once. A fault in it is returned at every use
// and caught by a test, so that a bad table cannot stop the program at its start.
var materials = sync.OnceValues(func() (map[string]Material, error) {
	table, err := rows("materials", materialsCSV)
	if err != nil {
		return nil, err
	}
	out := make(map[string]Material, len(table))
	for _, r := range table {
		v, err := r.numbers("k_low", "k_middle", "k_high", "density", "cp_low", "cp_middle", "cp_high")
		if err != nil {
			return nil, err
		}
		k, errK := hazards.New(v[0], v[1], v[2])
		cp, errCp := hazards.New(v[4], v[5], v[6])
		if err := firstError(errK, errCp); err != nil {
			return nil, fmt.Errorf("heat: table materials line %d: %w", r.line, err)
		}
		out[r.fields["material"]] = Material{
			Name: r.fields["material"], Kind: Kind(r.fields["kind"]),
			Conductivity: k, Density: v[3], SpecificHeat: cp,
			Source: r.fields["source"], Known: r.fields["known"], Note: r.fields["note"],
		}
	}
	return out, nil
})

// MaterialNamed returns the material of that name. An unknown name is an error that
// lists the names the table holds. Properties are at 20..70 °C, constant with
// temperature (a pouch cell's conductivity falls 0.37 % per kelvin: Droese and Kowal,
// Applied Sciences 2023, doi 10.3390/app13052870, abstract; well inside its spread).
func MaterialNamed(name string) (Material, error) {
	table, err := materials()
	if err != nil {
		return Material{}, err
	}
	m, ok := table[name]
	if !ok {
		return Material{}, fmt.Errorf("heat: unknown material %q; known are %s", name, strings.Join(MaterialNames(), ", "))
	}
	return m, nil
}

// MaterialNames lists the materials of the table in alphabetical order.
func MaterialNames() []string {
	table, err := materials()
	if err != nil {
		return nil
	}
	names := make([]string, 0, len(table))
	for name := range table {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}
