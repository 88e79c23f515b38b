package proof_test

import (
	"strings"
	"testing"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/proof"
)

func shippedBook(t testing.TB) *rules.Book {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func prove(t testing.TB, b *rules.Book, o proof.Options) *proof.Report {
	t.Helper()
	r, err := proof.Prove(b, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The shipped rules keep every law and every statement, whatever the case.
func TestShippedRulesAreProved(t *testing.T) {
	r := prove(t, shippedBook(t), proof.Options{})
	for _, law := range proof.Laws {
		if r.Count(law, proof.Proved) == 0 {
			t.Errorf("nothing was asked about the law %s", law)
		}
	}
	for _, f := range r.Findings {
		if f.Status != proof.Proved {
			t.Errorf("%s: %s, %s: %s (%s)\n%s%s", f.Status, f.Law, f.What, f.How, f.At, f.Case, f.Run)
		}
	}
	t.Logf("%d questions, %d regions, %.0f ms", len(r.Findings), r.Regions, r.Millis)
}

// One worker and several find the same, in the same order.
func TestProofIsRepeatable(t *testing.T) {
	o := proof.Options{OnlyLaws: []string{proof.LawInvariant, proof.LawMasked, proof.LawDead}, Workers: 1}
	one := prove(t, shippedBook(t), o)
	o.Workers = 3
	many := prove(t, shippedBook(t), o)
	for i := range one.Findings {
		a, b := one.Findings[i], many.Findings[i]
		a.Millis, b.Millis = 0, 0
		if a.What != b.What || a.Status != b.Status || a.How != b.How || a.Regions != b.Regions || a.Case != b.Case {
			t.Fatalf("%+v\nis with more workers\n%+v", a, b)
		}
	}
}

// A budget that does not suffice leaves a question open; it never proves it.
func TestSpentBudgetIsOpen(t *testing.T) {
	r := prove(t, shippedBook(t), proof.Options{Budget: 1, OnlyLaws: []string{proof.LawInvariant}})
	if r.Count("", proof.Open) == 0 || r.Count("", proof.Refuted) > 0 {
		t.Errorf("with one region a question: %d open, %d refuted", r.Count("", proof.Open), r.Count("", proof.Refuted))
	}
	for _, f := range r.Findings {
		if f.Status == proof.Open && !strings.Contains(f.How, "1 regions") {
			t.Errorf("%s does not say how far it got: %s", f.What, f.How)
		}
	}
}

// A statement that is false is refuted by a case that was run.
func TestFalseStatementIsRefutedByACase(t *testing.T) {
	statements := book.File{Name: "false.yaml", Data: []byte(`
invariants:
  - id: nobody-ever-pulls-a-strip
    never: {permit: [rung.stretch-strips]}
    because: A statement of a test, and a false one.
    source: common-practice
`)}
	r := prove(t, shippedBook(t), proof.Options{Bare: true, Invariants: []book.File{statements}, OnlyLaws: []string{proof.LawInvariant}})
	if len(r.Findings) != 1 || r.Findings[0].Status != proof.Refuted {
		t.Fatalf("%+v", r.Findings)
	}
	f := r.Findings[0]
	if !strings.Contains(f.Case, "looked:") || !strings.Contains(f.Run, "rung.stretch-strips may: yes") {
		t.Errorf("case:\n%srun: %s", f.Case, f.Run)
	}
	if d := confirmed(t, shippedBook(t), f); d.May["rung.stretch-strips"].String() != "true" {
		t.Errorf("the case as printed gives %v", d.May["rung.stretch-strips"])
	}
}

// What cannot be read is an error with its place, not a proof.
func TestBadStatements(t *testing.T) {
	for name, c := range map[string]struct{ text, code string }{
		"no such permission": {"invariants: [{id: a, never: {permit: [rung.hammer]}, because: x, source: common-practice}]", "permission"},
		"no such fact":       {"invariants: [{id: a, when: battery.swoling >= 'slight', never: {permit: [heat]}, because: x, source: common-practice}]", "unknown-name"},
		"two claims":         {"invariants: [{id: a, never: {permit: [heat]}, always: {forbid: [solvent]}, because: x, source: common-practice}]", "invariant"},
		"no claim":           {"invariants: [{id: a, because: x, source: common-practice}]", "invariant"},
		"no reason":          {"invariants: [{id: a, never: {permit: [heat]}}]", "missing"},
		"no such key":        {"invariants: [{id: a, nevr: {permit: [heat]}}]", "rule-key"},
		"no such document":   {"invariants: [{id: a, never: {permit: [heat]}, because: x, source: hearsay}]", "unknown-source"},
		"a second document":  {"invariants: []\n---\ninvariants: []", "second-document"},
		"no YAML":            {"invariants: [", "rule-syntax"},
		"an alias":           {"invariants: [&a {id: a}, *a]", "alias"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := proof.Prove(shippedBook(t), proof.Options{Bare: true, Invariants: []book.File{{Name: "bad.yaml", Data: []byte(c.text)}}})
			if err == nil || !strings.Contains(err.Error(), "bad.yaml:") || !strings.Contains(err.Error(), "["+c.code+"]") {
				t.Errorf("%v, want a place in bad.yaml and [%s]", err, c.code)
			}
		})
	}
}
