// Package listing prints the catalogue of facts and the rulebook for a person,
// and shapes them for other programs.
package listing

import (
	"io"
	"maps"
	"slices"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/facts"
)

// Fact is a fact as other programs read it.
type Fact struct {
	Name     string            `json:"name"`
	Kind     string            `json:"kind"`
	Words    []string          `json:"words,omitempty"`
	Ordered  bool              `json:"ordered,omitempty"`
	Unit     string            `json:"unit,omitempty"`
	Min      *float64          `json:"min,omitempty"`
	Max      *float64          `json:"max,omitempty"`
	Worse    string            `json:"worse,omitempty"` // higher, lower
	Sign     bool              `json:"sign,omitempty"`
	Shop     bool              `json:"shop,omitempty"`
	Derived  bool              `json:"derived,omitempty"`
	Settle   string            `json:"settle,omitempty"`
	Synonyms map[string]string `json:"synonyms,omitempty"`
	Ask      string            `json:"ask,omitempty"`
	Find     string            `json:"find,omitempty"`
	StandIn  string            `json:"stand_in,omitempty"`
	Minutes  float64           `json:"minutes,omitempty"`
	Presumed []Presumption     `json:"presumed,omitempty"`
	Note     string            `json:"note,omitempty"`
	Source   string            `json:"source,omitempty"`
}

// Presumption is what is taken as so where nobody says otherwise.
type Presumption struct {
	When  map[string]string `json:"when,omitempty"`
	Value string            `json:"value"`
}

// Facts shapes facts for other programs; never nil.
func Facts(all []*facts.Fact) []Fact {
	out := make([]Fact, 0, len(all))
	for _, f := range all {
		shaped := Fact{
			Name: f.Name, Kind: f.Kind.String(), Words: f.Words, Ordered: f.Ordered, Unit: f.Unit,
			Sign: f.Sign, Shop: f.ShopLevel, Derived: f.Derived, Settle: f.Settle, Synonyms: f.Synonyms,
			Ask: f.Ask, Find: f.Find, StandIn: f.StandIn, Minutes: f.Minutes, Note: f.Note, Source: f.Source,
		}
		if f.Kind == facts.Number || f.Kind == facts.Count {
			low, high := f.Min, f.Max
			shaped.Min, shaped.Max = &low, &high
		}
		switch f.Worse {
		case facts.HigherWorse:
			shaped.Worse = "higher"
		case facts.LowerWorse:
			shaped.Worse = "lower"
		}
		for _, p := range f.Presume {
			shaped.Presumed = append(shaped.Presumed, Presumption{p.When, p.Value})
		}
		out = append(out, shaped)
	}
	return out
}

// WriteFacts prints a line a fact, or with detail everything about each.
func WriteFacts(w io.Writer, all []*facts.Fact, detail bool) error {
	p := &page.Page{}
	if detail {
		for _, f := range all {
			factInFull(p, f)
		}
		return p.Write(w, nil)
	}
	for start := 0; start < len(all); {
		end := start
		var rows []page.Row
		for end < len(all) && all[end].Group() == all[start].Group() {
			rows = append(rows, page.Row{all[end].Key(), summary(all[end])})
			end++
		}
		p.Rows(all[start].Group()+":", rows)
		start = end
	}
	p.Blank()
	p.Item(page.Plain, "", 0, "a < b: from least to most hazardous. sign: seen on the cell. shop: may stand in a shop file.")
	return p.Write(w, nil)
}

// summary is what values a fact takes.
func summary(f *facts.Fact) string {
	text := values(f)
	if f.Sign {
		text += "; sign"
	}
	if f.ShopLevel {
		text += "; shop"
	}
	return text
}

func values(f *facts.Fact) string {
	switch f.Kind {
	case facts.Words:
		sep := ", "
		if f.Ordered || f.YesNo() {
			sep = " < "
		}
		return strings.Join(f.Words, sep)
	case facts.Members:
		return "any of: " + strings.Join(f.Words, ", ")
	case facts.Layers:
		text := strings.Join(f.Words, ", ")
		if len(f.Materials) > 0 {
			text += ", or a list of material and thickness"
		}
		return text
	case facts.Count:
		return "whole number, " + facts.FormatQuantity(f.Min, f.Max, "")
	case facts.Number:
		if f.Unit == "" {
			return "number, " + facts.FormatQuantity(f.Min, f.Max, "")
		}
		return facts.FormatQuantity(f.Min, f.Max, f.Unit)
	case facts.Date:
		return "date, written as 2026-11-24"
	}
	return "text"
}

// factInFull prints all the catalogue says of a fact.
func factInFull(p *page.Page, f *facts.Fact) {
	p.Blank()
	rows := []page.Row{
		{"Values", page.Clean(summary(f))},
		{"Also said", synonyms(f)},
		{"Asked as", page.Clean(f.Ask)},
		{"Find out", page.Clean(f.Find)},
		{"Or", page.Clean(f.StandIn)},
		{"Settled", settled(f)},
	}
	for _, presumed := range f.Presume {
		rows = append(rows, page.Row{"Taken as", page.Clean(presumed.Value + when(presumed.When))})
	}
	if f.Change != nil {
		rows = append(rows, page.Row{"To change it", page.Clean(f.Change.Text)})
	}
	rows = append(rows, page.Row{"Note", page.Clean(f.Note)}, page.Row{"Source", page.Clean(f.Source)})
	p.Rows(f.Name, rows)
}

func settled(f *facts.Fact) string {
	switch f.Settle {
	case facts.SettleBefore:
		return "before work starts"
	case facts.SettleDuring:
		return "as a step of the work"
	}
	return ""
}

func synonyms(f *facts.Fact) string {
	var pairs []string
	for _, said := range slices.Sorted(maps.Keys(f.Synonyms)) {
		pairs = append(pairs, said+" = "+f.Synonyms[said])
	}
	return page.Clean(strings.Join(pairs, "; "))
}

func when(conditions map[string]string) string {
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(conditions)) {
		parts = append(parts, name+" is "+conditions[name])
	}
	if len(parts) == 0 {
		return ""
	}
	return ", where " + strings.Join(parts, " and ")
}
