package main

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/handout"
	"loosecell/rules/book"
	"loosecell/rules/briefing"
	"loosecell/rules/facts"
)

// briefFlags are the flags of brief.
type briefFlags struct {
	shop          string
	wall, counter bool
	format        *format
}

func (p *program) brief() *cobra.Command {
	var f briefFlags
	cmd := &cobra.Command{
		Use:   "brief",
		Short: "Print the staff briefing for this shop",
		Long: `Print what a person hears and signs before working alone here: a talk of ten to
fifteen minutes, a handout of tables, a practical checklist with lines to sign,
and the training the law asks for, by place, with sources.

--wall prints one page to hang up instead: whom to call, the address, what lies
where, and the cards for what may happen. --counter prints the card for booking
a device in. What the shop file does not say is left as a line to fill in.

The place whose law is told is dispatch.jurisdiction of the shop file; without
one, all are told. As HTML the page is one file that prints on A4 and Letter.`,
		Example: `  loosecell brief --shop bench.yaml --format html > briefing.html
  loosecell brief --shop bench.yaml --wall --format html > wall.html
  loosecell brief --counter
  loosecell brief quiz --cards 10`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return p.runBrief(f) },
	}
	flags := cmd.Flags()
	flags.StringVar(&f.shop, "shop", "", "shop `FILE` (default: LOOSECELL_SHOP)")
	flags.BoolVar(&f.wall, "wall", false, "print the page to hang up")
	flags.BoolVar(&f.counter, "counter", false, "print the card for booking a device in")
	f.format = formatFlag(cmd, "text", "html", "markdown")
	cmd.AddCommand(p.quiz())
	return cmd
}

func (p *program) runBrief(f briefFlags) error {
	if f.wall && f.counter {
		return badf("--wall and --counter are two pages; print one at a time")
	}
	teacher, err := p.teacher(f.shop)
	if err != nil {
		return err
	}
	switch {
	case f.wall:
		return p.printDocument(teacher.WallSheet(), f.format)
	case f.counter:
		return p.printDocument(teacher.CounterCard(), f.format)
	}
	return p.printDocument(teacher.Briefing(jurisdiction(teacher.Shop)), f.format)
}

// teacher is the material over the shop that --shop or LOOSECELL_SHOP names.
func (p *program) teacher(shopFile string) (*handout.Teacher, error) {
	shop, err := p.shop(shopFile)
	if err != nil {
		return nil, err
	}
	material, err := briefing.Shipped()
	if err != nil {
		return nil, err
	}
	rulebook, err := book.Shipped()
	if err != nil {
		return nil, err
	}
	return &handout.Teacher{Material: material, Book: rulebook, Shop: shop}, nil
}

// jurisdiction is the place whose law holds in the shop, "" if it does not say
// one.
func jurisdiction(shop *facts.Case) string {
	v := shop.Get("dispatch.jurisdiction")
	f, ok := facts.Shipped().Lookup("dispatch.jurisdiction")
	if !ok || v.State != facts.Stated {
		return ""
	}
	if names := f.Names(v.Words); len(names) == 1 {
		return names[0]
	}
	return ""
}

// printDocument writes a document in the format asked for.
func (p *program) printDocument(d *handout.Document, f *format) error {
	var out bytes.Buffer
	var err error
	switch f.value {
	case "html":
		err = handout.HTML(&out, d)
	case "markdown":
		err = handout.Markdown(&out, d)
	case "text":
		err = handout.Text(&out, d)
	default:
		err = errors.New("no such format")
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", f.value, err)
	}
	return p.print(out.Bytes())
}
