package briefing

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/facts"
	"loosecell/rules/source"
)

func shipped(t *testing.T) (*Material, *rules.Book) {
	t.Helper()
	m, err := Shipped()
	if err != nil {
		t.Fatal(err)
	}
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return m, b
}

func said(s Statement) string {
	return strings.Join(append([]string{s.Label, s.Text, s.Then}, s.Cells...), " ")
}

func TestEveryStatementStandsOnSomething(t *testing.T) {
	m, b := shipped(t)
	if n := len(m.Statements()); n < 80 {
		t.Fatalf("only %d statements: this test looks in the wrong place", n)
	}
	for _, s := range m.Statements() {
		if len(s.Grounds) == 0 {
			t.Errorf("nothing stands behind %q", said(s))
		}
		if len(s.Cited(b)) == 0 {
			t.Errorf("no document stands behind %q", said(s))
		}
	}
}

// number finds what a statement claims in figures; 173.185 in a citation is none.
var number = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)

// words are the numbers that rules write out.
var words = map[string]string{"a quarter of an hour": "15", "three quarters of an hour": "45", "Five": "5", "five": "5", "ten": "10",
	"Twenty": "20", "two kelvin": "2", "Two": "2", "two minutes": "2", "Ten": "10", "a tenth": "10", "one year": "1"}

// Every number that is taught stands in a rule, a card or a document that the
// statement names, so that a rule that changes takes the briefing with it.
func TestEveryNumberStandsInItsGrounds(t *testing.T) {
	m, b := shipped(t)
	for _, s := range m.Statements() {
		if s.At != "" {
			continue // the law on training: see the next test
		}
		grounds := groundText(b, s)
		for _, n := range number.FindAllString(said(s), -1) {
			if !regexp.MustCompile(`(^|[^0-9.])` + regexp.QuoteMeta(n) + `(\.0)?([^0-9.]|\.[^0-9]|\.?$)`).MatchString(grounds) {
				t.Errorf("%s stands in none of the grounds of %q\n%s", n, said(s), grounds)
			}
		}
	}
}

// The intervals of training, against the documents' own notes: 90 days and 3
// years (49 CFR 172.704(c)), every year (29 CFR 1910.157(g)), 24 months
// (airline regulations 1.5).
func TestIntervalsOfTrainingStandInTheDocuments(t *testing.T) {
	m, _ := shipped(t)
	seen := map[string]bool{}
	for _, s := range m.Training.Rows {
		seen[s.At] = true
		var notes strings.Builder
		for _, g := range s.Grounds {
			if g.Cite.Document == nil {
				t.Fatalf("%q stands on something else than a document", said(s))
			}
			notes.WriteString(g.Cite.Document.Note + " " + g.Cite.Clause + " ")
		}
		for _, n := range number.FindAllString(strings.Join(s.Cells, " "), -1) {
			if !strings.Contains(notes.String(), n) {
				t.Errorf("%s stands in no note behind %q: %s", n, said(s), notes.String())
			}
		}
	}
	for _, at := range []string{"us", "eu", "uk", "un"} {
		if !seen[at] {
			t.Errorf("no training for %s", at)
		}
	}
}

func groundText(b *rules.Book, s Statement) string {
	var out strings.Builder
	for _, g := range s.Grounds {
		switch {
		case g.Card != "":
			c, _ := book.CardFor(g.Card)
			fmt.Fprintln(&out, c)
		case g.Rule != "":
			ruleText(&out, b, g.Rule)
		default:
			fmt.Fprintln(&out, g.Cite.Document.Title, g.Cite.Document.Note)
		}
	}
	text := out.String()
	for word, n := range words {
		if strings.Contains(text, word) {
			text += " " + n
		}
	}
	return text
}

