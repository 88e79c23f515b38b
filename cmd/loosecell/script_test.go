package main

import (
	"errors"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/rogpeppe/go-internal/testscript"

	"loosecell/cmd/loosecell/internal/page"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"loosecell": main})
}

// TestScripts runs every flow in testdata/script as a user would type it.
//
// Beside the commands of testscript they use:
//
//	exits CODE COMMAND...  run a command that must end with the exit code
//	sheet [MAX]            standard output is a sheet: at most 80 cells a line,
//	                       no control characters, at most MAX lines
//	within N PATTERN...    the first N lines of standard output hold each text
//	silent                 standard output is empty: no advice was given
func TestScripts(t *testing.T) {
	cases, err := filepath.Abs(filepath.Join("..", "..", "testdata"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("..", "..", "testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("TESTDATA", cases)
			env.Setenv("NO_COLOR", "")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "sheet": sheetOnStdout, "within": within, "silent": silent,
		},
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	err = ts.Exec(args[1], args[2:]...)
	var failed *exec.ExitError
	switch {
	case errors.As(err, &failed):
		got = failed.ExitCode()
	case err != nil:
		ts.Fatalf("%s did not run: %v", args[1], err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

func sheetOnStdout(ts *testscript.TestScript, neg bool, args []string) {
	text := strings.TrimSuffix(ts.ReadFile("stdout"), "\n")
	if text == "" {
		ts.Fatalf("nothing on standard output")
	}
	lines := strings.Split(text, "\n")
	if len(args) == 1 {
		most, err := strconv.Atoi(args[0])
		ts.Check(err)
		if len(lines) > most {
			ts.Fatalf("%d lines, want %d at most", len(lines), most)
		}
	}
	for i, line := range lines {
		if n := page.Cells(line); n > page.Width {
			ts.Fatalf("line %d has %d cells: %q", i+1, n, line)
		}
		if at := strings.IndexFunc(line, unicode.IsControl); at >= 0 {
			ts.Fatalf("line %d has a control character: %q", i+1, line)
		}
	}
}

func within(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) < 2 {
		ts.Fatalf("usage: within N TEXT...")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	lines := strings.Split(ts.ReadFile("stdout"), "\n")
	first := strings.Join(lines[:min(n, len(lines))], "\n")
	for _, text := range args[1:] {
		if strings.Contains(first, text) == neg {
			ts.Fatalf("first %d lines: %q found is %v:\n%s", n, text, neg, first)
		}
	}
}

func silent(ts *testscript.TestScript, neg bool, args []string) {
	if out := ts.ReadFile("stdout"); out != "" {
		ts.Fatalf("standard output is not empty:\n%s", out)
	}
	if ts.ReadFile("stderr") == "" {
		ts.Fatalf("no message on standard error")
	}
}
