package proof_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/book"
	"loosecell/rules/proof"
)

// A small world of facts, in which every case can be listed.
type axis struct {
	fact   string
	values []string // as a condition writes them, least hazardous first where ordered
	points []float64
	worse  int // +1 later is worse, -1 earlier is worse, 0 no order
}

var axes = []axis{
	{"battery.odour", []string{"'no'", "'yes'"}, []float64{0, 1}, 1},
	{"battery.swelling", []string{"'none'", "'slight'", "'severe'"}, []float64{0, 1, 2}, 1},
	{"bench.heat_source", []string{"'none'", "'pad'", "'hot-air'"}, []float64{0, 1, 2}, 0},
	{"job.warmings", []string{"1", "2", "3"}, []float64{0, 1, 2, 3, 4}, 1},
	{"bench.sand_mass", []string{"'2 kg'", "'5 kg'"}, []float64{1, 2, 3, 5, 6}, -1},
}

// numeric tells that an axis is compared with numbers; values[i] then stands for
// bound[i].
var bounds = map[string][]float64{"job.warmings": {1, 2, 3}, "bench.sand_mass": {2, 5}}

// known is a condition twice: as text for the loader, and as what its writer
// means by it.
type known struct {
	text  string
	holds func(at []float64) bool
}

func anyKnown(t *rapid.T, depth int) known {
	if depth == 0 || rapid.IntRange(0, 2).Draw(t, "shape") == 0 {
		return anyComparison(t)
	}
	a := anyKnown(t, depth-1)
	switch rapid.SampledFrom([]string{"and", "or", "not"}).Draw(t, "join") {
	case "not":
		return known{"not (" + a.text + ")", func(at []float64) bool { return !a.holds(at) }}
	case "and":
		b := anyKnown(t, depth-1)
		return known{"(" + a.text + ") and (" + b.text + ")", func(at []float64) bool { return a.holds(at) && b.holds(at) }}
	}
	b := anyKnown(t, depth-1)
	return known{"(" + a.text + ") or (" + b.text + ")", func(at []float64) bool { return a.holds(at) || b.holds(at) }}
}

func anyComparison(t *rapid.T) known {
	i := rapid.IntRange(0, len(axes)-1).Draw(t, "axis")
	a := axes[i]
	v := rapid.IntRange(0, len(a.values)-1).Draw(t, "value")
	ops := []string{"==", "!=", "<", "<=", ">", ">="}
	if a.worse == 0 {
		ops = ops[:2]
	}
	op := rapid.SampledFrom(ops).Draw(t, "op")
	against := float64(v)
	if list := bounds[a.fact]; list != nil {
		against = list[v]
	}
	return known{a.fact + " " + op + " " + a.values[v], func(at []float64) bool { return compare(at[i], op, against) }}
}

func compare(x float64, op string, y float64) bool {
	switch op {
	case "==":
		return x == y
	case "!=":
		return x != y
	case "<":
		return x < y
	case "<=":
		return x <= y
	case ">":
		return x > y
	}
	return x >= y
}

// every lists the whole world.
func every() [][]float64 {
	out := [][]float64{{}}
	for _, a := range axes {
		var next [][]float64
		for _, at := range out {
			for _, x := range a.points {
				next = append(next, append(append([]float64{}, at...), x))
			}
		}
		out = next
	}
	return out
}

var perms = []string{"heat", "refit", "opening"}

type smallRule struct {
	id      string
	known   known
	permits bool
	about   []string
}

type smallBook struct{ rules []smallRule }

func anyBook(t *rapid.T) smallBook {
	var b smallBook
	for i := range rapid.IntRange(1, 6).Draw(t, "rules") {
		r := smallRule{id: fmt.Sprintf("rule-%d", i), known: anyKnown(t, 2), permits: rapid.IntRange(0, 2).Draw(t, "effect") > 0}
		for _, p := range perms {
			if rapid.Bool().Draw(t, p) {
				r.about = append(r.about, p)
			}
		}
		if r.about == nil {
			r.about = perms[:1]
		}
		b.rules = append(b.rules, r)
	}
	return b
}

