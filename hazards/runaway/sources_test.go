package runaway_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every source key in the data of this package stands in a shipped table of documents, and every row
// says how it is known.
func TestSourcesAreInTheTableOfDocuments(t *testing.T) {
	documents, err := filepath.Glob(filepath.Join("..", "..", "rules", "source", "shipped", "*.yaml"))
	if err != nil || len(documents) == 0 {
		t.Fatalf("no tables of documents (%v)", err)
	}
	keys := map[string]bool{}
	pattern := regexp.MustCompile(`(?m)^\s*- \{?key:\s*([a-z0-9-]+)`)
	for _, d := range documents {
		text, err := os.ReadFile(d)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range pattern.FindAllStringSubmatch(string(text), -1) {
			keys[m[1]] = true
		}
	}
	known := map[string]bool{"read": true, "secondary": true, "memory": true, "practice": true}
	for _, file := range []string{"yields.csv", "species.csv", "mixtures.csv", "limits.csv", "media.csv"} {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
			if strings.HasPrefix(line, "#") || strings.HasSuffix(line, "known,source") {
				continue
			}
			cells := strings.Split(line, ",")
			if how := cells[len(cells)-2]; !known[how] {
				t.Errorf("%s: %q: how known is %q", file, line, how)
			}
			for _, key := range strings.Fields(cells[len(cells)-1]) {
				if !keys[key] {
					t.Errorf("%s: source %q is in no table of documents", file, key)
				}
			}
		}
	}
}
