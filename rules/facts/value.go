package facts

import (
	"maps"
	"slices"

	"loosecell/battery"
)

// State says how much a case says about a fact.
type State uint8

// The states of a value.
const (
	Missing State = iota // not mentioned: presumed if there is a presumption, else unknown
	Unknown              // stated as unknown, which also cancels a presumption
	Stated               // a value, a range, or a set of words
)

// Origin says where a value comes from.
type Origin uint8

// The origins of a value.
const (
	FromCase Origin = iota
	FromShop
	FromLook // absent as far as the stated look can show it
	Presumed // the catalogue's cautious presumption
)

// A Position is a place in a file; line and column count from 1, and are 0
// when the value was not read from a file.
type Position struct {
	File         string
	Line, Column int
}

// A Layer is one layer of what lies between a heater and the cell.
type Layer struct {
	Material    string
	ThicknessMM float64 // > 0
}

// A Value is what a case says of one fact.
type Value struct {
	State  State
	Origin Origin

	Low, High float64 // Number, Count, Date: closed range in the fact's unit, equal when exact
	Words     uint64  // Words, Layers: bit i set = Words[i] possible; Members: = Words[i] present
	Text      string  // Text
	Layers    []Layer // Layers: a list of layers, outermost first; nil for a named stack
	At        Position
}

// A Case is what is known of one job, or of one shop.
type Case struct {
	Name   string
	Values map[string]Value // by fact name

	catalogue *Catalogue // nil: the shipped one
}

// NewCase returns an empty case over a catalogue.
func NewCase(cat *Catalogue, name string) *Case {
	return &Case{Name: name, Values: map[string]Value{}, catalogue: cat}
}

// Catalogue returns the catalogue the case is written in.
func (c *Case) Catalogue() *Catalogue {
	if c == nil || c.catalogue == nil {
		return Shipped()
	}
	return c.catalogue
}

// Get returns the value of a fact, Missing if the case does not mention it.
func (c *Case) Get(name string) Value {
	if c == nil {
		return Value{}
	}
	return c.Values[name]
}

// Set puts a value in the place of what the case said of a fact. A Missing
// value takes the fact out of the case.
func (c *Case) Set(name string, v Value) {
	if v.State == Missing {
		delete(c.Values, name)
		return
	}
	if c.Values == nil {
		c.Values = map[string]Value{}
	}
	c.Values[name] = v
}

// Unset takes a fact out of the case.
func (c *Case) Unset(name string) { delete(c.Values, name) }

// Clone returns a copy that shares nothing with c.
func (c *Case) Clone() *Case {
	d := &Case{Name: c.Name, Values: make(map[string]Value, len(c.Values)), catalogue: c.catalogue}
	for name, v := range c.Values {
		v.Layers = slices.Clone(v.Layers)
		d.Values[name] = v
	}
	return d
}

// Over returns a new case in which c lies over shop: whatever c mentions holds,
// an explicit unknown included; what only the shop mentions is taken from it.
func (c *Case) Over(shop *Case) *Case {
	d := c.Clone()
	if shop == nil {
		return d
	}
	for name, v := range shop.Values {
		if _, mentioned := d.Values[name]; mentioned {
			continue
		}
		v.Origin = FromShop
		v.Layers = slices.Clone(v.Layers)
		d.Values[name] = v
	}
	return d
}

// Names returns the names of the facts the case mentions, in catalogue order.
func (c *Case) Names() []string {
	cat := c.Catalogue()
	return slices.SortedFunc(maps.Keys(c.Values), func(a, b string) int {
		return cat.Index(a) - cat.Index(b)
	})
}

// Exact reports whether v is one number.
func (v Value) Exact() bool { return v.State == Stated && v.Low == v.High }

// Has reports whether word i is possible (Words) or present (Members).
func (v Value) Has(i int) bool { return v.Words>>i&1 == 1 }

// Measured is a number as package battery takes it: not given unless it is stated.
func (v Value) Measured() battery.Maybe {
	if v.State != Stated {
		return battery.Maybe{}
	}
	return battery.Given(battery.Interval{Low: v.Low, High: v.High})
}
