package book

import (
	_ "embed"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
	"loosecell/rules/source"
)

//go:embed invariants.yaml
var shippedInvariants []byte

// Invariant is a statement about a whole rulebook that has to hold whatever the
// case: under a condition something is never, or always, answered.
type Invariant struct {
	ID      string
	When    expression.Condition
	Always  bool // else never
	Claim   Claim
	Because string
	Sources []source.Citation
	At      facts.Position
}

// Claim is what an invariant is about; exactly one of its fields is set.
type Claim struct {
	Permit []rules.Permission // permitted
	Offer  []rules.Permission // some rule offers it, forbidden or not
	Forbid []rules.Permission // some restriction stands against it, offered or not
	Alarm  string             // stop or evacuate, or worse
	Grade  *rules.Grade       // graded at least so
	Caps   map[string]float64 // capped at this or less
	Hold   []string           // something holds the verdict that waits for one of these facts
	Kind   string             // … and is of this kind, quick or blocking; "" any
	Says   []string           // each of these rules or rows speaks
	Fit    []string           // rungs that apply
	Answer string             // a table's answer …
	Values []string           // … is one of these words
}

// ShippedInvariants is the file of statements that the shipped rules are held to.
func ShippedInvariants() File { return File{Name: "shipped/invariants.yaml", Data: shippedInvariants} }

// Invariants reads files of statements in a book's own language: its facts, its
// named conditions, its permissions. Conditions are added to the arena, which
// holds those of the book already. The error is facts.Problems.
func Invariants(b *rules.Book, a *expression.Arena, files ...File) ([]Invariant, error) {
	r := &reader{cat: facts.Shipped(), sources: source.Shipped(), ids: map[string]facts.Position{}}
	l := newLinker(r, a)
	l.compiler.Names = finished{b, l.compiler}
	in := &invariantReader{linker: l, book: b}
	for _, f := range files {
		in.file(f)
	}
	if len(r.problems) > 0 {
		return nil, r.sorted()
	}
	return in.out, nil
}

// Compile reads one condition in the language of a finished book.
func Compile(b *rules.Book, a *expression.Arena, text string) (expression.Condition, error) {
	c := expression.NewCompiler(a, facts.Shipped(), nil)
	c.Names = finished{b, c}
	return c.Compile(text)
}

// finished resolves the names of a book that has been read.
type finished struct {
	book     *rules.Book
	compiler *expression.Compiler
}

func (f finished) Named(name string) (expression.Condition, bool, error) {
	c, ok := f.book.Named[name]
	return c, ok, nil
}

func (f finished) Grades(name string) ([]string, bool) { return gradeWords(facts.Shipped(), name) }

func (f finished) Graded(name string, rank int) (expression.Condition, error) {
	var any []expression.Condition
	for i := range f.book.Rules() {
		r := &f.book.Rules()[i]
		if r.Grade == nil {
			continue
		}
		got := r.Grade.Condition
		if strings.HasPrefix(name, "transport") {
			got = r.Grade.Transport
		}
		if got >= rank {
			any = append(any, expression.Condition{Ref: r.Holds})
		}
	}
	return f.compiler.AnyOf(any...), nil
}

type invariantReader struct {
	*linker
	book  *rules.Book
	lists map[string][]rules.Permission
	out   []Invariant
}

func (in *invariantReader) file(f File) {
	if len(f.Data) > MaxBytes {
		in.report(f.Name, nil, CodeTooLarge, "split it", "the file is larger than %d bytes", MaxBytes)
		return
	}
	p := parse(f.Data)
	top := in.whole(f, &p, "invariants:")
	if top == nil {
		return
	}
	in.lists = map[string][]rules.Permission{}
	in.mapping(f.Name, top, func(key string, k, v *yaml.Node) {
		switch key {
		case "lists":
			in.mapping(f.Name, v, func(name string, _, v *yaml.Node) { in.lists[name] = in.listed(f.Name, v) })
		case "invariants":
			if v.Kind != yaml.SequenceNode {
				in.report(f.Name, v, CodeShape, "start each statement with - id:", "invariants wants a list")
				return
			}
			for _, item := range v.Content {
				in.statement(f.Name, item)
			}
		default:
			in.report(f.Name, k, CodeUnknownKey, "use lists or invariants", "%q is no key of a file of invariants", key)
		}
	})
}

