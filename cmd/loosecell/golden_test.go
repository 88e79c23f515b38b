package main

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write testdata/golden anew from testdata/cases")

// goldenDate is the day at which the golden sheets read the law.
const goldenDate = "2026-11-24"

// caseFile is one case of testdata with the arguments that advise it.
type caseFile struct {
	name string
	args []string
}

func testdata(parts ...string) string {
	return filepath.Join(append([]string{"..", "..", "testdata"}, parts...)...)
}

// shopOfCase is how the opening comment of a case names the shop it belongs to.
var shopOfCase = regexp.MustCompile(`^#.*--shop \.\./shops/([a-z0-9-]+\.yaml)`)

// caseFiles lists the numbered cases of testdata/cases, each with the shop that its first line names,
// if it names one.
func caseFiles(t *testing.T) []caseFile {
	t.Helper()
	t.Setenv("LOOSECELL_SHOP", "")
	files, err := filepath.Glob(testdata("cases", "[0-9]*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatal("no cases in testdata/cases")
	}
	var cases []caseFile
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		c := caseFile{name, []string{file, "--on", goldenDate}}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if shop := shopOfCase.FindSubmatch(data); shop != nil {
			c.args = append(c.args, "--shop", testdata("shops", string(shop[1])))
		}
		cases = append(cases, c)
	}
	return cases
}

// advise runs the command and returns standard output; it must succeed.
func advise(t *testing.T, args ...string) string {
	t.Helper()
	return printedBy(t, append([]string{"advise"}, args...)...)
}

// printedBy is what a command writes that must succeed.
func printedBy(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), args, strings.NewReader(""), &out, &errs); code != exitAdvice {
		t.Fatalf("%v: exit code %d\n%s", args, code, errs.String())
	}
	return out.String()
}

// TestGoldenSheets keeps the sheet of every case as a reader last approved it.
// After a wanted change: go test ./cmd/loosecell -run Golden -update, then read
// the difference before committing it.
func TestGoldenSheets(t *testing.T) {
	for _, c := range caseFiles(t) {
		t.Run(c.name, func(t *testing.T) {
			got := advise(t, c.args...)
			golden := testdata("golden", c.name+".txt")
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatalf("%v; run with -update to write it", err)
			}
			if got != string(want) {
				t.Errorf("the sheet differs from %s at %s", golden, firstDifference(got, string(want)))
			}
		})
	}
}

func firstDifference(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range max(len(a), len(b)) {
		var x, y string
		if i < len(a) {
			x = a[i]
		}
		if i < len(b) {
			y = b[i]
		}
		if x != y {
			return "line " + strconv.Itoa(i+1) + ":\n got " + x + "\nwant " + y
		}
	}
	return "no line"
}
