package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// maxFileBytes is the most that is read of any one file. One byte more is
// read, so that the parsers see that a file is too large and say so.
const maxFileBytes = max(facts.MaxBytes, book.MaxBytes)

// read returns a file, or standard input for "-", which only one argument of a
// run may take.
func (p *program) read(name, what string) (label string, data []byte, err error) {
	if name == "-" {
		if p.stdinTaken != "" {
			return "", nil, badf("standard input is already read as %s; give %s as a file", p.stdinTaken, what)
		}
		p.stdinTaken = what
		data, err = io.ReadAll(io.LimitReader(p.stdin, maxFileBytes+1))
		if err != nil {
			return "", nil, fmt.Errorf("reading standard input: %w", err)
		}
		return "standard input", data, nil
	}
	file, err := os.Open(name)
	if err == nil {
		defer file.Close()
		data, err = io.ReadAll(io.LimitReader(file, maxFileBytes+1))
	}
	if err != nil {
		return "", nil, badInput{unreadable(name, what, err)}
	}
	return name, data, nil
}

func unreadable(name, what string, err error) error {
	reason := err
	var path *fs.PathError
	if errors.As(err, &path) {
		reason = path.Err
	}
	return fmt.Errorf("%s: %s cannot be read: %w", name, what, reason)
}

// shop reads the shop file that --shop or LOOSECELL_SHOP names; nil if none.
func (p *program) shop(flag string) (*facts.Case, error) {
	if flag == "" {
		flag = os.Getenv("LOOSECELL_SHOP")
	}
	if flag == "" {
		return nil, nil
	}
	name, data, err := p.read(flag, "the shop file")
	if err != nil {
		return nil, err
	}
	shop, err := facts.ParseShop(facts.Shipped(), name, data)
	if err != nil {
		return nil, badInput{err}
	}
	return shop, nil
}

// cases reads every case and lays it over the shop. All of them are read, so
// that one run shows every problem; a single one means no advice for any.
func (p *program) cases(names []string, shop *facts.Case) ([]*facts.Case, error) {
	var cases []*facts.Case
	var wrong []string
	for _, name := range names {
		c, err := p.oneCase(name, shop)
		var problems facts.Problems
		var bad badInput
		switch {
		case err == nil:
			cases = append(cases, c)
		case errors.As(err, &problems), errors.As(err, &bad):
			wrong = append(wrong, err.Error())
		default:
			return nil, err
		}
	}
	if len(wrong) > 0 {
		return nil, badf("no advice, because the input has errors:\n%s", strings.Join(wrong, "\n"))
	}
	return cases, nil
}

// oneCase reads a case and lays it over the shop.
func (p *program) oneCase(name string, shop *facts.Case) (*facts.Case, error) {
	label, data, err := p.read(name, "the case")
	if err != nil {
		return nil, err
	}
	c, err := facts.ParseCase(facts.Shipped(), label, data)
	if err != nil {
		return nil, err
	}
	return c.Over(shop), nil
}
