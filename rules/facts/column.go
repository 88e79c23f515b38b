package facts

import (
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// A Column is one column of a table of cases: a fact, and the unit of the bare
// numbers below it. It remembers what cells it has read, since the cells of a
// column are much alike, and is used by one goroutine at a time.
type Column struct {
	Fact *Fact
	Unit string // as the heading gives it; "" if it gives none

	index int
	known map[string]Value
}

// mostKnown is how many different cells a column remembers before it starts
// anew, and longestKnown how long they may be.
const (
	mostKnown    = 4096
	longestKnown = 64
)

// heading is a fact name with an optional unit: battery.rated_energy [Wh].
var heading = regexp.MustCompile(`^([A-Za-z_.]+)\s*(?:[\[(]\s*([^\])]+?)\s*[\])])?$`)

// Column reads the heading of a column, "battery.rated_energy [Wh]". The Problem
// has no place; it is nil if there is none.
func (c *Catalogue) Column(text string) (*Column, *Problem) {
	m := heading.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return nil, problem(CodeUnknownKey, "write the name of a fact, with its unit in brackets", "%q is no heading", clip(text))
	}
	name, unit := strings.ToLower(m[1]), m[2]
	f, ok := c.Lookup(name)
	if !ok || !f.Statable() {
		return nil, (&reader{cat: c}).unknownKey(name)
	}
	if unit != "" {
		if f.Kind != Number || f.Unit == "" {
			return nil, problem(CodeWrongUnit, "leave the unit away", "%s takes no unit", name)
		}
		if _, p := unitOf(unit, f.Unit); p != nil {
			return nil, p
		}
	}
	return &Column{Fact: f, Unit: unit, index: c.index[name], known: map[string]Value{}}, nil
}

// Read reads one cell: empty says nothing of the fact, several words that hold
// at once are parted by semicolons, and a number without a unit has that of the
// heading. The Problem has no place; it is nil if there is none.
func (c *Column) Read(cell string) (Value, *Problem) {
	if cell == "" {
		return Value{}, nil
	}
	if v, ok := c.quantity(cell); ok {
		return v, c.Fact.within(&v)
	}
	if v, ok := c.known[cell]; ok {
		return v, nil
	}
	v, p := c.read(strings.TrimSpace(cell))
	if p == nil && c.Fact.Kind != Text && len(cell) <= longestKnown {
		if len(c.known) >= mostKnown {
			clear(c.known)
		}
		c.known[strings.Clone(cell)] = v
	}
	return v, p
}

// quantity reads a plain decimal in the fact's own unit, the common cell. Its
// digits are few enough that a float64 is the exact number rounded once, as the
// long way gives it.
func (c *Column) quantity(cell string) (Value, bool) {
	const mostDigits = 15
	if c.Fact.Kind != Number || c.Unit != c.Fact.Unit || len(cell) > mostDigits+1 {
		return Value{}, false
	}
	dots := 0
	for i := range len(cell) {
		switch b := cell[i]; {
		case b == '.' && i > 0:
			dots++
		case b < '0' || b > '9':
			return Value{}, false
		}
	}
	if dots > 1 || len(cell) > 1 && cell[0] == '0' && cell[1] != '.' {
		return Value{}, false
	}
	x, err := strconv.ParseFloat(cell, 64)
	return Value{State: Stated, Low: x, High: x}, err == nil
}

func (c *Column) read(cell string) (Value, *Problem) {
	f := c.Fact
	switch {
	case cell == "":
		return Value{}, nil
	case f.Kind == Members && cell != "[]":
		return c.members(cell)
	case f.Kind == Layers && strings.HasPrefix(cell, "["):
		return f.listed(cell)
	}
	return f.parseScalar(c.written(cell))
}

// members reads "acetone; heptane", with or without brackets around it.
func (c *Column) members(cell string) (Value, *Problem) {
	if inner, ok := strings.CutPrefix(cell, "["); ok {
		cell = strings.TrimSuffix(inner, "]")
	}
	if !strings.ContainsAny(cell, ";,") {
		return c.Fact.parseScalar(cell)
	}
	v := Value{State: Stated}
	for part := range strings.FieldsFuncSeq(cell, func(r rune) bool { return r == ';' || r == ',' }) {
		if strings.TrimSpace(part) == "" {
			continue
		}
		set, p := c.Fact.parseMember(part)
		if p != nil {
			return Value{}, p
		}
		v.Words |= set
	}
	return v, nil
}

// listed reads a value that is a list, in YAML or JSON.
func (f *Fact) listed(text string) (Value, *Problem) {
	r := &reader{into: NewCase(nil, ""), groups: map[string]int{}}
	node, problems := decodeOne("", []byte(text))
	if r.problems = problems; node != nil && node.Kind == yaml.SequenceNode && r.plain(node, 2) {
		r.value(f, node)
	}
	if len(r.problems) > 0 {
		p := r.problems[0]
		p.At = Position{}
		return Value{}, &p
	}
	v := r.into.Values[f.Name]
	v.At = Position{}
	return v, nil
}

// written puts the unit of the heading behind the numbers of a cell that have
// none.
func (c *Column) written(cell string) string {
	if c.Unit == "" || strings.EqualFold(cell, "unknown") {
		return cell
	}
	for _, between := range []string{"..", "+-", "+/-", "±"} {
		if left, right, ok := strings.Cut(cell, between); ok {
			return c.withUnit(left) + between + c.withUnit(right)
		}
	}
	return c.withUnit(cell)
}

func (c *Column) withUnit(number string) string {
	number = strings.TrimSpace(number)
	if number == "" || !strings.ContainsRune("0123456789.", rune(number[len(number)-1])) {
		return number
	}
	return number + " " + c.Unit
}
