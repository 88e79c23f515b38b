package main

import (
	"bytes"
	"errors"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/sheet"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
	"loosecell/rules/why"
)

// whyFlags are the flags of why.
type whyFlags struct {
	shop   string
	rules  []string
	on     string
	format *format
}

func (p *program) why() *cobra.Command {
	var f whyFlags
	cmd := &cobra.Command{
		Use:   "why CASE [ANSWER]",
		Short: "Say why an answer is what it is, and what would change it",
		Long: `Explain one answer of a case: the rules that carry it and the facts they saw,
why not the next gentler or bolder answer, the smallest changes that would give
another one, and for the verdict the shortest list that makes it safe to start.

ANSWER is the name of an answer (default: verdict):
` + wrapWords(advice.AnswerPaths[:12]) + `
or a way of freeing the cell (rung.card) or a mode of carriage (ship.road), which
is answered whether or not the case asks to send the cell.`,
		Example: `  loosecell why torn-tab.yaml
  loosecell why torn-tab.yaml heat
  loosecell why --format svg torn-tab.yaml removal.pick > why.svg`,
		Args: func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return errors.New("no case given; name a case file, or - for standard input")
			case len(args) > 2:
				return errors.New("one case and one answer at a time")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			answer := "verdict"
			if len(args) == 2 {
				answer = args[1]
			}
			return p.runWhy(f, args[0], answer)
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 1 {
				return advice.AnswerPaths, cobra.ShellCompDirectiveNoFileComp
			}
			return nil, cobra.ShellCompDirectiveDefault
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.shop, "shop", "", "`FILE` with what holds for every case here (default: LOOSECELL_SHOP)")
	flags.StringArrayVar(&f.rules, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	flags.StringVar(&f.on, "on", "", "`DATE` (2026-11-24) to read the law at, instead of the case's or today")
	f.format = formatFlag(cmd, "text", "json", "svg")
	return cmd
}

// wrapWords lists words in lines of a help text.
func wrapWords(words []string) string {
	line, out := "", ""
	for _, w := range words {
		if len(line)+len(w) > 74 {
			out += "  " + line + "\n"
			line = ""
		}
		line = strings.TrimPrefix(line+", "+w, ", ")
	}
	return out + "  " + line
}

func (p *program) runWhy(f whyFlags, name, answer string) error {
	if err := checkDate(f.on); err != nil {
		return err
	}
	path, ok := advice.AnswerPath(answer)
	if !ok {
		near := facts.NearestWord(answer, advice.AnswerPaths)
		if near != "" {
			return badf("there is no answer %q; did you mean %s?", answer, near)
		}
		return badf("there is no answer %q; answers: %s", answer, strings.Join(advice.AnswerPaths, ", "))
	}
	shop, err := p.shop(f.shop)
	if err != nil {
		return err
	}
	rulebook, err := p.rulebook(f.rules, f.on)
	if err != nil {
		return err
	}
	cases, err := p.cases([]string{name}, shop)
	if err != nil {
		return err
	}
	x, err := why.Explain(rulebook, cases[0], path, advice.Options{On: f.on, Now: time.Now()})
	if err != nil {
		return badInput{err}
	}
	var out bytes.Buffer
	switch f.format.value {
	case "json":
		return p.printJSON(x)
	case "svg":
		err = sheet.WhySVG(&out, x)
	default:
		err = sheet.Why(&out, x)
	}
	if err != nil {
		return err
	}
	return p.print(out.Bytes())
}
