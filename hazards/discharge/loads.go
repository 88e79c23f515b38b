package discharge

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"loosecell/hazards"
)

//go:embed loads.csv
var loadsCSV string

// ErrDevice marks a device kind without loads in the table.
var ErrDevice = errors.New("discharge: unknown device kind")

// Warmth says how much a load warms the battery.
type Warmth string

// The warmths of the load table, least first.
const (
	WarmthNone Warmth = "none"
	WarmthSome Warmth = "some"
	WarmthMuch Warmth = "much"
)

// Load is one activity of a device and the power in W it draws from the battery.
type Load struct {
	Device   string
	Activity string
	Warmth   Warmth
	Watts    hazards.Estimate
	Known    string // how the figure is known: practice
}

var loadTable = sync.OnceValues(func() ([]Load, error) {
	rows, err := readTable("loads.csv", loadsCSV)
	if err != nil {
		return nil, err
	}
	var out []Load
	for _, r := range rows {
		l := Load{Device: r.text("device"), Activity: r.text("activity"), Warmth: Warmth(r.text("warmth")),
			Watts: r.estimate("watts"), Known: r.text("known")}
		if !slices.Contains([]Warmth{WarmthNone, WarmthSome, WarmthMuch}, l.Warmth) {
			return nil, fmt.Errorf("discharge: loads.csv: warmth %q, want none, some or much", l.Warmth)
		}
		if r.err != nil {
			return nil, r.err
		}
		out = append(out, l)
	}
	return out, nil
})

// Loads lists the named loads of a device kind: phone, tablet, laptop, watch, earbud, earbud-case,
// handheld, power-bank or other. Figures are common practice. Errors: ErrDevice.
func Loads(device string) ([]Load, error) {
	all, err := loadTable()
	if err != nil {
		return nil, err
	}
	var out []Load
	var kinds []string
	for _, l := range all {
		if l.Device == device {
			out = append(out, l)
		}
		if !slices.Contains(kinds, l.Device) {
			kinds = append(kinds, l.Device)
		}
	}
	if out == nil {
		return nil, fmt.Errorf("%w %q, want one of %s", ErrDevice, device, strings.Join(kinds, ", "))
	}
	return out, nil
}
