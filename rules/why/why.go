package why

import (
	"fmt"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Schema names the shape of the JSON form of a Why.
const Schema = "loosecell.why/1"

// A Why explains one answer of one case.
type Why struct {
	Schema  string   `json:"schema"`
	Case    string   `json:"case"`
	Answer  string   `json:"answer"` // a path of advice.AnswerPaths
	Is      string   `json:"is"`     // its word
	Reasons []Reason `json:"reasons"`
	Nearby  []Nearby `json:"nearby"`
	Flips   []Flip   `json:"flips"`
	Search  Search   `json:"searched"`
	Start   *Start   `json:"start,omitempty"` // the verdict only
	// What rules of the shop loosen in this case, be it this answer or another.
	Relaxations []advice.Relaxation `json:"relaxations,omitempty"`
}

// The parts a rule can play.
const (
	Needed = "needed" // without it the answer would be another
	Enough = "enough" // one of several, each enough by itself
	Joint  = "joint"  // needed once others that say the same are gone
	Behind = "behind" // it makes the condition of another reason true
	Offer  = "offer"  // it would permit this, and does not hold
)

// A Reason is a rule that carries the answer.
type Reason struct {
	Rule    string   `json:"rule"`
	Effect  string   `json:"effect"`
	Part    string   `json:"part"`
	Certain bool     `json:"certain"` // false: it acts because it may be true
	Because string   `json:"because"`
	Facts   []Seen   `json:"facts"`
	Source  string   `json:"source"`
	Known   string   `json:"known"`             // read, secondary, memory, practice
	For     string   `json:"for,omitempty"`     // Behind: the reason it stands behind
	Given   []string `json:"given,omitempty"`   // Enough, Joint: without these too, it is this rule that the answer rests on
	Granted bool     `json:"granted,omitempty"` // and even if everything were offered
}

// Seen is a fact as a rule saw it.
type Seen struct {
	Fact  string `json:"fact"`
	Value string `json:"value"`
	Why   string `json:"why"` // stated, shop file, look, presumed, not known, worked out
}

// explainer keeps what all parts of an explanation share. It is used by one
// goroutine at a time, and asking it grows the arena of its book.
type explainer struct {
	book   *rules.Book
	cat    *facts.Catalogue
	opts   advice.Options
	c      *facts.Case
	path   string
	is     string
	reckon *advice.Reckoner
	stand  *advice.Standing
	ask    *rules.Question
}

// Explain explains an answer of a case, named by a path of advice.AnswerPaths.
// The error tells of bad options or of an answer that is none. A book is explained
// by one goroutine at a time.
func Explain(b *rules.Book, c *facts.Case, path string, o advice.Options) (*Why, error) {
	x, err := newExplainer(b, c, path, o)
	if err != nil {
		return nil, err
	}
	w := &Why{Schema: Schema, Case: c.Name, Answer: path, Is: x.is, Reasons: []Reason{}, Nearby: []Nearby{}, Flips: []Flip{}, Relaxations: advice.Relaxations(x.ask)}
	if w.Reasons, err = x.reasons(); err != nil {
		return nil, err
	}
	if w.Nearby, err = x.nearby(); err != nil {
		return nil, err
	}
	if w.Flips, w.Search, err = x.flips(w.Reasons); err != nil {
		return nil, err
	}
	if path == "verdict" {
		if w.Start, err = SafeToStart(b, c, o); err != nil {
			return nil, err
		}
	}
	return w, nil
}

func newExplainer(b *rules.Book, c *facts.Case, path string, o advice.Options) (*explainer, error) {
	x := &explainer{book: b, cat: c.Catalogue(), opts: o, c: c, path: path, reckon: advice.NewReckoner(b, c.Catalogue(), o)}
	var err error
	if x.is, err = x.reckon.Answer(c, path); err != nil {
		return nil, err
	}
	if x.is == "" {
		return nil, fmt.Errorf("the rules have no answer to %s", path)
	}
	if x.stand, err = x.reckon.Standing(c); err != nil {
		return nil, err
	}
	x.ask = b.Ask(x.stand.Full.Clone(), x.stand.Alarm.Clone())
	return x, nil
}

// granted are rules under which everything is offered and fits, to see what
// stands against it all the same.
var granted = []rules.Rule{
	{ID: "(everything offered)", Holds: expression.Always, Permit: rules.Permissions},
	{ID: "(everything fits)", Holds: expression.Always, Fit: rules.Rungs},
}

// without is the answer of a book that lacks some rules, and that offers
// everything if grant.
func (x *explainer) without(gone map[string]bool, grant bool) (string, error) {
	var more []rules.Rule
	if grant {
		more = granted
	}
	book := x.book.Without(func(r *rules.Rule) bool { return gone[r.ID] }, more...)
	return advice.NewReckoner(book, x.cat, x.opts).Answer(x.c, x.path)
}

// reason writes down a rule, the part it plays and the facts it saw.
func (x *explainer) reason(r *rules.Rule, part string) Reason {
	known := "practice"
	if len(r.Sources) > 0 {
		known = string(r.Sources[0].Document.Known)
	}
	out := Reason{Rule: r.ID, Effect: r.EffectName(), Part: part, Because: r.Because, Source: r.Cited(), Known: known}
	holds := r.Holds
	if r.Choose != nil {
		holds = x.rowOf(r, &out)
	}
	box := x.stand.Full
	if r.Alarm != nil || r.Grade != nil && x.ask.Stated(holds).Possible() {
		box = x.stand.Alarm
	}
	truth := x.truth(holds, box)
	out.Certain = truth == expression.True
	out.Facts = x.seen(holds, box, truth)
	return out
}

// rowOf is the condition of the row that a table answers with.
func (x *explainer) rowOf(r *rules.Rule, out *Reason) expression.Ref {
	row, _ := x.ask.Choose(r.Choose.Answer)
	if row == nil {
		return r.Holds
	}
	out.Because = row.Because
	return row.When.Ref
}

func (x *explainer) truth(ref expression.Ref, box *expression.Box) expression.Truth {
	if box == x.stand.Alarm {
		return x.ask.Stated(ref)
	}
	return x.ask.Explore(ref)
}
