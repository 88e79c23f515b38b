package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/interview"
	"loosecell/cmd/loosecell/internal/sheet"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
	"loosecell/rules/inquiry"
)

// askFlags are the flags of ask.
type askFlags struct {
	shop  shopFlag
	rules []string
	on    string
	plain bool
}

// shopFlag is --shop of ask, which may stand without a file. after is how many
// arguments stood before it, so that the one behind it can be told.
type shopFlag struct {
	cmd   *cobra.Command
	file  string
	given bool
	after int
}

// alone is the value that the flag library gives a --shop without "=".
const alone = "\x00"

func (s *shopFlag) String() string { return "" }
func (s *shopFlag) Type() string   { return "FILE" }
func (s *shopFlag) Set(text string) error {
	if s.given {
		return errors.New("it is given twice")
	}
	s.given, s.after = true, s.cmd.Flags().NArg()
	if text != alone {
		s.file = text
	}
	return nil
}

// of gives the argument behind a bare --shop to it: the shop file, if one is
// named, and the arguments that are left.
func (s *shopFlag) of(args []string) (file string, others []string) {
	if !s.given || s.file != "" || s.after >= len(args) {
		return s.file, args
	}
	return args[s.after], append(append([]string(nil), args[:s.after]...), args[s.after+1:]...)
}

