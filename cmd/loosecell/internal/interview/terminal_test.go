package interview_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// terminal is the program in a real terminal, driven as a person does.
type terminal struct {
	t      *testing.T
	socket string
}

// open starts loosecell with the arguments in a terminal of a size.
func open(t *testing.T, width, height int, args string) *terminal {
	t.Helper()
	tmux, err := exec.LookPath("tmux")
	if err != nil {
		t.Skip("tmux is not here, and this test drives a terminal through it")
	}
	if testing.Short() {
		t.Skip("a terminal takes seconds")
	}
	binary, err := built()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	x := &terminal{t, filepath.Join(dir, "socket")}
	command := fmt.Sprintf("cd %s; TERM=xterm-256color LOOSECELL_SHOP= %s ask --on 2026-11-24 %s > sheet.txt; echo ended with $?; sleep 60", dir, binary, args)
	if out, err := exec.Command(tmux, "-f", os.DevNull, "-S", x.socket, "new-session", "-d",
		"-x", fmt.Sprint(width), "-y", fmt.Sprint(height), command).CombinedOutput(); err != nil {
		t.Skipf("tmux does not start here: %v\n%s", err, out)
	}
	t.Cleanup(func() { _ = exec.Command(tmux, "-S", x.socket, "kill-server").Run() })
	return x
}

// built makes the program once for all tests here.
var built = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "loosecell-test")
	if err != nil {
		return "", err
	}
	buildDir = dir
	binary := filepath.Join(dir, "loosecell")
	if out, err := exec.Command("go", "build", "-o", binary, "loosecell/cmd/loosecell").CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, out)
	}
	return binary, nil
})

var buildDir string

// TestMain takes away what the tests here made.
func TestMain(m *testing.M) {
	code := m.Run()
	if buildDir != "" {
		os.RemoveAll(buildDir)
	}
	os.Exit(code)
}

// see waits until the screen shows a text, for as long as a busy machine takes.
func (x *terminal) see(text string) string {
	x.t.Helper()
	screen := ""
	for range 300 {
		out, err := exec.Command("tmux", "-S", x.socket, "capture-pane", "-p").Output()
		if screen = string(out); err == nil && strings.Contains(screen, text) {
			return screen
		}
		time.Sleep(100 * time.Millisecond)
	}
	x.t.Fatalf("the screen does not show %q:\n%s", text, screen)
	return ""
}

func (x *terminal) press(keys ...string) {
	x.t.Helper()
	for _, k := range keys {
		if out, err := exec.Command("tmux", "-S", x.socket, "send-keys", k).CombinedOutput(); err != nil {
			x.t.Fatalf("%v\n%s", err, out)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

func (x *terminal) file(name string) string {
	data, err := os.ReadFile(filepath.Join(filepath.Dir(x.socket), name))
	if err != nil {
		x.t.Error(err)
	}
	return string(data)
}

func TestInterviewInATerminal(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {40, 15}} {
		t.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(t *testing.T) {
			x := open(t, size[0], size[1], "case.yaml")
			x.see("From where you stand")
			x.press("Enter") // nothing is ticked: that denies nothing
			x.see("tick with x")
			x.press("Down", "Down", "Down", "x", "Enter") // none of these
			x.see("Where is the battery")
			x.press("Up", "Up", "Enter") // in open device
			x.see("Look at the cell")
			x.press("Down", "Down", "Down", "x", "Enter") // a hole
			x.see("ended with 0")
			if got := x.file("case.yaml"); !strings.Contains(got, "puncture: confirmed") || !strings.Contains(got, "venting: no") {
				t.Errorf("the case is\n%s", got)
			}
			if got := x.file("sheet.txt"); !strings.Contains(got, "STOP") {
				t.Errorf("the sheet is\n%s", got)
			}
		})
	}
}

func TestBackCorrectAndBreakOffInATerminal(t *testing.T) {
	x := open(t, 80, 24, "case.yaml")
	x.see("From where you stand")
	x.press("Down", "Down", "Down", "x", "Enter")
	x.see("Where is the battery")
	x.press("Down", "Down", "Down", "Enter") // back
	x.see("From where you stand")
	x.press("Down", "Down", "Down", "x", "Enter")
	x.see("Where is the battery")
	x.press("Down", "Down", "Down", "Down", "Enter") // correct
	x.see("Which fact")
	x.press("battery.place removed", "Enter")
	x.see("both faces")
	x.press("C-c")
	x.see("ended with 2")
	if got := x.file("case.yaml"); !strings.Contains(got, "place: removed") || !strings.Contains(got, "odour: no") {
		t.Errorf("the case is\n%s", got)
	}
	if got := x.file("sheet.txt"); got != "" {
		t.Errorf("there is a sheet all the same:\n%s", got)
	}
}