func ruleText(out *strings.Builder, b *rules.Book, id string) {
	all := b.Rules()
	for i := range all {
		r := &all[i]
		mine := r.ID == id
		for _, row := range rowsOf(r) {
			if mine || row.ID == id {
				fmt.Fprintln(out, row.When.Text, row.Value, row.Because)
			}
		}
		if !mine {
			continue
		}
		fmt.Fprintln(out, r.When.Text, r.Because)
		if r.Say != nil {
			fmt.Fprintln(out, r.Say.Text)
		}
		if r.Hold != nil {
			fmt.Fprintln(out, r.Hold.Text)
		}
		if r.Restrict != nil {
			fmt.Fprintln(out, r.Restrict.Caps)
		}
		for name, condition := range b.Named {
			if regexp.MustCompile(`\b` + name + `\b`).MatchString(r.When.Text) {
				fmt.Fprintln(out, condition)
			}
		}
	}
}

// The talk is read aloud in ten to fifteen minutes.
func TestTheTalkHas1200To1500Words(t *testing.T) {
	m, _ := shipped(t)
	n := len(strings.Fields(m.Title + " " + m.Lead))
	for _, p := range m.Talk {
		n += len(strings.Fields(p.Heading))
		for _, s := range p.Say {
			n += len(strings.Fields(Fill(s.Text, nil)))
		}
	}
	if n < 1200 || n > 1500 {
		t.Errorf("the talk has %d words", n)
	}
}

// Plain words: sentences that a reader follows at the first hearing.
func TestSentencesAreShort(t *testing.T) {
	m, _ := shipped(t)
	for _, s := range m.Statements() {
		for _, sentence := range regexp.MustCompile(`[.!?]( |$)`).Split(s.Text, -1) {
			if n := len(strings.Fields(sentence)); n > 34 {
				t.Errorf("%d words in one sentence: %q", n, sentence)
			}
		}
	}
}

func TestPlaceholdersAreFilledOrLeftBlank(t *testing.T) {
	m, _ := shipped(t)
	shop, err := facts.ParseShop(facts.Shipped(), "shop", []byte("shop: {name: Harbour Lane bench, meeting_point: the lamp post.}\nbench: {fire_bin: yes, hf_gel: no}\n"))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range m.Statements() {
		for _, p := range placeholder.FindAllString(said(s), -1) {
			if _, ok := places[strings.Trim(p, "{}")]; !ok {
				t.Errorf("nothing fills %s in %q", p, said(s))
			}
		}
		if s.Place != "" && places[s.Place] == "" {
			t.Errorf("nothing fills %s", s.Place)
		}
		if _, ok := facts.Shipped().Lookup(s.Fact); s.Fact != "" && !ok {
			t.Errorf("there is no fact %s", s.Fact)
		}
	}
	if got, want := Fill("Meet at {meeting_point}. Call {emergency_number}.", shop), "Meet at the lamp post. Call "+Blank+"."; got != want {
		t.Errorf("filled as %q, want %q", got, want)
	}
	if got := Has("bench.hf_gel", shop) + Has("bench.fire_bin", shop) + Has("bench.water", shop); got != "noyes" {
		t.Errorf("what the shop has reads as %q", got)
	}
}

func TestTheEditionNamesTheContents(t *testing.T) {
	m, _ := shipped(t)
	if !regexp.MustCompile(`^2026-11-25-[0-9a-f]{8}$`).MatchString(m.Edition) {
		t.Errorf("edition %q", m.Edition)
	}
}

func TestAStatementOnNothingIsRefused(t *testing.T) {
	_, b := shipped(t)
	for _, from := range []string{"rule: no-such-rule", "card: no-such-card", "no-such-document: 1"} {
		r := newResolver(b, source.Shipped())
		if _, err := r.ground(from); err == nil {
			t.Errorf("%q was taken", from)
		}
	}
}

// What is only remembered may ask for something or forbid it, never allow it:
// all of it stands in the table of training.
func TestMemoryOnlyAsks(t *testing.T) {
	m, b := shipped(t)
	for _, s := range m.Statements() {
		if s.At != "" {
			continue
		}
		cited := s.Cited(b)
		if len(cited) == 1 && strings.Contains(cited[0], "from memory") {
			t.Errorf("%q stands on memory alone", said(s))
		}
	}
	if !slices.ContainsFunc(m.Training.Rows, func(s Statement) bool { return strings.Contains(strings.Join(s.Cited(b), " "), "from memory") }) {
		t.Error("the table of training hides how it is known")
	}
}
