package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// commands lists every command a person can type, the root first.
func commands(t *testing.T) []*cobra.Command {
	t.Helper()
	p := &program{stdin: strings.NewReader(""), stdout: &bytes.Buffer{}, stderr: &bytes.Buffer{}}
	var all []*cobra.Command
	var walk func(*cobra.Command)
	walk = func(c *cobra.Command) {
		all = append(all, c)
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(p.root())
	if len(all) < 15 {
		t.Fatalf("only %d commands: this test looks in the wrong place", len(all))
	}
	return all
}

func TestEveryCommandHasAWorkedExample(t *testing.T) {
	for _, c := range commands(t) {
		path := c.CommandPath()
		if c.Short == "" {
			t.Errorf("%s does not say what it is for", path)
		}
		if !strings.Contains(c.Example, "loosecell") {
			t.Errorf("%s has no worked example", path)
			continue
		}
		if c.Runnable() && c.Parent() != nil && len(c.Commands()) == 0 && !strings.Contains(c.Example, path) {
			t.Errorf("no example of %s uses it", path)
		}
		var out, errs bytes.Buffer
		args := append(strings.Fields(path)[1:], "--help")
		if code := run(context.Background(), args, strings.NewReader(""), &out, &errs); code != exitAdvice {
			t.Errorf("%s --help: exit code %d: %s", path, code, errs.String())
		}
		if !strings.Contains(out.String(), strings.TrimSpace(strings.Split(c.Example, "\n")[0])) {
			t.Errorf("%s --help does not show its example:\n%s", path, out.String())
		}
	}
}

// Every flag that an example uses exists.
func TestExamplesUseFlagsThatExist(t *testing.T) {
	for _, c := range commands(t) {
		for line := range strings.Lines(c.Example) {
			for piece := range strings.SplitSeq(line, "|") {
				checkFlags(t, c.Root(), piece)
			}
		}
	}
}

func checkFlags(t *testing.T, root *cobra.Command, line string) {
	t.Helper()
	_, rest, ok := strings.Cut(line, "loosecell ")
	if !ok || strings.HasPrefix(strings.TrimSpace(line), "#") || strings.HasPrefix(strings.TrimSpace(line), "man ") {
		return
	}
	words := strings.Fields(rest)
	cmd, _, err := root.Find(words)
	if err != nil {
		t.Errorf("%q: %v", line, err)
		return
	}
	for _, w := range words {
		name, _, _ := strings.Cut(w, "=")
		if long, isLong := strings.CutPrefix(name, "--"); isLong && long != "" && long != "help" && cmd.Flags().Lookup(long) == nil && cmd.InheritedFlags().Lookup(long) == nil {
			t.Errorf("%q: %s has no flag --%s", line, cmd.CommandPath(), long)
		}
	}
}

func TestAPageOfTheManualForEveryCommand(t *testing.T) {
	dir := t.TempDir()
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"man", dir, "--on", "2026-11-24"}, strings.NewReader(""), &out, &errs); code != exitAdvice {
		t.Fatalf("man: exit code %d: %s", code, errs.String())
	}
	for _, c := range commands(t) {
		name := strings.ReplaceAll(c.CommandPath(), " ", "-") + ".1"
		data, err := os.ReadFile(filepath.Join(dir, name))
		switch {
		case err != nil && c.Name() != "help":
			t.Errorf("%s has no page: %v", c.CommandPath(), err)
		case err == nil && (!bytes.Contains(data, []byte(".TH")) || !bytes.Contains(data, []byte("Nov 2026"))):
			t.Errorf("%s is no page of November 2026", name)
		}
	}
	for name, args := range map[string][]string{"no such directory": {"man", filepath.Join(dir, "none")}, "a file": {"man", filepath.Join(dir, "loosecell.1")}} {
		errs.Reset()
		if code := run(context.Background(), args, strings.NewReader(""), &out, &errs); code != exitBadInput {
			t.Errorf("%s: exit code %d: %s", name, code, errs.String())
		}
	}
}

func TestShellsCanComplete(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		var out, errs bytes.Buffer
		if code := run(context.Background(), []string{"completion", shell}, strings.NewReader(""), &out, &errs); code != exitAdvice || out.Len() < 500 {
			t.Errorf("%s: exit code %d, %d bytes: %s", shell, code, out.Len(), errs.String())
		}
	}
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"__complete", "act", "to"}, strings.NewReader(""), &out, &errs); code != exitAdvice || !strings.Contains(out.String(), "torn-tab") {
		t.Errorf("act does not complete its topics: %d %s", code, out.String())
	}
}
