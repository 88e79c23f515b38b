package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/page"
)

// Exit codes; with --exit-by-verdict, advise answers with a verdict's instead.
const (
	exitAdvice   = 0  // advice given
	exitFailed   = 1  // the program failed
	exitBadInput = 2  // bad input: no advice at all
	exitPrepare  = 10 // something comes first
	exitStop     = 20 // do not work on this cell
	exitEvacuate = 30 // leave

	exitSignal = 128 // and the number of the signal that ended it
)

// program is one run: where it reads and writes, and how it ends.
type program struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	stdinTaken     string // which argument took standard input
	started        bool   // flags and arguments were understood
	code           int    // how a run without an error ends
}

// badInput is an error of what was given, not of the program.
type badInput struct{ error }

func (b badInput) Unwrap() error { return b.error }

func badf(format string, args ...any) error { return badInput{fmt.Errorf(format, args...)} }

// run is the whole program; main only gives it the process. A panic below is a
// fault of the program and must never look like advice.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) (code int) {
	p := &program{stdin: stdin, stdout: stdout, stderr: stderr}
	defer func() {
		if fault := recover(); fault != nil {
			p.say("loosecell failed: %v\nThis is a fault of the program. Take no advice from this run.", fault)
			code = exitFailed
		}
	}()
	root := p.root()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	cmd, err := root.ExecuteContextC(ctx)
	if err == nil {
		return p.code
	}
	p.say("loosecell: %v", err)
	var bad badInput
	var by stopped
	switch {
	case !p.started:
		p.say("Try '%s --help'.", cmd.CommandPath())
		return exitBadInput
	case errors.As(err, &by):
		return exitSignal + int(by.by)
	case errors.As(err, &bad):
		return exitBadInput
	}
	return exitFailed
}

// say writes a message on standard error; what it quotes from a file cannot
// steer the terminal.
func (p *program) say(format string, args ...any) {
	for line := range strings.SplitSeq(fmt.Sprintf(format, args...), "\n") {
		fmt.Fprintln(p.stderr, page.Clean(line))
	}
}

func (p *program) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "loosecell COMMAND",
		Short: "A second opinion at the bench on getting a glued lithium battery out",
		Long: `loosecell answers, with numbers and sources, whether you may start on a glued
lithium battery, what comes first, how it comes out, and where it waits after.

It reads a case: one YAML file with what is known of the job. What nobody
knows permits nothing, and the sheet says what would change the answer.`,
		Example: `  loosecell new phone -o torn-tab.yaml   a commented case to fill in
  loosecell advise torn-tab.yaml         the sheet for it
  loosecell act torn-tab                 the card for what just happened`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("there is no command %q", args[0])
			}
			return errors.New("no command given")
		},
		Run:                   func(*cobra.Command, []string) {},
		DisableFlagsInUseLine: true,
		SilenceUsage:          true,
		SilenceErrors:         true,
		PersistentPreRun:      func(*cobra.Command, []string) { p.started = true },
		CompletionOptions:     cobra.CompletionOptions{HiddenDefaultCmd: true},
	}
	root.SetHelpCommand(helpCommand(root))
	root.AddCommand(p.advise(), p.ask(), p.after(), p.act(), p.why(), p.triage(), p.consign(), p.newCase(), p.facts(), p.rules(), p.reckon(), p.brief(), p.label(), p.man(), p.version())
	return root
}

// helpCommand is cobra's own, except that an unknown topic is bad input.
func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "Tell how a command is used",
		Example: "  loosecell help advise",
		RunE: func(_ *cobra.Command, args []string) error {
			cmd, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 {
				return badf("there is no command %q", strings.Join(args, " "))
			}
			return cmd.Help()
		},
	}
}
