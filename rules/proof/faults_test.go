package proof_test

import (
	"crypto/sha256"
	"os"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"loosecell/rules/book"
)

// sampled is how many faults of a class are tried in the tables of carriage, and
// as many in the other files. LOOSECELL_FAULTS=all tries every one, which takes
// some minutes; LOOSECELL_FAULTS_CLASS names one class, LOOSECELL_FAULTS_FILE
// what the name of a file begins with.
const sampled = 20

// TestSeededFaultsAreKilled seeds faults into the shipped rules and looks whether
// the loader, the published dates, the cases with expected answers, the sheets of
// the shipped cases, the published cases of carriage, its law written down a
// second time, or the proof notice. At least 95 % of each class do, and each
// fault that nothing notices is listed with the reason why it changes nothing
// (testdata/survivors.txt).
func TestSeededFaultsAreKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("takes most of a minute")
	}
	files, err := book.ShippedFiles()
	if err != nil {
		t.Fatal(err)
	}
	type group struct {
		class    string
		carriage bool
	}
	seeded := map[group][]mutant{}
	everything := map[string]bool{}
	for _, m := range mutants(t, files) {
		everything[m.class+" "+m.what] = true
		if strings.HasPrefix(m.what, os.Getenv("LOOSECELL_FAULTS_FILE")) {
			g := group{m.class, m.carriage()}
			seeded[g] = append(seeded[g], m)
		}
	}
	excused := survivors(t)
	for what := range excused {
		if !everything[what] {
			t.Errorf("survivors.txt lists %q, which is no fault that is seeded", what)
		}
	}
	h := newHarness(t, files)
	if by := h.judge(unchanged(t, files, len(files)/2)); by != "" {
		t.Fatalf("%s notices a fault where there is none", by)
	}
	for _, class := range classes {
		if only := os.Getenv("LOOSECELL_FAULTS_CLASS"); only != "" && only != class {
			continue
		}
		for _, carriage := range []bool{false, true} {
			all := seeded[group{class, carriage}]
			tried := all
			if os.Getenv("LOOSECELL_FAULTS") != "all" {
				tried = drawn(tried, sampled)
			}
			if len(tried) == 0 {
				continue
			}
			where := map[bool]string{true: "carriage", false: "elsewhere"}[carriage]
			h.try(t, class+", "+where, tried, len(all), excused)
		}
	}
}

// try holds the faults of one group against everything that may notice them.
func (h *harness) try(t *testing.T, name string, tried []mutant, of int, excused map[string]string) {
	t.Helper()
	verdicts := h.judgeAll(tried)
	alive, listed := 0, 0
	by := map[string]int{}
	for i, m := range tried {
		why := excused[m.class+" "+m.what]
		switch {
		case verdicts[i] != "" && why != "":
			t.Errorf("survivors.txt says that nothing notices %s %s, and %s does", m.class, m.what, verdicts[i])
		case verdicts[i] != "":
			by[verdicts[i]]++
		case why != "":
			listed++
		default:
			alive++
			t.Errorf("nothing notices: %s %s", m.class, m.what)
		}
	}
	t.Logf("%s: %d of %d tried, %d survive, %d more change nothing; killed by %v", name, len(tried), of, alive, listed, by)
	if alive*20 > len(tried) {
		t.Errorf("%s: %d of %d survive, more than one in twenty", name, alive, len(tried))
	}
}

// unchanged is a file written anew without a fault.
func unchanged(t *testing.T, files []book.File, i int) mutant {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal(files[i].Data, &doc); err != nil {
		t.Fatal(err)
	}
	data, err := yaml.Marshal(&doc)
	if err != nil {
		t.Fatal(err)
	}
	return mutant{class: "effect", what: files[i].Name, file: i, data: data}
}

// drawn takes n of a list by the digest of what each does, so that a change of
// one rule leaves the choice of the others as it was.
func drawn(all []mutant, n int) []mutant {
	out := slices.Clone(all)
	digest := func(m mutant) string {
		sum := sha256.Sum256([]byte(m.class + m.what))
		return string(sum[:])
	}
	slices.SortFunc(out, func(a, b mutant) int { return strings.Compare(digest(a), digest(b)) })
	return out[:min(n, len(out))]
}

func survivors(t *testing.T) map[string]string {
	t.Helper()
	data, err := os.ReadFile("testdata/survivors.txt")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for line := range strings.Lines(string(data)) {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		what, why, ok := strings.Cut(line, " | ")
		if !ok || why == "" {
			t.Fatalf("survivors.txt: %q gives no reason after a |", line)
		}
		out[what] = why
	}
	return out
}
