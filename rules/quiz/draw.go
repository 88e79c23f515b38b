package quiz

import (
	"cmp"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// The levels of difficulty: how many readings a card lies from the boundary
// where its answer changes. Where the scale has only words the next word is the
// nearest there is, at every level.
const (
	Easy   = "easy"   // 8 readings or more
	Middle = "middle" // 3 to 7
	Hard   = "hard"   // 1 or 2
)

// Levels lists the levels, the easiest first.
var Levels = []string{Easy, Middle, Hard}

var nearest = map[string][2]int{Easy: {8, 20}, Middle: {3, 7}, Hard: {1, 2}}

// MostCards is the most that is drawn at once.
const MostCards = 500

// Options say what to draw. The same options give the same cards.
type Options struct {
	Seed  uint64
	Cards int    // 1 to MostCards
	Level string // of Levels
}

// Option is one of the answers to choose from.
type Option struct {
	Word string `json:"word"`
	Text string `json:"text"`
}

// Known is a fact on the card.
type Known struct {
	Fact  string `json:"fact"`
	Ask   string `json:"ask"`
	Value string `json:"value"`
}

// Flip is the smallest change of what is on the card that gives another answer.
type Flip struct {
	Fact   string `json:"fact"`
	Ask    string `json:"ask"`
	From   string `json:"from"`
	To     string `json:"to"`
	Answer string `json:"answer"`
	Text   string `json:"text"`

	Because []advice.Line `json:"because"`
}

// Card is one scenario with its question and answer.
type Card struct {
	Number   int           `json:"number"`
	Scene    string        `json:"scene"`
	Story    string        `json:"story"`
	Known    []Known       `json:"known"`
	Question string        `json:"question"`
	Asks     string        `json:"asks"` // the answer of an advice, by its name
	Options  []Option      `json:"options"`
	Answer   string        `json:"answer"`
	Because  []advice.Line `json:"because"`
	Flip     Flip          `json:"flip"`
	Readings int           `json:"readings"` // between the card and the boundary; 1 is the nearest
	CaseText string        `json:"case"`     // the whole case, as a file

	Case *facts.Case `json:"-"`
}

// waiting are the questions whose answers have no order, with those of them that
// keep the hands off.
var waiting = map[string][]string{
	"removal.pick":     {"undecided", "leave-in-and-refer", "already-out"},
	"discharge.action": {"forbidden", "measure-first", "none"},
}

// Right is the text of the right answer.
func (c *Card) Right() string { return c.textOf(c.Answer) }

func (c *Card) textOf(word string) string {
	for _, o := range c.Options {
		if o.Word == word {
			return o.Text
		}
	}
	return word
}

// ordered are the questions whose answers run from bold to cautious.
var ordered = []string{"verdict", "condition", "heat.may", "solvent.may", "refit.may", "storage.class",
	"ship.air-cargo", "ship.post", "ship.passenger-baggage"}

// Bold tells that a wrong answer dares more than the right one.
func (c *Card) Bold(word string) bool {
	if cautious := waiting[c.Asks]; cautious != nil {
		return slices.Contains(cautious, c.Answer) && !slices.Contains(cautious, word)
	}
	if !slices.Contains(ordered, c.Asks) {
		return false
	}
	at := func(w string) int { return slices.IndexFunc(c.Options, func(o Option) bool { return o.Word == w }) }
	return at(word) >= 0 && at(word) < at(c.Answer)
}

// Draw draws cards from the rulebook. The error tells of bad options, or of a
// scene that has no boundary in this book.
func Draw(b *rules.Book, o Options) ([]Card, error) {
	if o.Cards < 1 || o.Cards > MostCards {
		return nil, fmt.Errorf("a quiz has 1 to %d cards, not %d", MostCards, o.Cards)
	}
	if !slices.Contains(Levels, o.Level) {
		return nil, fmt.Errorf("there is no level %q; there are %v", o.Level, Levels)
	}
	shelf, err := loadShelf()
	if err != nil {
		return nil, err
	}
	d := &drawer{book: b, shelf: shelf, level: o.Level, chance: rand.New(rand.NewPCG(o.Seed, 0x6c6f6f736563656c)), desks: map[string]*advice.Desk{}}
	var cards []Card
	var order []int
	for len(cards) < o.Cards {
		if len(order) == 0 {
			order = d.chance.Perm(len(shelf.scenes))
		}
		card, err := d.card(&shelf.scenes[order[0]])
		if err != nil {
			return nil, err
		}
		order = order[1:]
		card.Number = len(cards) + 1
		cards = append(cards, card)
	}
	return cards, nil
}

// drawer draws one card after another.
type drawer struct {
	book   *rules.Book
	shelf  *shelf
	level  string
	chance *rand.Rand
	desks  map[string]*advice.Desk
}

// options: the law is read at the date of the case, which every scene states.
var options = advice.Options{}

var errNoBoundary = errors.New("nothing that the scene varies changes its answer")

// answer is what an advice answers to the scene's question, "" where a case
// contradicts itself.
func (d *drawer) answer(s *scene, c *facts.Case) (string, error) {
	if len(facts.Contradictions(c)) > 0 {
		return "", nil
	}
	desk := d.desks[s.Question]
	if desk == nil {
		a, err := advice.FindAnswer(s.Question)
		if err != nil {
			return "", err
		}
		desk = advice.NewDesk(d.book, options, a)
		d.desks[s.Question] = desk
	}
	got, err := desk.Answers(c, nil)
	if err != nil {
		return "", err
	}
	return got[0], nil
}

// along asks for the answer at every value of a scale, all else as it is.
func (d *drawer) along(s *scene, c *facts.Case, over *scale) ([]string, error) {
	out := make([]string, len(over.values))
	for i, v := range over.values {
		e := c.Clone()
		e.Set(over.fact.Name, v)
		var err error
		if out[i], err = d.answer(s, e); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// card puts the scene near one of its boundaries.
func (d *drawer) card(s *scene) (Card, error) {
	answers, err := d.along(s, s.base, &s.vary)
	if err != nil {
		return Card{}, err
	}
	at, readings, ok := d.place(s, answers)
	if !ok {
		return Card{}, fmt.Errorf("%s: %w", s.ID, errNoBoundary)
	}
	c := s.base.Clone()
	c.Name = "quiz " + s.ID
	c.Set(s.vary.fact.Name, s.vary.values[at])
	card := Card{Scene: s.ID, Story: s.Story, Asks: s.Question, Question: d.shelf.questions[s.Question].text,
		Answer: answers[at], Readings: readings, Case: c, CaseText: string(c.YAML())}
	for _, over := range append([]scale{s.vary}, s.shows...) {
		card.Known = append(card.Known, Known{over.fact.Name, over.fact.Ask, plainValue(over.fact, c.Get(over.fact.Name))})
	}
	flipped, err := d.flip(s, &card)
	if err != nil {
		return Card{}, err
	}
	d.options(&card, answers)
	card.Flip.Text = card.textOf(card.Flip.Answer)
	return card, d.because(&card, flipped)
}

// place chooses a boundary and a value on one side of it, as far away as the
// level asks and the scale allows.
func (d *drawer) place(s *scene, answers []string) (at, readings int, ok bool) {
	var edges []int // the last value before a change
	for i := 0; i+1 < len(answers); i++ {
		if answers[i] != answers[i+1] && answers[i] != "" && answers[i+1] != "" {
			edges = append(edges, i)
		}
	}
	if len(edges) == 0 {
		return 0, 0, false
	}
	edge := edges[d.chance.IntN(len(edges))]
	reach := nearest[d.level]
	want := reach[0] + d.chance.IntN(reach[1]-reach[0]+1)
	// Up or down from the edge, through values with one answer.
	step, at := -1, edge
	if d.chance.IntN(2) == 1 {
		step, at = 1, edge+1
	}
	readings = 1
	for readings < want {
		next := at + step
		if next < 0 || next >= len(answers) || answers[next] != answers[at] {
			break
		}
		at = next
		readings++
	}
	// The far end of the run may be the near end of the next boundary.
	for i := 1; i < readings; i++ {
		for _, j := range []int{at - i, at + i} {
			if j >= 0 && j < len(answers) && answers[j] != answers[at] && answers[j] != "" {
				return at, i, true
			}
		}
	}
	return at, readings, true
}

// flip finds the smallest change of the facts on the card that gives another
// answer, and returns the case with that change.
func (d *drawer) flip(s *scene, card *Card) (*facts.Case, error) {
	least := 2.0
	var changed *facts.Case
	for _, over := range append([]scale{s.vary}, s.shows...) {
		from := over.at(card.Case)
		if from < 0 {
			continue
		}
		answers, err := d.along(s, card.Case, &over)
		if err != nil {
			return nil, err
		}
		for to := range over.values {
			far := over.far(from, to)
			if answers[to] == card.Answer || answers[to] == "" || far >= least {
				continue
			}
			least = far
			changed = card.Case.Clone()
			changed.Set(over.fact.Name, over.values[to])
			card.Flip = Flip{Fact: over.fact.Name, Ask: over.fact.Ask, From: plainValue(over.fact, card.Case.Get(over.fact.Name)),
				To: plainValue(over.fact, over.values[to]), Answer: answers[to]}
		}
	}
	if changed == nil {
		return nil, fmt.Errorf("%s: %w", s.ID, errNoBoundary)
	}
	return changed, nil
}

// mostOptions is how many answers a card offers.
const mostOptions = 4

// options picks what to choose from: the right answer, the flip's, and others,
// those of the scene first; in the order of the answers, bold to cautious.
func (d *drawer) options(card *Card, along []string) {
	q := d.shelf.questions[card.Asks]
	words := []string{card.Answer, card.Flip.Answer}
	rest := slices.Clone(q.words)
	d.chance.Shuffle(len(rest), func(i, j int) { rest[i], rest[j] = rest[j], rest[i] })
	for _, w := range append(slices.Clone(along), rest...) {
		if len(words) < mostOptions && w != "" && !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	slices.SortFunc(words, func(a, b string) int { return cmp.Compare(q.wordIn(a), q.wordIn(b)) })
	for _, w := range words {
		text := q.says[w]
		if text == "" {
			text = w
		}
		card.Options = append(card.Options, Option{w, text})
	}
}
