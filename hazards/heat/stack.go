package heat

import (
	_ "embed"
	"errors"
	"fmt"
	"strings"
	"sync"

	"loosecell/hazards"
)

//go:embed stacks.csv
var stacksCSV string

// ErrStack marks a list of layers the model refuses; the message names the layer.
var ErrStack = errors.New("heat: stack")

// Limits of a stack.
const (
	MaxLayers      = 40
	MaxThicknessMM = 500  // of the whole stack
	MinThicknessMM = 1e-4 // of a layer: thinner is not a layer
	// MaxGapMM keeps a gap a conductor: at 5 mm and 40 K across it the Rayleigh number
	// is about 400, well under 1708 where air begins to circulate (Incropera et al.,
	// section 9.8, from memory).
	MaxGapMM = 5
)

// Role marks the layers an answer is about.
type Role string

// The roles of a layer.
const (
	Plain        Role = ""
	AdhesiveRole Role = "adhesive" // the layer to be softened
	CellRole     Role = "cell"     // the layer to be kept under its limit
)

// Layer is one flat layer of a device. Only a gap of air may have a thickness that is
// not exact: it hardly stores heat, so that a wider gap always insulates, which the
// bounds rely on.
type Layer struct {
	Material    string
	ThicknessMM hazards.Estimate
	Role        Role
}

// Stack is a device as the heat meets it: the heated face first.
type Stack []Layer

// NewLayer returns a layer of exact thickness. Stack.Check says whether it is valid.
func NewLayer(material string, thicknessMM float64, role Role) Layer {
	return Layer{Material: material, Role: role,
		ThicknessMM: hazards.Estimate{Low: thicknessMM, Middle: thicknessMM, High: thicknessMM}}
}

// Check reports the first fault of the stack: no layer or more than MaxLayers, an
// unknown material, a thickness that is not finite or outside
// MinThicknessMM..MaxThicknessMM, a gap over MaxGapMM, an inexact thickness of
// anything but a gap, or a total over MaxThicknessMM.
func (s Stack) Check() error {
	if len(s) == 0 || len(s) > MaxLayers {
		return fmt.Errorf("%w: %d layers; give 1..%d", ErrStack, len(s), MaxLayers)
	}
	total := 0.0
	for i, layer := range s {
		if err := layer.check(); err != nil {
			return fmt.Errorf("%w: layer %d (%s): %w", ErrStack, i+1, layer.Material, err)
		}
		total += layer.ThicknessMM.High
	}
	if total > MaxThicknessMM {
		return fmt.Errorf("%w: %g mm thick in all; give at most %d mm", ErrStack, total, MaxThicknessMM)
	}
	return nil
}

func (l Layer) check() error {
	m, err := MaterialNamed(l.Material)
	if err != nil {
		return err
	}
	thickest := float64(MaxThicknessMM)
	if m.Kind == Gap {
		thickest = MaxGapMM
	}
	if err := estimateWithin("thickness", l.ThicknessMM, MinThicknessMM, thickest, "mm"); err != nil {
		return err
	}
	if m.Kind != Gap && !l.ThicknessMM.IsExact() {
		return errors.New("only a gap of air may have a range of thickness; give one value")
	}
	switch l.Role {
	case Plain, AdhesiveRole, CellRole:
		return nil
	}
	return fmt.Errorf("unknown role %q; give adhesive, cell or none", l.Role)
}

// Marked returns the stack with exactly one cell and one adhesive layer marked, or
// says which mark is missing. Marks already set are kept. Otherwise the only layer of
// a cell material is the cell, and the adhesive is the layer of adhesive touching it,
// the heated side first, or failing that the only adhesive layer there is.
func (s Stack) Marked() (Stack, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	out := append(Stack(nil), s...)
	cell, err := out.find(CellRole, Cell)
	if err != nil {
		return nil, err
	}
	out[cell].Role = CellRole
	for _, beside := range []int{cell - 1, cell + 1} {
		if out.count(AdhesiveRole) == 0 && beside >= 0 && beside < len(out) && out.kind(beside) == Adhesive {
			out[beside].Role = AdhesiveRole
		}
	}
	adhesive, err := out.find(AdhesiveRole, Adhesive)
	if err != nil {
		return nil, err
	}
	out[adhesive].Role = AdhesiveRole
	return out, nil
}

// find returns the one layer with the role, else the one layer of the kind.
func (s Stack) find(role Role, kind Kind) (int, error) {
	marked := s.count(role)
	at, found := 0, 0
	for i, layer := range s {
		if layer.Role == role || (marked == 0 && layer.Role == Plain && s.kind(i) == kind) {
			at, found = i, found+1
		}
	}
	if found != 1 {
		return 0, fmt.Errorf("%w: %d layers could be the %s; mark exactly one layer as %s", ErrStack, found, role, role)
	}
	return at, nil
}

func (s Stack) count(role Role) int {
	n := 0
	for _, layer := range s {
		if layer.Role == role {
			n++
		}
	}
	return n
}

// kind is called on checked stacks, whose materials are known.
func (s Stack) kind(i int) Kind {
	m, err := MaterialNamed(s[i].Material)
	if err != nil {
		return Solid
	}
	return m.Kind
}

// namedStacks keeps stacks over a cell apart from stacks at a device's rim.
type namedStacks struct {
	cells, rims []string
	stacks      map[string]Stack
}

var stacks = sync.OnceValues(func() (namedStacks, error) {
	out := namedStacks{stacks: map[string]Stack{}}
	table, err := rows("stacks", stacksCSV)
	if err != nil {
		return out, err
	}
	for _, r := range table {
		v, err := r.numbers("thickness_low_mm", "thickness_mm", "thickness_high_mm")
		if err != nil {
			return out, err
		}
		name := r.fields["stack"]
		switch _, known := out.stacks[name]; {
		case known:
		case r.fields["place"] == "rim":
			out.rims = append(out.rims, name)
		default:
			out.cells = append(out.cells, name)
		}
		out.stacks[name] = append(out.stacks[name], Layer{
			Material: r.fields["material"], Role: Role(r.fields["role"]),
			ThicknessMM: hazards.Estimate{Low: v[0], Middle: v[1], High: v[2]},
		})
	}
	for name, s := range out.stacks {
		if err := s.Check(); err != nil {
			return out, fmt.Errorf("heat: table stacks, %s: %w", name, err)
		}
	}
	return out, nil
})

// StackNamed returns a copy of a stack of the table by the word the case files use
// (phone-back-glass, phone-display, tablet-display, laptop-base), or one of RimNames.
// Each is named for the face the heat enters by. Thicknesses are
// common practice for such devices, not measurements of one.
func StackNamed(name string) (Stack, error) {
	table, err := stacks()
	if err != nil {
		return nil, err
	}
	s, ok := table.stacks[name]
	if !ok {
		return nil, fmt.Errorf("%w: unknown stack %q; known are %s, or list materials and thicknesses", ErrStack, name, strings.Join(table.cells, ", "))
	}
	return append(Stack(nil), s...), nil
}

// StackNames lists the named stacks over a cell, in the order of the table.
func StackNames() []string {
	table, err := stacks()
	if err != nil {
		return nil
	}
	return append([]string(nil), table.cells...)
}

// RimNames lists the named stacks at the rim of a closed device, for Recipe.Rim.
func RimNames() []string {
	table, err := stacks()
	if err != nil {
		return nil
	}
	return append([]string(nil), table.rims...)
}
