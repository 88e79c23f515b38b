package main

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// waiting is the program, started with a standard input that stays open.
type waiting struct {
	t      *testing.T
	cmd    *exec.Cmd
	stdin  io.WriteCloser
	stdout *bufio.Reader
	stderr bytes.Buffer
}

func start(t *testing.T, args ...string) *waiting {
	t.Helper()
	w := &waiting{t: t, cmd: exec.Command("loosecell", args...)} // the one that TestMain puts in the path
	w.cmd.Stderr = &w.stderr
	var err error
	if w.stdin, err = w.cmd.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	out, err := w.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	w.stdout = bufio.NewReader(out)
	if err := w.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = w.cmd.Process.Kill() })
	return w
}

// write gives the program text; it returns once the program has taken it, if it
// is more than a pipe holds.
func (w *waiting) write(text string) {
	w.t.Helper()
	if _, err := io.WriteString(w.stdin, text); err != nil {
		w.t.Fatal(err)
	}
}

// feed gives the program rows until it reads no more.
func (w *waiting) feed() {
	go func() {
		_, err := io.WriteString(w.stdin, "job.id,device.kind\n")
		for err == nil {
			_, err = io.WriteString(w.stdin, strings.Repeat("a,phone\n", 1000))
		}
	}()
}

func (w *waiting) line() string {
	w.t.Helper()
	text, err := w.stdout.ReadString('\n')
	if err != nil {
		w.t.Fatal(err, w.stderr.String())
	}
	return text
}

// diesBy sends a signal and expects the end that the system has for it; it
// returns the rest of the output.
func (w *waiting) diesBy(s syscall.Signal) string {
	w.t.Helper()
	if err := w.cmd.Process.Signal(s); err != nil {
		w.t.Fatal(err)
	}
	rest, err := io.ReadAll(w.stdout)
	if err != nil {
		w.t.Fatal(err)
	}
	var ended *exec.ExitError
	if err := w.cmd.Wait(); !errors.As(err, &ended) {
		w.t.Fatalf("it ended with %v", err)
	}
	if status, ok := ended.Sys().(syscall.WaitStatus); !ok || !status.Signaled() || status.Signal() != s {
		w.t.Errorf("it ended as %v, want death by %v\n%s", ended, s, w.stderr.String())
	}
	if text := w.stderr.String(); strings.Contains(text, "context") || strings.Contains(text, "goroutine") {
		w.t.Errorf("it said %q", text)
	}
	return string(rest)
}

// big is more than a pipe holds (64 KiB on Linux), so that whoever has written
// it knows that the program reads.
var big = strings.Repeat("# more of the same\n", 1<<13)

// Commands that wait for input, and one that works, end when they are told to.
func TestSignalsEndEveryCommand(t *testing.T) {
	for name, args := range map[string][]string{
		"advise": {"advise", "-"}, "why": {"why", "-"}, "check": {"rules", "check", "-"}, "consign": {"consign", "-", "--mode", "road", "--jurisdiction", "eu", "--packing", "by-itself"},
		"ask, in lines": {"ask", "--plain"},
	} {
		for _, s := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
			t.Run(name+", "+s.String(), func(t *testing.T) {
				w := start(t, args...)
				w.write(big)
				if rest := w.diesBy(s); rest != "" && args[0] != "ask" {
					t.Errorf("it printed %q", rest)
				}
			})
		}
	}
	t.Run("prove", func(t *testing.T) {
		w := start(t, "rules", "prove", "-", "--budget", "1000000000")
		w.write("topic: x\nrules:\n  - {id: ours, restrict: {forbid: [heat]}, because: x, source: common-practice}\n" + big)
		if err := w.stdin.Close(); err != nil {
			t.Fatal(err)
		}
		w.diesBy(syscall.SIGINT)
	})
}

// A triage that is told to end leaves whole rows behind, in the answers and in
// the bad rows, and says so.
func TestSignalsEndTriageBetweenRows(t *testing.T) {
	t.Run("before the first row", func(t *testing.T) {
		w := start(t, "triage", "-")
		w.write(strings.Repeat("\n", 1<<17))
		if rest := w.diesBy(syscall.SIGINT); rest != "" {
			t.Errorf("it printed %q", rest)
		}
	})
	for _, s := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
		t.Run("waiting for more, "+s.String(), func(t *testing.T) {
			bad := filepath.Join(t.TempDir(), "bad.csv")
			w := start(t, "triage", "--quiet", "--bad", bad, "--answers", "condition", "-")
			w.write("job.id,device.kind\na,phone\nb,boat\nc,phone\n")
			for _, want := range []string{"line,job.id,condition\n", "2,a,unproven\n", "4,c,unproven\n"} {
				if got := w.line(); got != want {
					t.Errorf("%q, want %q", got, want)
				}
			}
			w.write("d,phone\n")
			if got := w.line(); got != "5,d,unproven\n" {
				t.Errorf("%q", got)
			}
			if rest := w.diesBy(s); rest != "" {
				t.Errorf("it printed %q besides", rest)
			}
			if text := w.stderr.String(); !strings.Contains(text, "stopped by a signal") || !strings.Contains(text, "the first 4 rows") {
				t.Errorf("it said %q", text)
			}
			data, err := os.ReadFile(bad)
			if lines := strings.Split(string(data), "\n"); err != nil || len(lines) != 3 || !strings.HasPrefix(lines[1], "3,device.kind,") {
				t.Errorf("the bad rows are %q, %v", data, err)
			}
		})
	}
	t.Run("at work", func(t *testing.T) {
		w := start(t, "triage", "--quiet", "--answers", "condition", "-")
		w.feed()
		for range 1000 {
			w.line()
		}
		rest := w.diesBy(syscall.SIGINT)
		for line := range strings.Lines(rest) {
			if !strings.HasSuffix(line, ",a,unproven\n") {
				t.Errorf("a row is not whole: %q", line)
			}
		}
	})
	// Whoever reads nothing cannot hold it up.
	t.Run("held up", func(t *testing.T) {
		w := start(t, "triage", "--quiet", "--answers", "condition", "-")
		w.feed()
		w.line()
		if err := w.cmd.Process.Signal(syscall.SIGINT); err != nil {
			t.Fatal(err)
		}
		state, err := w.cmd.Process.Wait()
		if err != nil {
			t.Fatal(err)
		}
		if status, ok := state.Sys().(syscall.WaitStatus); !ok || status.Signal() != syscall.SIGINT {
			t.Errorf("it ended as %v", state)
		}
	})
}
