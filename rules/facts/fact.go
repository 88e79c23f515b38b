package facts

import "strings"

// Kind says what sort of value a fact takes.
type Kind uint8

// The kinds of a fact.
const (
	Words   Kind = iota // one word of a list; yes/no facts are Words too
	Number              // a quantity with a unit, or dimensionless
	Count               // a whole number
	Members             // several words at once
	Text                // free text, printed and never decided on
	Date                // a calendar day, held as days since 1970-01-01
	Layers              // a named stack of materials, or a list of layers
)

var kindNames = [...]string{"words", "number", "count", "members", "text", "date", "layers"}

// String returns the catalogue's word for the kind.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "no kind"
}

// Worse says which way a fact grows more dangerous.
type Worse int8

// The directions of a fact.
const (
	LowerWorse  Worse = -1
	NoOrder     Worse = 0
	HigherWorse Worse = +1
)

// The stages at which an answer slot comes to stand.
const (
	StageDecide = "decide"
	StagePlan   = "plan"
)

// When a fact has to be known: before work starts, or as a numbered step in it.
const (
	SettleBefore = "before"
	SettleDuring = "during"
)

// A Fact is one entry of the catalogue.
type Fact struct {
	Name    string   // "battery.rest_voltage"
	Kind    Kind     //
	Words   []string // Words, Members: the words; Layers: the named stacks
	Ordered bool     // Words runs from least to most hazardous
	Unit    string   // canonical unit of Low, High, Min and Max; "" if dimensionless

	Min, Max float64 // physical range in Unit (Date: days since 1970-01-01)
	Worse    Worse   // ordered Words: HigherWorse, the index being the hazard rank

	Unseen  *Seen  // value taken in the alarm box when nobody states the fact
	Sign    bool   // a sign on the cell
	SeenBy  string // signs: the weakest battery.looked word that can show it
	History bool   // settled by battery.history_asked
	Settle  string // SettleBefore or SettleDuring

	ShopLevel bool // may be stated in a shop file
	Outside   bool // set by the command, never stated in a file (law.date)

	Synonyms  map[string]string // accepted word -> catalogue word, or "a | b"
	Materials []string          // Layers: the materials a layer may be made of
	Presume   []Presumption     // cautious values when nobody states the fact

	Ask     string  // the question, as one asks a person
	Find    string  // how to find out without harm
	StandIn string  // a cheap observation that stands in
	Minutes float64 // minutes to find out
	Change  *Change // what a person can do about it; nil if it is as it is

	Derived bool     // computed, never stated
	Parents []Parent // what a derived fact is computed from
	Stage   string   // answer slots: StageDecide or StagePlan

	Note, Source string
}

// Seen is the value a fact takes when nobody states it and alarms are weighed.
type Seen struct {
	Word   string  // Words, Layers: the word; "" otherwise
	Rank   int     // Words, Layers: its index; Members: -1, the empty set
	Number float64 // Number, Count: in the fact's unit; Date: days
}

// A Presumption is a documented cautious value for a fact nobody stated.
type Presumption struct {
	When  map[string]string // fact -> word, "a | b", or "*" for anything stated
	Needs []Need            // When, looked up, in catalogue order
	Value string            // as written in a case file
	Means Value             // Value, parsed
	Note  string            // where the presumption comes from
}

// A Need is one thing a presumption depends on.
type Need struct {
	Fact  int    // index in the catalogue
	Any   bool   // anything stated will do
	Words uint64 // else one of these; none if the fact is not one of words
}

// A Change is what a person can do to a fact.
type Change struct {
	Text    string  // "Put on goggles."
	Minutes float64 //
	To      string  // the word the fact then has; "" if it has to be read again
}

// A Parent is an input of a derived fact. Sign +1: grows with it, -1: falls
// with it, 0: neither.
type Parent struct {
	Name string
	Sign int8
}

// Group returns the part of the name before the dot: "battery".
func (f *Fact) Group() string { g, _, _ := strings.Cut(f.Name, "."); return g }

// Key returns the part of the name after the dot: "rest_voltage".
func (f *Fact) Key() string { _, k, _ := strings.Cut(f.Name, "."); return k }

// Statable reports whether a case file may state the fact.
func (f *Fact) Statable() bool { return !f.Derived && f.Stage == "" && !f.Outside }

// YesNo reports whether the fact is answered by yes or no.
func (f *Fact) YesNo() bool {
	return f.Kind == Words && len(f.Words) == 2 &&
		(f.Words[0] == "yes" && f.Words[1] == "no" || f.Words[0] == "no" && f.Words[1] == "yes")
}

// All returns the set of all words of the fact, one bit a word.
func (f *Fact) All() uint64 { return 1<<len(f.Words) - 1 }

// Word resolves s, a catalogue word or a synonym of exactly one word, to its
// index in Words. A synonym that stands for a set is not one word: ok is false.
func (f *Fact) Word(s string) (rank int, ok bool) {
	set, ok := f.Set(s)
	if !ok || set == 0 || set&(set-1) != 0 {
		return 0, false
	}
	for rank = 0; set > 1; rank++ {
		set >>= 1
	}
	return rank, true
}

// Set resolves s, a catalogue word or a synonym, to the set of words it may
// mean. Letter case, and a space or underscore for a hyphen, do not matter;
// anything else in the spelling does: a word is never guessed.
func (f *Fact) Set(s string) (set uint64, ok bool) {
	for i, w := range f.Words {
		if w == s {
			return 1 << i, true
		}
	}
	s = plainWord(s)
	for i, w := range f.Words {
		if w == s {
			return 1 << i, true
		}
	}
	if f.YesNo() {
		switch s {
		case "true":
			return f.Set("yes")
		case "false":
			return f.Set("no")
		}
	}
	means, ok := f.Synonyms[s]
	if !ok {
		return 0, false
	}
	for w := range strings.SplitSeq(means, "|") {
		for i, known := range f.Words {
			if known == strings.TrimSpace(w) {
				set |= 1 << i
			}
		}
	}
	return set, set != 0
}

// plainWord brings a word to the catalogue's spelling of case and joints.
func plainWord(s string) string { return joints.Replace(strings.ToLower(strings.TrimSpace(s))) }

var joints = strings.NewReplacer(" ", "-", "_", "-")