func (b smallBook) yaml() string {
	var s strings.Builder
	s.WriteString("topic: small\nrules:\n")
	for _, r := range b.rules {
		effect := "restrict: {forbid: [" + strings.Join(r.about, ", ") + "]}"
		if r.permits {
			effect = "permit: [" + strings.Join(r.about, ", ") + "]"
		}
		fmt.Fprintf(&s, "  - id: %s\n    when: %q\n    %s\n    because: A rule of a test.\n    source: common-practice\n", r.id, r.known.text, effect)
	}
	return s.String()
}

func (r smallRule) speaksOf(p string) bool {
	for _, q := range r.about {
		if p == q {
			return true
		}
	}
	return false
}

func (b smallBook) may(p string, at []float64) bool {
	offered := false
	for _, r := range b.rules {
		if !r.speaksOf(p) || !r.known.holds(at) {
			continue
		}
		if !r.permits {
			return false
		}
		offered = true
	}
	return offered
}

// grows lists, by brute force, the permissions that grow when one fact alone
// gets worse.
func (b smallBook) grows() map[string]bool {
	out := map[string]bool{}
	for _, at := range every() {
		for i, a := range axes {
			for _, x := range a.points {
				if a.worse == 0 || (x-at[i])*float64(a.worse) <= 0 {
					continue
				}
				next := append([]float64{}, at...)
				next[i] = x
				for _, p := range perms {
					out[p] = out[p] || b.may(p, next) && !b.may(p, at)
				}
			}
		}
	}
	return out
}

// adds tells, by brute force, whether a rule makes a difference anywhere to what
// rules of its effect say.
func (b smallBook) adds(r smallRule) bool {
	for _, at := range every() {
		if !r.known.holds(at) {
			continue
		}
		for _, p := range r.about {
			said := false
			for _, o := range b.rules {
				if o.id != r.id && o.speaksOf(p) && o.known.holds(at) && (o.permits == r.permits || r.permits) {
					said = true // a permit also adds nothing where it is forbidden
				}
			}
			if !said {
				return true
			}
		}
	}
	return false
}

// The prover and brute force over every case agree on small random books: what
// is dead, what is masked, what grows, and what a statement claims.
func TestProverAgreesWithBruteForce(t *testing.T) {
	world := every()
	rapid.Check(t, func(t *rapid.T) {
		small := anyBook(t)
		b, err := book.Load([]book.File{{Name: "small.yaml", Data: []byte(small.yaml())}}, nil)
		if err != nil {
			t.Fatalf("%v\n%s", err, small.yaml())
		}
		when, perm, always := anyKnown(t, 2), rapid.SampledFrom(perms).Draw(t, "perm"), rapid.Bool().Draw(t, "always")
		claim := map[bool]string{true: "always", false: "never"}[always]
		statement := book.File{Name: "statement.yaml", Data: fmt.Appendf(nil,
			"invariants:\n  - {id: claim, when: %q, %s: {permit: [%s]}, because: A test., source: common-practice}\n", when.text, claim, perm)}
		report, err := proof.Prove(b, proof.Options{Bare: true, Invariants: []book.File{statement}, Workers: 1,
			OnlyLaws: []string{proof.LawMonotone, proof.LawDead, proof.LawMasked, proof.LawInvariant}})
		if err != nil {
			t.Fatal(err)
		}
		grows := small.grows()
		want := map[string]bool{} // law, what: proved
		for _, r := range small.rules {
			alive := false
			for _, at := range world {
				alive = alive || r.known.holds(at)
			}
			want["dead "+r.id] = alive
			want["masked "+r.id] = small.adds(r) || !alive // what never acts repeats nothing
		}
		for _, p := range perms {
			want["monotone "+p] = !grows[p]
		}
		holds := true
		for _, at := range world {
			if when.holds(at) && small.may(perm, at) != always {
				holds = false
			}
		}
		want["invariant claim"] = holds
		for _, f := range report.Findings {
			key := f.Law + " " + f.What
			proved, asked := want[key]
			if !asked {
				t.Fatalf("%s is not asked by brute force", key)
			}
			if status := map[bool]proof.Status{true: proof.Proved, false: proof.Refuted}[proved]; f.Status != status {
				t.Fatalf("%s is %s (%s), by brute force %s\n%s%s %s", key, f.Status, f.How, status, small.yaml(), claim, when.text)
			}
		}
	})
}
