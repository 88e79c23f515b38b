package facts

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Each specimen in testdata/bad ends with what has to be found in it:
// "# error line:column code", and in quotes words the message has to have.
var wanted = regexp.MustCompile(`(?m)^# error (\d+):(\d+) ([a-z0-9-]+)(?: "(.*)")?$`)

func TestEveryBadFileIsRefusedWithPlaceAndFix(t *testing.T) {
	files, err := filepath.Glob("../../testdata/bad/*.yaml")
	if err != nil || len(files) < 25 {
		t.Fatalf("%d specimens, %v", len(files), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			parse := ParseCase
			if strings.HasPrefix(name, "shop-") {
				parse = ParseShop
			}
			c, err := parse(Shipped(), name, data)
			var got Problems
			if c != nil || !errors.As(err, &got) {
				t.Fatalf("accepted, or refused without problems: %v", err)
			}
			want := wanted.FindAllStringSubmatch(string(data), -1)
			if len(want) != len(got) {
				t.Errorf("%d problems are expected, found:\n%v", len(want), got)
			}
			for _, w := range want {
				if !mentions(got, w) {
					t.Errorf("not found: %s\namong:\n%v", w[0], got)
				}
			}
			for i := 1; i < len(got); i++ {
				if a, b := got[i-1].At, got[i].At; a.Line > b.Line || a.Line == b.Line && a.Column > b.Column {
					t.Errorf("out of order: %v before %v", got[i-1], got[i])
				}
			}
			if strings.ContainsFunc(strings.ReplaceAll(err.Error(), "\n", ""), func(r rune) bool { return r < ' ' || r == 0x202e }) {
				t.Errorf("a control character reaches the message: %q", err.Error())
			}
		})
	}
}

func mentions(got Problems, w []string) bool {
	line, _ := strconv.Atoi(w[1])
	column, _ := strconv.Atoi(w[2])
	for _, p := range got {
		if p.At.Line == line && p.At.Column == column && p.Code == w[3] && strings.Contains(p.Error(), w[4]) {
			return true
		}
	}
	return false
}

func TestHugeInputIsRefusedWithoutBeingRead(t *testing.T) {
	for name, data := range map[string]string{
		"too large":         strings.Repeat("# padding\n", MaxBytes/10+1),
		"brackets":          "a: " + strings.Repeat("[", 200000),
		"braces":            strings.Repeat("{a: ", 100000),
		"indentation":       deepIndent(3000),
		"thousands of keys": strings.Repeat("x: 1\n", 50000),
		"alias bomb":        "a: &a [x]\nb: &b [*a, *a]\nc: &c [*b, *b, *b]\n",
		"long number":       "battery.mass: " + strings.Repeat("9", 100000) + " g\n",
		"huge exponent":     "battery.mass: 1e999999999 g\n",
		"null byte":         "job: {id: \"a\x00b\"}",
	} {
		t.Run(name, func(t *testing.T) {
			c, err := ParseCase(Shipped(), "x.yaml", []byte(data))
			var got Problems
			if c != nil || !errors.As(err, &got) || len(got) == 0 || len(got) > maxProblems+1 {
				t.Errorf("case %v, %d problems", c != nil, len(got))
			}
			if len(err.Error()) > 64<<10 {
				t.Errorf("the message has %d bytes", len(err.Error()))
			}
		})
	}
}

func deepIndent(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Repeat(" ", i%300) + "a:\n")
	}
	return b.String()
}
