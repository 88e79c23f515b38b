package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/examine"
	"loosecell/cmd/loosecell/internal/handout"
	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/briefing"
	"loosecell/rules/quiz"
)

// quizFlags are the flags of brief quiz.
type quizFlags struct {
	shop, record, name string
	draw               quiz.Options
	key                bool
	format             *format
}

func (p *program) quiz() *cobra.Command {
	var f quizFlags
	cmd := &cobra.Command{
		Use:   "quiz",
		Short: "Draw scenario cards and ask them, or print them",
		Long: `Draw scenario cards near the places where the rulebook changes its answer, and
ask them one after another. Each answer comes with its reason and with the
smallest change on the card that would give another one.

The same seed, level and number give the same cards. hard lies one or two
readings from the boundary, middle three to seven, easy further. With --record
a finished quiz adds one line to a training file: name, date, edition of the
material, seed and result. A quiz that is broken off, by q or by the end of the
input, records nothing.

With --format the cards are printed instead, to answer on paper; --key prints
the answers to the same cards. Passed are 80 % right and none of them bolder
than is safe.`,
		Example: `  loosecell brief quiz --name "A. Learner" --record training.jsonl
  loosecell brief quiz --seed 7 --cards 12 --level hard --format html > cards.html
  loosecell brief quiz --seed 7 --cards 12 --level hard --format html --key > key.html`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			flags := cmd.Flags()
			if !flags.Changed("seed") {
				f.draw.Seed = uint64(time.Now().UnixNano()) % 1000000
			}
			if flags.Changed("format") || f.key {
				return p.printQuiz(f)
			}
			return p.runQuiz(f)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.shop, "shop", "", "shop `FILE` (default: LOOSECELL_SHOP)")
	flags.Uint64Var(&f.draw.Seed, "seed", 0, "`NUMBER` that decides the cards (default: another one each time)")
	flags.IntVar(&f.draw.Cards, "cards", 10, "how many `CARDS`")
	flags.StringVar(&f.draw.Level, "level", quiz.Middle, "`LEVEL`: easy, middle or hard")
	flags.StringVar(&f.record, "record", "", "training `FILE` that a finished quiz adds a line to")
	flags.StringVar(&f.name, "name", "", "`NAME` for the record")
	flags.BoolVar(&f.key, "key", false, "print the answers to the cards")
	f.format = formatFlag(cmd, "text", "html", "markdown", "json")
	return cmd
}

func (p *program) drawn(f quizFlags) (*handout.Teacher, []quiz.Card, error) {
	teacher, err := p.teacher(f.shop)
	if err != nil {
		return nil, nil, err
	}
	cards, err := quiz.Draw(teacher.Book, f.draw)
	if err != nil {
		return nil, nil, badInput{err}
	}
	return teacher, cards, nil
}

func (p *program) printQuiz(f quizFlags) error {
	if f.record != "" || f.name != "" {
		return badf("a printed quiz records nothing; leave --record and --name away, and keep the sheet")
	}
	teacher, cards, err := p.drawn(f)
	if err != nil {
		return err
	}
	if f.format.json() {
		return p.printJSON(cards)
	}
	drawn := fmt.Sprintf("Seed %d, level %s.", f.draw.Seed, f.draw.Level)
	if f.key {
		return p.printDocument(teacher.QuizKey(cards, drawn), f.format)
	}
	return p.printDocument(teacher.Quiz(cards, drawn), f.format)
}

// longestName is what fits on a line of any list.
const longestName = 100

func (p *program) runQuiz(f quizFlags) (err error) {
	name := page.Clean(f.name)
	switch {
	case f.record != "" && name == "":
		return badf("--record needs --name, whose record it is")
	case f.record == "" && name != "":
		return badf("--name is for a record; name its file with --record")
	case page.Cells(name) > longestName:
		return badf("--name is longer than any name")
	}
	teacher, cards, err := p.drawn(f)
	if err != nil {
		return err
	}
	var book *examine.Book
	if f.record != "" {
		// Before the first card: nobody sits a test that cannot be recorded.
		if book, err = examine.Open(f.record); err != nil {
			return badInput{unreadable(f.record, "the training file", err)}
		}
		defer func() { err = errors.Join(err, book.Close()) }()
	}
	result, err := examine.Run(p.stdin, p.stdout, cards)
	switch {
	case errors.Is(err, examine.ErrQuit):
		p.say("%v", err)
		return nil
	case err != nil:
		return badInput{err}
	case book == nil:
		return nil
	}
	shop := briefing.Place("shop_name", teacher.Shop)
	if shop == briefing.Blank {
		shop = ""
	}
	err = book.Add(examine.Record{Name: name, Date: time.Now().Format(time.DateOnly), Material: teacher.Material.Edition, Shop: shop,
		Seed: f.draw.Seed, Level: f.draw.Level, Cards: result.Cards, Right: result.Right, Bold: result.Bold,
		Passed: result.Passed(), Wrong: result.Wrong})
	if err != nil {
		return err
	}
	p.say("Recorded for %s in %s.", name, f.record)
	return nil
}
