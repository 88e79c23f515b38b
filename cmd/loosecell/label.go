package main

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/tag"
	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/compact"
	"loosecell/rules/consign"
	"loosecell/rules/facts"
	"loosecell/rules/labels"
)

// labelFlags are the flags of label.
type labelFlags struct {
	shop, cells, paper, read string
	request                  labels.Request
	format                   *format
}

// mostLabels bounds one run: a list says how many cells are alike, and each
// gets a label of its own.
const mostLabels = 2000

func (p *program) label() *cobra.Command {
	var f labelFlags
	cmd := &cobra.Command{
		Use:   "label CASE...",
		Short: "Print labels for bags, containers and parcels",
		Long: `Print a label for each CASE, or with --cells for every cell of a list: what it
is, its grade, the date, when to look again, the words that the law asks for,
and a QR code that holds the case. --for container prints larger ones, and
--for parcel what goes on the outside for a mode of carriage, with the words in
their legal size and an empty place for every pictogram.

A cell that is failing now gets no label. Nor does a parcel whose contents may
not go that way as they are.

The code holds what the case says, not what the shop file says. --read turns
the text of a scanned code back into a case file on standard output, for any
other command: give it the text, or - for standard input.`,
		Example: `  loosecell label --shop bench.yaml --format html phone.yaml > label.html
  loosecell label --cells day.csv --format html --paper letter > sheet.html
  loosecell label --for parcel --mode road --shop bench.yaml --format html swollen.yaml > parcel.html
  loosecell label --read - < scanned.txt | loosecell advise --shop bench.yaml -`,
		Args: func(_ *cobra.Command, args []string) error {
			switch given := len(args) > 0; {
			case f.read != "" && (given || f.cells != ""):
				return errors.New("--read takes the text of a code, and nothing else is given beside it")
			case f.read == "" && !given && f.cells == "":
				return errors.New("no case given; name a case file, a list with --cells, or - for standard input")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if f.read != "" {
				return p.readCode(f.read)
			}
			return p.runLabel(f, args)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.shop, "shop", "", "shop `FILE` (default: LOOSECELL_SHOP)")
	flags.StringVar(&f.cells, "cells", "", "`LIST` of cells, as consign reads it")
	flags.StringVar(&f.request.Kind, "for", labels.Bag, "`WHAT` it is stuck on: "+strings.Join(labels.Kinds, ", "))
	flags.StringVar(&f.request.Mode, "mode", "road", "`MODE` of carriage of a parcel: "+strings.Join(rules.Modes, ", "))
	flags.StringVar(&f.request.On, "on", "", "`DATE` (2026-11-24) of the label, instead of today")
	flags.StringVar(&f.paper, "paper", "a4", "`PAPER` of the HTML sheet: a4 or letter")
	flags.StringVar(&f.read, "read", "", "`TEXT` of a code to turn back into a case, or -")
	f.format = formatFlag(cmd, "text", "html")
	return cmd
}

func (p *program) runLabel(f labelFlags, names []string) error {
	if err := f.check(); err != nil {
		return err
	}
	f.request.Now = time.Now()
	if f.request.On == "" {
		f.request.On = f.request.Now.Format(time.DateOnly) // a label bears the day it is written
	}
	shop, err := p.shop(f.shop)
	if err != nil {
		return err
	}
	cases, err := p.labelled(f, names)
	if err != nil {
		return err
	}
	rulebook, err := book.Shipped()
	if err != nil {
		return err
	}
	var made []*labels.Label
	for _, c := range cases {
		l, err := labels.Make(rulebook, c, shop, f.request)
		var refused *labels.Refused
		switch {
		case errors.As(err, &refused):
			p.say("%s: no label, because %s", nameOf(c), refused.Why)
		case err != nil:
			return fmt.Errorf("%s: %w", nameOf(c), err)
		default:
			made = append(made, l)
		}
	}
	if len(made) == 0 {
		return badf("there is nothing to print")
	}
	var out bytes.Buffer
	if f.format.value == "html" {
		err = tag.HTML(&out, made, f.sheet())
	} else {
		err = tag.Text(&out, made)
	}
	if err != nil {
		return err
	}
	return p.print(out.Bytes())
}

func (f labelFlags) sheet() tag.Paper {
	for _, paper := range tag.Papers {
		if paper.Name == f.paper {
			return paper
		}
	}
	return tag.Paper{}
}

func (f labelFlags) check() error {
	if f.sheet().Name == "" {
		return badf("--paper %q is neither a4 nor letter", f.paper)
	}
	if !slices.Contains(labels.Kinds, f.request.Kind) {
		return badf("--for %q is none of %s", f.request.Kind, strings.Join(labels.Kinds, ", "))
	}
	if !slices.Contains(rules.Modes, f.request.Mode) {
		return badf("--mode %q is none of %s", f.request.Mode, strings.Join(rules.Modes, ", "))
	}
	return checkDate(f.request.On)
}

// nameOf is how a message calls a case.
func nameOf(c *facts.Case) string {
	if id := c.Get("job.id").Text; id != "" {
		return id
	}
	return c.Name
}

// labelled reads the cases and the list; a row of N alike cells is N cases.
func (p *program) labelled(f labelFlags, names []string) ([]*facts.Case, error) {
	cases, err := p.cases(names, nil)
	if err != nil || f.cells == "" {
		return cases, err
	}
	label, data, err := p.readList(f.cells)
	if err != nil {
		return nil, err
	}
	rows, err := consign.Read(facts.Shipped(), label, data)
	if err != nil {
		return nil, badf("nothing is printed, because the list has errors:\n%w", err)
	}
	for _, r := range rows {
		if len(cases)+r.Count > mostLabels {
			return nil, badf("%s: these are more than %d labels; split the list", r.At.File, mostLabels)
		}
		for range r.Count {
			cases = append(cases, r.Case)
		}
	}
	return cases, nil
}

// readCode prints the case that a scanned code holds.
func (p *program) readCode(text string) error {
	label := "the code"
	if text == "-" {
		name, data, err := p.read("-", "the code")
		if err != nil {
			return err
		}
		label, text = name, string(data)
	}
	c, err := compact.Decode(facts.Shipped(), label, text)
	if err != nil {
		return badInput{err}
	}
	return p.print(append([]byte("# read from the code of a label\n"), c.YAML()...))
}
