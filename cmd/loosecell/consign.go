package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/packing"
	"loosecell/rules/consign"
	"loosecell/rules/facts"
)

// consignFlags are the flags of consign.
type consignFlags struct {
	shop    string
	rules   []string
	request consign.Request
	format  *format
	schema  bool
}

func (p *program) consign() *cobra.Command {
	var f consignFlags
	cmd := &cobra.Command{
		Use:   "consign CELLS",
		Short: "Sort and pack removed cells for a mode, a date and a place",
		Long: `Read a list of removed cells and print a packing list: what to look at first,
which cells lie in which package, how each is packed and marked, which papers
go with it, what is set aside and why.

CELLS is a CSV file with a header of fact names, one row a cell, or a kind of
cell with a count; or a YAML list of cases, each with count: N where several
are alike. A number carries its unit in the field or in the header, as in
battery.rated_energy [Wh]. "-" is standard input. State battery.mass (weigh
one), what was seen, and dispatch.purpose; what nobody states permits nothing.
A list with an error packs nothing.

Exit codes: 0 list given, 1 the program failed, 2 bad input.`,
		Example: `  loosecell consign day.csv --mode road --jurisdiction eu --shop bench.yaml
  loosecell consign day.csv --mode air-cargo --on 2026-12-01 --format json`,
		Args: func(_ *cobra.Command, args []string) error {
			switch {
			case f.schema:
				return nil
			case len(args) == 0:
				return errors.New("no list given; name a list of cells, or - for standard input")
			case len(args) > 1:
				return errors.New("one list at a time")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if f.schema {
				return p.print(consign.JSONSchema())
			}
			return p.runConsign(f, args[0])
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.shop, "shop", "", "`FILE` with what holds for every cell here (default: LOOSECELL_SHOP)")
	flags.StringArrayVar(&f.rules, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	flags.StringVar(&f.request.Mode, "mode", "road", "`MODE` of carriage: "+strings.Join(consign.Modes, ", "))
	flags.StringVar(&f.request.On, "on", "", "`DATE` (2026-11-24) to read the law at, instead of today")
	flags.StringVar(&f.request.Jurisdiction, "jurisdiction", "", "`PLACE` whose law holds: un, eu, uk, us")
	flags.StringVar(&f.request.Packing, "packing", "", "`HOW` they travel: by-itself, with-equipment, in-equipment")
	flags.BoolVar(&f.schema, "schema", false, "print the JSON Schema of the JSON form and stop")
	f.format = formatFlag(cmd, "text", "json")
	return cmd
}

func (p *program) runConsign(f consignFlags, name string) error {
	if err := checkDate(f.request.On); err != nil {
		return err
	}
	shop, err := p.shop(f.shop)
	if err != nil {
		return err
	}
	f.request.Shop = shop
	rulebook, err := p.rulebook(f.rules, f.request.On)
	if err != nil {
		return err
	}
	label, data, err := p.readList(name)
	if err != nil {
		return err
	}
	rows, err := consign.Read(facts.Shipped(), label, data)
	if err != nil {
		return badf("nothing is packed, because the list has errors:\n%w", err)
	}
	if f.request.On == "" {
		if f.request.On, err = consign.Date(rows, time.Now()); err != nil {
			return badf("nothing is packed:\n%w", err)
		}
	}
	if err := f.request.Check(); err != nil {
		return badf("nothing is packed: %w", err)
	}
	list, err := consign.Build(rows, f.request, consign.Adviser{Book: rulebook, On: f.request.On})
	var problems facts.Problems
	switch {
	case errors.As(err, &problems):
		return badf("nothing is packed:\n%w", err)
	case err != nil:
		return fmt.Errorf("nothing is packed: %w", err)
	}
	if f.format.json() {
		return p.printJSON(list)
	}
	var out bytes.Buffer
	place := ""
	if shop != nil {
		place = shop.Get("shop.name").Text
	}
	if err := packing.Text(&out, list, packing.Options{Colour: colour(p.stdout), Place: place}); err != nil {
		return err
	}
	return p.print(out.Bytes())
}

// readList returns the list, which may be larger than a case.
func (p *program) readList(name string) (label string, data []byte, err error) {
	var from io.Reader
	switch {
	case name == "-" && p.stdinTaken != "":
		return "", nil, badf("standard input is already read as %s; give the list as a file", p.stdinTaken)
	case name == "-":
		p.stdinTaken, label, from = "the list", "standard input", p.stdin
	default:
		file, err := os.Open(name)
		if err != nil {
			return "", nil, badInput{unreadable(name, "the list", err)}
		}
		defer file.Close()
		label, from = name, file
	}
	data, err = io.ReadAll(io.LimitReader(from, consign.MaxBytes+1))
	if err != nil {
		return "", nil, badInput{fmt.Errorf("%s: the list cannot be read: %w", label, err)}
	}
	return label, data, nil
}
