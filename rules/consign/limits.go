package consign

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

//go:embed data/*.csv
var data embed.FS

// A Scheme is one way to pack: what a package of it may hold and looks like.
// Masses are in grams; a limit that does not apply is infinite.
type Scheme struct {
	Key    string
	Basis  []string // beginnings of the basis words that lead to it
	States []string // transport states it is for
	Modes  []string
	Places []string // jurisdictions; empty: any
	Forms  []string // dispatch.packing; empty: any

	NetG, GrossG float64 // of a package
	SingleG      float64 // net, of a package that holds one item; at least NetG
	Items        float64 // cells and batteries together, in a package
	Cells        float64
	Batteries    float64
	LoadKg       float64 // on one vehicle
	Points       int     // factor of the 1000-point sum; 0: outside it
	NoRelief     bool    // transport category 0

	OuterG, ItemG float64 // what the packing itself is taken to weigh

	Title, Inner, Cushioning, Outer, MarkSizes, Training, Approval, Source, Known string
}

// A Line is a number that a whole consignment is held against.
type limitLine struct {
	Value                     float64
	Unit, Text, Source, Known string
}

type limits struct {
	schemes []Scheme
	lines   map[string]limitLine
}

// shippedLimits are the tables of this package. They panic only on a broken
// build, which the tests find.
var shippedLimits = sync.OnceValue(func() *limits {
	l, err := readLimits()
	if err != nil {
		panic("consign: the built-in limits are broken: " + err.Error())
	}
	return l
})

// Schemes lists the ways to pack, in the order in which they are tried.
func Schemes() []Scheme { return slices.Clone(shippedLimits().schemes) }

func readLimits() (*limits, error) {
	l := &limits{lines: map[string]limitLine{}}
	rows, err := records("data/packages.csv")
	if err != nil {
		return nil, err
	}
	for _, r := range rows {
		s := Scheme{
			Key: r["key"], Basis: parts(r["basis"]), States: parts(r["state"]), Modes: parts(r["modes"]),
			Places: parts(r["places"]), Forms: parts(r["packing"]),
			Title: r["title"], Inner: r["inner"], Cushioning: r["cushioning"], Outer: r["outer"],
			MarkSizes: r["mark_sizes"], Training: r["training"], Approval: r["approval"], Source: r["source"], Known: r["known"],
		}
		n := numbers{row: r}
		s.NetG, s.GrossG = 1000*n.limit("net_kg"), 1000*n.limit("gross_kg")
		s.SingleG = max(s.NetG, 1000*n.limit("single_kg"))
		if r["single_kg"] == "" {
			s.SingleG = s.NetG
		}
		s.Items = n.limit("items")
		s.Cells, s.Batteries, s.LoadKg = n.limit("cells"), n.limit("batteries"), n.limit("load_kg")
		s.OuterG, s.ItemG = n.number("outer_g"), n.number("item_g")
		if p := r["points"]; p != "" {
			s.Points = int(n.number("points"))
			s.NoRelief = p == "0"
		}
		if n.err != nil {
			return nil, fmt.Errorf("packages.csv, %s: %w", s.Key, n.err)
		}
		l.schemes = append(l.schemes, s)
	}
	if rows, err = records("data/lines.csv"); err != nil {
		return nil, err
	}
	for _, r := range rows {
		n := numbers{row: r}
		l.lines[r["key"]] = limitLine{Value: n.number("value"), Unit: r["unit"], Text: r["text"], Source: r["source"], Known: r["known"]}
		if n.err != nil {
			return nil, fmt.Errorf("lines.csv, %s: %w", r["key"], n.err)
		}
	}
	return l, nil
}

// records reads an embedded table as one map a row, by the names in its header.
func records(name string) ([]map[string]string, error) {
	raw, err := data.ReadFile(name)
	if err != nil {
		return nil, err
	}
	all, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	var out []map[string]string
	for _, r := range all[1:] {
		row := map[string]string{}
		for i, h := range all[0] {
			row[h] = r[i]
		}
		out = append(out, row)
	}
	return out, nil
}

func parts(text string) []string {
	if text == "" {
		return nil
	}
	return strings.Split(text, "|")
}

// numbers reads the figures of one row and keeps the first that is none.
type numbers struct {
	row map[string]string
	err error
}

func (n *numbers) number(column string) float64 {
	x, err := strconv.ParseFloat(n.row[column], 64)
	if (err != nil || math.IsNaN(x) || x < 0) && n.err == nil {
		n.err = fmt.Errorf("%s %q is no number", column, n.row[column])
	}
	return x
}

// limit is a number that may be left empty: no limit.
func (n *numbers) limit(column string) float64 {
	if n.row[column] == "" {
		return math.Inf(1)
	}
	return n.number(column)
}

// schemeFor finds the way to pack what the rulebook allows on this basis; nil
// if the tables hold none.
func (l *limits) schemeFor(basis []string, state, mode, place, form string) *Scheme {
	for i := range l.schemes {
		s := &l.schemes[i]
		if fits(s.States, state) && fits(s.Modes, mode) && fits(s.Places, place) && fits(s.Forms, form) && s.rests(basis) {
			return s
		}
	}
	return nil
}

func fits(list []string, word string) bool { return len(list) == 0 || slices.Contains(list, word) }

func (s *Scheme) rests(basis []string) bool {
	for _, b := range basis {
		for _, want := range s.Basis {
			if rest, ok := strings.CutPrefix(b, want); ok && (rest == "" || !isDigit(rest[0])) {
				return true
			}
		}
	}
	return false
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
