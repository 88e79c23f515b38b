package quiz

import (
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

func shipped(t testing.TB) *rules.Book {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// asked reads an answer out of a whole advice, by another road than a desk.
func asked(t *testing.T, a *advice.Advice, name string) string {
	t.Helper()
	switch name {
	case "verdict":
		return a.Verdict
	case "condition":
		return a.Condition
	case "removal.pick":
		return a.Removal.Pick
	case "heat.may":
		return a.Heat.May
	case "solvent.may":
		return a.Solvent.May
	case "refit.may":
		return a.Refit.May
	case "discharge.action":
		return a.Discharge.Action
	case "discharge.target_soc_pct":
		return strconv.FormatFloat(a.Discharge.TargetSoCPct, 'g', -1, 64)
	case "storage.class":
		return a.Storage.Class
	}
	for _, s := range a.Shipping {
		if name == "ship."+s.Mode {
			return s.Allowed
		}
	}
	t.Fatalf("the advice has no %s", name)
	return ""
}

// Every card's answer, and that of its flip, are what an advice says about the
// case on the card as anybody would read it from a file.
func TestAnswersAreThoseOfAnAdvice(t *testing.T) {
	b := shipped(t)
	seen := map[string]bool{}
	seeds := uint64(8)
	if testing.Short() {
		seeds = 2
	}
	for seed := range seeds {
		for _, level := range Levels {
			n := 4
			if seed == 0 {
				n = len(mustShelf(t).scenes) // every scene once
			}
			cards, err := Draw(b, Options{Seed: seed, Cards: n, Level: level})
			if err != nil {
				t.Fatal(err)
			}
			for i := range cards {
				card := &cards[i]
				seen[card.Scene] = true
				checkCard(t, b, card)
			}
		}
	}
	for _, s := range mustShelf(t).scenes {
		if !seen[s.ID] {
			t.Errorf("scene %s was never drawn", s.ID)
		}
	}
}

func mustShelf(t *testing.T) *shelf {
	t.Helper()
	s, err := loadShelf()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func checkCard(t *testing.T, b *rules.Book, card *Card) {
	t.Helper()
	c, err := facts.ParseCase(facts.Shipped(), card.Scene, []byte(card.CaseText))
	if err != nil {
		t.Fatalf("%s: the case on the card is no case: %v", card.Scene, err)
	}
	a, err := advice.Advise(b, c, advice.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := asked(t, a, card.Asks); got != card.Answer {
		t.Errorf("%s: the card says %s is %q, an advice %q\n%s", card.Scene, card.Asks, card.Answer, got, card.CaseText)
	}
	if err := c.SetText(facts.Shipped(), card.Flip.Fact, flipText(card)); err != nil {
		t.Fatalf("%s: %v", card.Scene, err)
	}
	if a, err = advice.Advise(b, c, advice.Options{}); err != nil {
		t.Fatal(err)
	}
	if got := asked(t, a, card.Asks); got != card.Flip.Answer || got == card.Answer {
		t.Errorf("%s: with %s %s the card says %q, an advice %q", card.Scene, card.Flip.Fact, card.Flip.To, card.Flip.Answer, got)
	}
	if n := len(card.Options); n < 2 || n > mostOptions {
		t.Errorf("%s has %d options", card.Scene, n)
	}
	words := map[string]int{}
	for _, o := range card.Options {
		words[o.Word]++
		if o.Text == "" || o.Text == o.Word && !strings.HasPrefix(o.Text, "Yes") && !strings.HasPrefix(o.Text, "No") {
			t.Errorf("%s: %s %s has no words for people", card.Scene, card.Asks, o.Word)
		}
	}
	if words[card.Answer] != 1 || words[card.Flip.Answer] != 1 {
		t.Errorf("%s: options %v lack the answer %s or the flip's %s", card.Scene, card.Options, card.Answer, card.Flip.Answer)
	}
	if len(card.Because) == 0 || len(card.Flip.Because) == 0 {
		t.Errorf("%s: nothing says why", card.Scene)
	}
}

// flipText is the changed value as a case file states it.
func flipText(card *Card) string {
	switch to := strings.NewReplacer("°C", "degC", "m³", "m3").Replace(card.Flip.To); to {
	case "nobody knows":
		return "unknown"
	default:
		f, _ := facts.Shipped().Lookup(card.Flip.Fact)
		if len(f.Words) > 0 {
			return strings.ReplaceAll(to, " ", "-")
		}
		return to
	}
}

func TestTheSameSeedGivesTheSameCards(t *testing.T) {
	b := shipped(t)
	draw := func(seed uint64) []Card {
		cards, err := Draw(b, Options{Seed: seed, Cards: 12, Level: Hard})
		if err != nil {
			t.Fatal(err)
		}
		for i := range cards {
			cards[i].Case = nil
		}
		return cards
	}
	if !reflect.DeepEqual(draw(7), draw(7)) {
		t.Error("two draws of one seed differ")
	}
	if reflect.DeepEqual(draw(7), draw(8)) {
		t.Error("two seeds give the same cards")
	}
}

// Harder cards lie nearer to the boundary.
func TestDifficultyIsDistance(t *testing.T) {
	b := shipped(t)
	for level, most := range map[string]int{Hard: 2, Middle: 7, Easy: 20} {
		cards, err := Draw(b, Options{Seed: 3, Cards: 40, Level: level})
		if err != nil {
			t.Fatal(err)
		}
		far := 0
		for _, c := range cards {
			if c.Readings < 1 || c.Readings > most {
				t.Errorf("%s: %s lies %d readings away", level, c.Scene, c.Readings)
			}
			far = max(far, c.Readings)
		}
		if far <= most/3 {
			t.Errorf("%s: no card lies further than %d readings", level, far)
		}
	}
}

// No change of one fact on the card that is smaller than the flip gives another
// answer.
func TestTheFlipIsTheSmallest(t *testing.T) {
	b := shipped(t)
	shelf := mustShelf(t)
	cards, err := Draw(b, Options{Seed: 5, Cards: 12, Level: Middle})
	if err != nil {
		t.Fatal(err)
	}
	for i := range cards {
		card := &cards[i]
		s := &shelf.scenes[slices.IndexFunc(shelf.scenes, func(s scene) bool { return s.ID == card.Scene })]
		scales := append([]scale{s.vary}, s.shows...)
		var size float64
		for _, over := range scales {
			if over.fact.Name == card.Flip.Fact {
				to := slices.IndexFunc(over.values, func(v facts.Value) bool { return plainValue(over.fact, v) == card.Flip.To })
				size = over.far(over.at(card.Case), to)
			}
		}
		for _, over := range scales {
			from := over.at(card.Case)
			for to, v := range over.values {
				if from < 0 || over.far(from, to) >= size {
					continue
				}
				c := card.Case.Clone()
				c.Set(over.fact.Name, v)
				if len(facts.Contradictions(c)) > 0 {
					continue
				}
				a, err := advice.Advise(b, c, advice.Options{})
				if err != nil {
					t.Fatal(err)
				}
				if got := asked(t, a, card.Asks); got != card.Answer {
					t.Errorf("%s: %s %s is a smaller change than %s %s and gives %s", card.Scene, over.fact.Name,
						plainValue(over.fact, v), card.Flip.Fact, card.Flip.To, got)
				}
			}
		}
	}
}

func TestBadOptionsAreRefused(t *testing.T) {
	b := shipped(t)
	for _, o := range []Options{{Cards: 0, Level: Hard}, {Cards: MostCards + 1, Level: Hard}, {Cards: 5, Level: "brutal"}} {
		if _, err := Draw(b, o); err == nil {
			t.Errorf("%+v was taken", o)
		}
	}
}

// allowing are the answers that a case may have because nothing stands against
// it; every other answer has a rule behind it.
var allowing = map[string][]string{"verdict": {"proceed"}, "condition": {"sound"}, "heat.may": {"yes"}, "solvent.may": {"yes"},
	"refit.may": {"yes"}, "discharge.action": {"in-device", "resistor", "none"}, "ship.air-cargo": {"yes"}, "ship.post": {"yes"},
	"ship.passenger-baggage": {"yes"}}

// An answer that forbids, alarms or grades down names the rule that carries it.
func TestNoForbiddingAnswerStandsOnNothing(t *testing.T) {
	b := shipped(t)
	seeds := uint64(6)
	if testing.Short() {
		seeds = 3
	}
	grades := map[string]int{}
	for _, r := range b.Rules() {
		if r.Grade != nil {
			grades[r.ID] = r.Grade.Condition
		}
	}
	words := []string{"sound", "worn", "unproven", "damaged", "critical", "reacting"}
	check := func(scene, asks, answer string, because []advice.Line) {
		for _, l := range because {
			if l.Text == nothingAgainst && !slices.Contains(allowing[asks], answer) {
				t.Errorf("%s: %s is %s, and nothing stands behind it", scene, asks, answer)
			}
			if rank := slices.Index(words, answer); asks == "condition" && rank > 0 && rank != rules.Unproven && grades[l.Rule] != rank {
				t.Errorf("%s: %q, of grade %d, does not make a cell %s", scene, l.Text, grades[l.Rule], answer)
			}
		}
	}
	for seed := range seeds {
		for _, level := range Levels {
			cards, err := Draw(b, Options{Seed: seed, Cards: len(mustShelf(t).scenes), Level: level})
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range cards {
				check(c.Scene, c.Asks, c.Answer, c.Because)
				check(c.Scene, c.Asks, c.Flip.Answer, c.Flip.Because)
			}
		}
	}
}

// The card of the slipped tool: pierced foil is critical because of the hole.
func TestPiercedFoilIsCriticalBecauseOfTheHole(t *testing.T) {
	cards, err := Draw(shipped(t), Options{Seed: 5, Cards: 14, Level: Easy})
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(cards, func(c Card) bool { return c.Scene == "pierced" && c.Answer == "critical" })
	if at < 0 || !slices.ContainsFunc(cards[at].Because, func(l advice.Line) bool { return l.Rule == "critical-pierced" }) {
		t.Errorf("card %d does not name the hole", at+1)
	}
}

// Daring more than the right answer is told apart from being too careful.
func TestBoldAnswers(t *testing.T) {
	c := Card{Asks: "verdict", Answer: "prepare", Options: []Option{{"proceed", ""}, {"prepare", ""}, {"stop", ""}}}
	for word, want := range map[string]bool{"proceed": true, "prepare": false, "stop": false, "nothing": false} {
		if c.Bold(word) != want {
			t.Errorf("%s: bold is %v", word, !want)
		}
	}
	c.Asks, c.Answer = "removal.pick", "leave-in-and-refer"
	if !c.Bold("card") || c.Bold("undecided") {
		t.Error("forcing out a cell that stays in is bold, waiting is not")
	}
	if c.Answer = "stretch-strips"; c.Bold("card") {
		t.Error("one way out is not bolder than another here")
	}
	c.Asks, c.Answer = "discharge.action", "forbidden"
	if !c.Bold("in-device") || c.Bold("none") {
		t.Error("running down a damaged cell is bold")
	}
}
