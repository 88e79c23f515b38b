package facts

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	"gopkg.in/yaml.v3"
)

//go:embed catalogue/*.yaml
var shipped embed.FS

// groupFiles is the order of the catalogue, and so of every listing.
var groupFiles = []string{
	"job", "battery", "adhesive", "device", "bench", "shop", "store", "dispatch", "law", "derived", "answers",
}

// A Catalogue is the list of all facts.
type Catalogue struct {
	Facts  []Fact // catalogue order
	index  map[string]int
	groups []string // those with a fact that can be stated
	// presuming lists the facts with a presumption, by index.
	presuming []int
}

var parseShipped = sync.OnceValue(func() *Catalogue {
	cat, err := parseCatalogue(shipped, "catalogue")
	if err != nil {
		panic(fmt.Sprintf("facts: the built-in catalogue is broken: %v", err))
	}
	return cat
})

// Shipped returns the built-in catalogue, parsed once. It panics only if the
// program was built with a broken one.
func Shipped() *Catalogue { return parseShipped() }

// Lookup returns the fact of that name.
func (c *Catalogue) Lookup(name string) (*Fact, bool) {
	i, ok := c.index[name]
	if !ok {
		return nil, false
	}
	return &c.Facts[i], true
}

// Index returns the place of a fact in Facts, or len(Facts) if there is none.
func (c *Catalogue) Index(name string) int {
	if i, ok := c.index[name]; ok {
		return i
	}
	return len(c.Facts)
}

// Presuming returns the indexes of the facts that something may be presumed of,
// in catalogue order. The caller may not change the list.
func (c *Catalogue) Presuming() []int { return c.presuming }

// Groups returns the groups of facts a case file may state, in order.
func (c *Catalogue) Groups() []string { return slices.Clone(c.groups) }

// Of returns the facts of a group, in catalogue order.
func (c *Catalogue) Of(group string) []*Fact {
	var list []*Fact
	for i := range c.Facts {
		if c.Facts[i].Group() == group {
			list = append(list, &c.Facts[i])
		}
	}
	return list
}

// factEntry is a fact as the catalogue files write it.
type factEntry struct {
	Name      string            `yaml:"name"`
	Kind      string            `yaml:"kind"`
	Words     []string          `yaml:"words"`
	Ordered   bool              `yaml:"ordered"`
	Unit      string            `yaml:"unit"`
	Range     []float64         `yaml:"range"`
	Worse     string            `yaml:"worse"`
	Unseen    string            `yaml:"unseen"`
	Sign      bool              `yaml:"sign"`
	SeenBy    string            `yaml:"seen_by"`
	History   bool              `yaml:"history"`
	Settle    string            `yaml:"settle"`
	Shop      bool              `yaml:"shop_level"`
	Outside   bool              `yaml:"outside"`
	Synonyms  map[string]string `yaml:"synonyms"`
	Materials []string          `yaml:"materials"`
	Presume   []presumeEntry    `yaml:"presume"`
	Ask       string            `yaml:"ask"`
	Find      string            `yaml:"find"`
	StandIn   string            `yaml:"stand_in"`
	Minutes   float64           `yaml:"minutes"`
	Change    *changeEntry      `yaml:"change"`
	Derived   bool              `yaml:"derived"`
	Parents   map[string]int8   `yaml:"parents"`
	Stage     string            `yaml:"stage"`
	Note      string            `yaml:"note"`
	Source    string            `yaml:"source"`
}

type presumeEntry struct {
	When  map[string]string `yaml:"when"`
	Value string            `yaml:"value"`
	Note  string            `yaml:"note"`
}

type changeEntry struct {
	Text    string  `yaml:"text"`
	Minutes float64 `yaml:"minutes"`
	To      string  `yaml:"to"`
}

type groupEntry struct {
	Group string      `yaml:"group"`
	Facts []factEntry `yaml:"facts"`
}

func parseCatalogue(files fs.FS, dir string) (*Catalogue, error) {
	cat := &Catalogue{index: map[string]int{}}
	var presumptions [][]presumeEntry
	var unseen []string
	for _, name := range groupFiles {
		path := dir + "/" + name + ".yaml"
		data, err := fs.ReadFile(files, path)
		if err != nil {
			return nil, err
		}
		var group groupEntry
		dec := yaml.NewDecoder(bytes.NewReader(data))
		dec.KnownFields(true)
		if err := dec.Decode(&group); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		for _, e := range group.Facts {
			f, err := e.fact(group.Group)
			if err != nil {
				return nil, fmt.Errorf("%s: %s.%s: %w", path, group.Group, e.Name, err)
			}
			if _, twice := cat.index[f.Name]; twice {
				return nil, fmt.Errorf("%s: %s is declared twice", path, f.Name)
			}
			cat.index[f.Name] = len(cat.Facts)
			cat.Facts = append(cat.Facts, f)
			if f.Statable() && !slices.Contains(cat.groups, f.Group()) {
				cat.groups = append(cat.groups, f.Group())
			}
			presumptions = append(presumptions, e.Presume)
			unseen = append(unseen, e.Unseen)
		}
	}
	for i := range cat.Facts {
		if err := cat.finish(&cat.Facts[i], unseen[i], presumptions[i]); err != nil {
			return nil, fmt.Errorf("%s: %w", cat.Facts[i].Name, err)
		}
		if len(cat.Facts[i].Presume) > 0 {
			cat.presuming = append(cat.presuming, i)
		}
	}
	return cat, nil
}