// listed reads permissions and the names of lists of them.
func (in *invariantReader) listed(file string, v *yaml.Node) []rules.Permission {
	var out []rules.Permission
	for _, n := range in.words(file, v) {
		if more, ok := in.lists[n.Value]; ok {
			out = append(out, more...)
			continue
		}
		p := rules.Permission(n.Value)
		if !p.Known() {
			in.report(file, n, CodePermission, "", "there is no permission or list %q", n.Value)
			continue
		}
		if !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return out
}

func (in *invariantReader) statement(file string, n *yaml.Node) {
	s := Invariant{At: facts.Position{File: file, Line: n.Line, Column: n.Column}}
	before := in.found
	claims := 0
	s.When = in.condition(file, nil)
	in.mapping(file, n, func(key string, k, v *yaml.Node) {
		switch key {
		case "id":
			s.ID = in.id(file, v)
		case "when":
			s.When = in.condition(file, v)
		case "never", "always":
			s.Always = key == "always"
			claims += in.claim(file, &s.Claim, v)
		case "because":
			s.Because = in.text(file, v)
		case "source":
			s.Sources = in.cite(file, v)
		default:
			in.report(file, k, CodeUnknownKey, "use id, when, never, always, because or source", "%q is no key of a statement", key)
		}
	})
	if in.found > before {
		return
	}
	switch {
	case s.ID == "":
		in.report(file, n, CodeMissing, "add id: some-name", "the statement has no id")
	case claims != 1:
		in.report(file, n, CodeInvariant, "write one never: {…} or always: {…} with one claim", "statement %s makes %d claims", s.ID, claims)
	case s.Because == "" || len(s.Sources) == 0:
		in.report(file, n, CodeMissing, "add because: and source:", "statement %s gives no reason or source", s.ID)
	default:
		in.out = append(in.out, s)
	}
}

// claim reads one claim and returns how many it found.
func (in *invariantReader) claim(file string, c *Claim, v *yaml.Node) int {
	n := 0
	in.mapping(file, v, func(key string, k, v *yaml.Node) {
		n++
		switch key {
		case "permit":
			c.Permit = in.listed(file, v)
		case "offer":
			c.Offer = in.listed(file, v)
		case "forbid":
			c.Forbid = in.listed(file, v)
		case "alarm":
			c.Alarm = v.Value
			if v.Value != "stop" && v.Value != "evacuate" {
				in.report(file, v, CodeVerdict, "use stop or evacuate", "%q is no alarm", v.Value)
			}
		case "grade":
			c.Grade = in.grade(file, v)
		case "cap":
			c.Caps = map[string]float64{}
			in.mapping(file, v, func(name string, k, v *yaml.Node) { in.cap(file, c.Caps, name, k, v) })
		case "hold":
			for _, w := range in.words(file, v) {
				if f, ok := in.cat.Lookup(w.Value); !ok || !f.Statable() {
					in.report(file, w, CodeHold, "name a fact that a case can state", "a hold cannot wait for %q", w.Value)
				}
				c.Hold = append(c.Hold, w.Value)
			}
		case "kind":
			n--
			c.Kind = v.Value
		case "says":
			for _, w := range in.words(file, v) {
				if _, ok := in.book.Spoken(w.Value); !ok {
					in.report(file, w, CodeInvariant, "'loosecell rules list' has them all", "there is no rule or row %q", w.Value)
				}
				c.Says = append(c.Says, w.Value)
			}
		case "fit":
			c.Fit = in.rungs(file, v)
		case "answer":
			c.Answer = v.Value
		case "value":
			n--
			for _, w := range in.words(file, v) {
				c.Values = append(c.Values, w.Value)
			}
		default:
			in.report(file, k, CodeUnknownKey, "use permit, offer, forbid, alarm, grade, cap, hold and kind, says, fit, or answer and value", "%q is no claim", key)
		}
	})
	return n
}