func (p *program) ask() *cobra.Command {
	var f askFlags
	cmd := &cobra.Command{
		Use:   "ask [CASE]",
		Short: "Ask for what matters, then print the sheet",
		Long: `Ask one thing at a time: always what can still change the answer most, signs of
danger first. It ends when nothing left can change what matters, when what you
say ends the job, or when you have had enough; then it prints the sheet.

CASE is the file in which your answers are kept, written anew after each one.
If it is there already, the interview goes on from what it says. Without CASE
the case is printed below the sheet.

Answers are a number from the list, a word, or a quantity with its unit. What
you do not know exactly is an answer too: a range (3.70..3.85 V), or words with
| between (lco | nmc). An empty line means: I do not know. Besides:

  ?              how to find it out without harm, and what stands in for it
  <              back to the question before
  = FACT VALUE   correct any fact; without VALUE it is asked again
  !              what is settled so far
  .              enough: end here

On a terminal the questions are forms. Through a pipe, with TERM=dumb or with
--plain they are plain lines, questions on standard error and the sheet on
standard output. Input that ends before the interview does is an error, and
then there is no sheet.

--shop FILE before or after a CASE lays a shop file under it, as LOOSECELL_SHOP
does. --shop without CASE is another interview: it makes the shop file, in
about ten questions, in FILE or else on standard output.`,
		Example: `  loosecell ask torn-tab.yaml                   keep the answers in torn-tab.yaml
  loosecell ask --shop bench.yaml               make or complete a shop file
  loosecell ask --shop bench.yaml torn-tab.yaml ask only what the shop file leaves open`,
		Args: func(_ *cobra.Command, args []string) error {
			if _, cases := f.shop.of(args); len(cases) > 1 {
				return fmt.Errorf("one case at a time, and %d are named", len(cases))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			shop, cases := f.shop.of(args)
			switch {
			case len(cases) > 0:
				return p.askCase(f, shop, cases[0])
			case f.shop.given:
				return p.askShop(f, shop)
			}
			return p.askCase(f, "", "")
		},
	}
	f.shop.cmd = cmd
	flags := cmd.Flags()
	flags.Var(&f.shop, "shop", "shop `FILE` to lay under CASE, or to make if there is no CASE")
	flags.Lookup("shop").NoOptDefVal = alone
	flags.StringArrayVar(&f.rules, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	flags.StringVar(&f.on, "on", "", "`DATE` (2026-11-24) to read the law at, instead of the case's or today")
	flags.BoolVar(&f.plain, "plain", false, "ask in plain lines, as for a screen reader")
	return cmd
}

// askCase interviews about one case and prints its sheet.
func (p *program) askCase(f askFlags, shopFile, name string) error {
	if err := checkDate(f.on); err != nil {
		return err
	}
	shop, err := p.shop(shopFile)
	if err != nil {
		return err
	}
	rulebook, err := p.rulebook(f.rules, f.on)
	if err != nil {
		return err
	}
	kept, err := p.keep(name, facts.ParseCase)
	if err != nil {
		return err
	}
	now := time.Now()
	q := inquiry.New(rulebook, kept.start, inquiry.Options{On: f.on, Now: now, Shop: shop})
	end, err := interview.Run(q, p.screen(f.plain), kept.save)
	if err != nil {
		return kept.brokenOff(err)
	}
	a, err := advice.Advise(rulebook, q.Whole(), advice.Options{On: f.on, Now: now})
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := sheet.Text(&out, a, sheet.Options{Colour: colour(p.stdout), Place: place(q.Whole())}); err != nil {
		return err
	}
	if name == "" {
		out.WriteString("\n# The case, to keep in a file:\n")
		out.Write(q.Case().YAML())
	}
	if err := p.print(out.Bytes()); err != nil {
		return err
	}
	p.say("%s", ended(end))
	if name != "" {
		p.say("The case is in %s.", name)
	}
	return nil
}

func ended(end interview.End) string {
	switch end {
	case interview.Alarmed:
		return "What you said ends the job; the sheet says what to do now."
	case interview.HadEnough:
		return "Stopped early: what was not asked counts as not known, and unknown never permits."
	}
	return "Nothing that could still be asked would change what matters."
}

// askShop makes or completes a shop file.
func (p *program) askShop(f askFlags, name string) error {
	if len(f.rules) > 0 || f.on != "" {
		return badf("--rules and --on are for a case, and no case is named")
	}
	kept, err := p.keep(name, facts.ParseShop)
	if err != nil {
		return err
	}
	p.say("This makes the shop file%s. To ask about a case with it: loosecell ask --shop FILE CASE", strings.TrimRight(" "+name, " "))
	s := inquiry.NewShop(kept.start)
	if _, err := interview.Run(s, p.screen(f.plain), kept.save); err != nil {
		return kept.brokenOff(err)
	}
	if name == "" {
		return p.print(append([]byte("# What does not change from case to case at this bench.\n"), s.Case().YAML()...))
	}
	if err := kept.save(s.Case()); err != nil {
		return err
	}
	p.say("The shop file is %s. Set LOOSECELL_SHOP=%s and it lies under every case.", name, name)
	return nil
}

// screen is forms on a terminal that can show them, and lines everywhere else.
func (p *program) screen(plain bool) interview.Screen {
	in, inOK := p.stdin.(*os.File)
	out, outOK := p.stderr.(*os.File)
	if plain || !inOK || !outOK || !isatty.IsTerminal(in.Fd()) || !isatty.IsTerminal(out.Fd()) ||
		os.Getenv("TERM") == "dumb" || os.Getenv("TERM") == "" || os.Getenv("ACCESSIBLE") != "" {
		return interview.NewLines(p.stdin, p.stderr)
	}
	return interview.NewForms(in, out, colour(p.stderr))
}

// keptCase is a case or shop file that grows with the answers.
type keptCase struct {
	name   string // "" if it is kept in no file
	header []byte // the comment at the top of the file
	start  *facts.Case
}

// keep reads the file to go on from; one that is not there yet is empty.
func (p *program) keep(name string, parse func(*facts.Catalogue, string, []byte) (*facts.Case, error)) (*keptCase, error) {
	k := &keptCase{name: name, start: facts.NewCase(facts.Shipped(), name)}
	if name == "" {
		return k, nil
	}
	if name == "-" {
		return nil, badf("standard input is for the answers; name a file, or none")
	}
	_, data, err := p.read(name, "the case")
	if errors.Is(err, fs.ErrNotExist) {
		return k, nil
	}
	if err != nil {
		return nil, err
	}
	if k.start, err = parse(facts.Shipped(), name, data); err != nil {
		return nil, badInput{err}
	}
	k.header = leadingComment(data)
	return k, nil
}

// leadingComment is the comment lines that a file starts with.
func leadingComment(data []byte) []byte {
	n := 0
	for line := range bytes.Lines(data) {
		if !bytes.HasPrefix(line, []byte("#")) || !bytes.HasSuffix(line, []byte("\n")) {
			break
		}
		n += len(line)
	}
	return data[:n]
}

// save writes the case beside its file and then puts it in its place, so that
// a run that is killed leaves the old one or the new one, never half of one.
func (k *keptCase) save(c *facts.Case) error {
	if k.name == "" {
		return nil
	}
	if err := writeOver(k.name, append(append([]byte(nil), k.header...), c.YAML()...)); err != nil {
		return badInput{fmt.Errorf("the answers cannot be kept: %w", err)}
	}
	return nil
}

// brokenOff is the error of an interview without an end.
func (k *keptCase) brokenOff(err error) error {
	if !errors.Is(err, interview.ErrEnd) && !errors.Is(err, interview.ErrBreak) && !errors.Is(err, interview.ErrTooLong) {
		return err
	}
	if k.name == "" {
		return badf("no advice: %v", err)
	}
	return badf("no advice: %v; what was answered is in %s, and the interview goes on from there", err, k.name)
}