// fact checks one entry as far as it can be checked alone.
func (e factEntry) fact(group string) (Fact, error) {
	f := Fact{
		Name: group + "." + e.Name, Words: e.Words, Ordered: e.Ordered, Unit: e.Unit,
		Sign: e.Sign, SeenBy: e.SeenBy, History: e.History, Settle: e.Settle,
		ShopLevel: e.Shop, Outside: e.Outside, Synonyms: e.Synonyms, Materials: e.Materials,
		Ask: e.Ask, Find: e.Find, StandIn: e.StandIn, Minutes: e.Minutes,
		Derived: e.Derived, Stage: e.Stage, Note: e.Note, Source: e.Source,
	}
	kind := e.Kind
	if kind == "" && len(e.Words) > 0 {
		kind = "words"
	}
	k := slices.Index(kindNames[:], kind)
	if k < 0 {
		return f, fmt.Errorf("kind %q is none of %s", kind, strings.Join(kindNames[:], ", "))
	}
	f.Kind = Kind(k)
	if len(f.Words) > 64 {
		return f, fmt.Errorf("%d words, at most 64", len(f.Words))
	}
	if e.Change != nil {
		f.Change = &Change{Text: e.Change.Text, Minutes: e.Change.Minutes, To: e.Change.To}
	}
	for name, sign := range e.Parents {
		f.Parents = append(f.Parents, Parent{Name: name, Sign: sign})
	}
	slices.SortFunc(f.Parents, func(a, b Parent) int { return strings.Compare(a.Name, b.Name) })
	switch e.Worse {
	case "higher":
		f.Worse = HigherWorse
	case "lower":
		f.Worse = LowerWorse
	case "":
	default:
		return f, fmt.Errorf("worse %q is neither higher nor lower", e.Worse)
	}
	if f.Ordered {
		f.Worse = HigherWorse
	}
	return f, f.bounds(e.Range)
}

// bounds sets the physical range.
func (f *Fact) bounds(given []float64) error {
	switch f.Kind {
	case Number, Count:
		if len(given) != 2 || given[0] >= given[1] {
			return errors.New("a number wants range: [lowest, highest]")
		}
		f.Min, f.Max = given[0], given[1]
		if f.Unit != "" && !KnownUnit(f.Unit) {
			return fmt.Errorf("unit %q is not known", f.Unit)
		}
	case Date:
		f.Min, f.Max = dayNumber(time.Date(1990, 1, 1, 0, 0, 0, 0, time.UTC)), dayNumber(time.Date(2100, 1, 1, 0, 0, 0, 0, time.UTC))
	}
	return nil
}

// finish checks what needs the whole catalogue, and parses the values in it.
func (c *Catalogue) finish(f *Fact, unseen string, presume []presumeEntry) error {
	for s, means := range f.Synonyms {
		for w := range strings.SplitSeq(means, "|") {
			if !slices.Contains(f.Words, strings.TrimSpace(w)) {
				return fmt.Errorf("synonym %q means %q, which is no word of the fact", s, w)
			}
		}
	}
	if f.Change != nil && f.Change.To != "" && f.Kind == Words && !slices.Contains(f.Words, f.Change.To) {
		return fmt.Errorf("change leads to %q, which is no word of the fact", f.Change.To)
	}
	for _, p := range f.Parents {
		if _, ok := c.index[p.Name]; !ok {
			return fmt.Errorf("parent %q is not in the catalogue", p.Name)
		}
	}
	if unseen != "" {
		v, err := f.parseText(unseen)
		if err != nil {
			return fmt.Errorf("unseen: %w", err)
		}
		if f.Unseen, err = v.seen(f); err != nil {
			return err
		}
	}
	for _, e := range presume {
		v, err := f.parseText(e.Value)
		if err != nil {
			return fmt.Errorf("presumption: %w", err)
		}
		needs, err := c.needs(e.When)
		if err != nil {
			return err
		}
		v.Origin = Presumed
		f.Presume = append(f.Presume, Presumption{When: e.When, Needs: needs, Value: e.Value, Means: v, Note: e.Note})
	}
	return nil
}

// needs looks up what a presumption depends on, in catalogue order.
func (c *Catalogue) needs(when map[string]string) ([]Need, error) {
	var out []Need
	for name, word := range when {
		g, ok := c.Lookup(name)
		if !ok {
			return nil, fmt.Errorf("presumption depends on %q, which is not in the catalogue", name)
		}
		n := Need{Fact: c.index[name], Any: word == "*"}
		if !n.Any {
			v, err := g.parseText(word)
			if err != nil {
				return nil, fmt.Errorf("presumption depends on: %w", err)
			}
			if g.Kind == Words {
				n.Words = v.Words
			}
		}
		out = append(out, n)
	}
	slices.SortFunc(out, func(a, b Need) int { return a.Fact - b.Fact })
	return out, nil
}

// seen narrows a parsed value to the single one an unseen fact takes.
func (v Value) seen(f *Fact) (*Seen, error) {
	switch f.Kind {
	case Words, Layers:
		for i, w := range f.Words {
			if v.Words == 1<<i {
				return &Seen{Word: w, Rank: i}, nil
			}
		}
	case Members:
		if v.Words == 0 {
			return &Seen{Rank: -1}, nil
		}
	case Number, Count, Date:
		if v.Low == v.High {
			return &Seen{Number: v.Low}, nil
		}
	}
	return nil, errors.New("unseen has to be one value")
}

// dayNumber returns the days from 1970-01-01 to the day of t.
func dayNumber(t time.Time) float64 { return math.Floor(float64(t.Unix()) / 86400) }
