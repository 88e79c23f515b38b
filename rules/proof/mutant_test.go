package proof_test

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// The classes of seeded faults.
var classes = []string{"drop", "threshold", "flip", "effect", "date"}

// mutant is one fault in one shipped rule file.
type mutant struct {
	class string
	what  string // file: rule or row: what was done
	file  int
	data  []byte
}

// carriage tells that the fault lies in a table of carriage.
func (m *mutant) carriage() bool { return strings.HasPrefix(m.what, "transport-") }

// mutants lists every fault of every class, in the order of the files.
func mutants(t *testing.T, files []book.File) []mutant {
	t.Helper()
	var out []mutant
	for i, f := range files {
		m := &mutator{file: i, original: f.Data, name: strings.TrimPrefix(f.Name, "shipped/")}
		m.walk(t)
		out = append(out, m.out...)
	}
	return out
}

// mutator walks one file. Each fault is made on a fresh copy of its tree.
type mutator struct {
	file     int
	name     string
	original []byte
	out      []mutant
}

func (m *mutator) tree(t *testing.T) *yaml.Node {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal(m.original, &doc); err != nil {
		t.Fatal(err)
	}
	return doc.Content[0]
}

// make applies a change to a fresh tree at a path and keeps the result.
func (m *mutator) make(t *testing.T, class, what string, path []int, change func(at *yaml.Node)) {
	t.Helper()
	root := m.tree(t)
	at := root
	for _, i := range path {
		at = at.Content[i]
	}
	change(at)
	var text bytes.Buffer
	enc := yaml.NewEncoder(&text)
	if err := enc.Encode(root); err != nil {
		t.Fatal(err)
	}
	m.out = append(m.out, mutant{class, m.name + ": " + what, m.file, text.Bytes()})
}

func child(n *yaml.Node, key string) (int, *yaml.Node) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return i + 1, n.Content[i+1]
		}
	}
	return -1, nil
}

func join(path []int, more ...int) []int { return append(slices.Clone(path), more...) }

func (m *mutator) walk(t *testing.T) {
	root := m.tree(t)
	if at, defines := child(root, "define"); defines != nil {
		for i := 1; i < len(defines.Content); i += 2 {
			m.condition(t, "define "+defines.Content[i-1].Value, defines.Content[i].Value, []int{at, i})
		}
	}
	at, list := child(root, "rules")
	if list == nil {
		return
	}
	for i, rule := range list.Content {
		_, id := child(rule, "id")
		m.rule(t, id.Value, rule, []int{at, i})
	}
}

func (m *mutator) rule(t *testing.T, id string, rule *yaml.Node, path []int) {
	m.make(t, "drop", id, path[:1], func(list *yaml.Node) { list.Content = slices.Delete(list.Content, path[1], path[1]+1) })
	if i, when := child(rule, "when"); when != nil {
		m.condition(t, id, when.Value, join(path, i))
	}
	m.dates(t, id, rule, path)
	m.effects(t, id, rule, path)
	c, choose := child(rule, "choose")
	if choose == nil {
		return
	}
	r, rows := child(choose, "rows")
	for j, row := range rows.Content {
		name := fmt.Sprintf("%s row %d", id, j+1)
		if _, rowID := child(row, "id"); rowID != nil {
			name = rowID.Value
		}
		at := join(path, c, r, j)
		if i, when := child(row, "when"); when != nil {
			m.condition(t, name, when.Value, join(at, i))
		}
		m.dates(t, name, row, at)
		if j == len(rows.Content)-1 {
			continue
		}
		m.make(t, "drop", name, at[:len(at)-1], func(list *yaml.Node) { list.Content = slices.Delete(list.Content, j, j+1) })
		if same(t, row, rows.Content[j+1]) {
			continue
		}
		m.make(t, "effect", name+": value swapped with the next row's", at[:len(at)-1], func(list *yaml.Node) {
			a, _ := child(list.Content[j], "value")
			b, _ := child(list.Content[j+1], "value")
			list.Content[j].Content[a], list.Content[j+1].Content[b] = list.Content[j+1].Content[b], list.Content[j].Content[a]
		})
	}
}

// same tells that two rows have the same value.
func same(t *testing.T, a, b *yaml.Node) bool {
	t.Helper()
	text := func(row *yaml.Node) string {
		_, v := child(row, "value")
		out, err := yaml.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	return text(a) == text(b)
}

var (
	quantity  = regexp.MustCompile(`'(-?[0-9.]+) ([^']+)'`)
	counts    = regexp.MustCompile(`(>=|<=|==|!=|<|>) ([0-9]+)\b`)
	ranked    = regexp.MustCompile(`([a-z_.]+) (>=|<=|<|>) '([a-z][a-z-]*)'`)
	operators = regexp.MustCompile(`>=|<=|==|!=| < | > | not in \[| in \[`)
	flips     = map[string]string{">=": "<", "<=": ">", "==": "!=", "!=": "==", " < ": " >= ", " > ": " <= ", " not in [": " in [", " in [": " not in ["}
)

// condition makes the faults of one condition: each threshold moved, each
// comparison turned round.
func (m *mutator) condition(t *testing.T, id, text string, path []int) {
	put := func(class, what, changed string) {
		m.make(t, class, id+": "+what, path, func(n *yaml.Node) { n.Value, n.Style = changed, yaml.DoubleQuotedStyle })
	}
	replace := func(at []int, with string) string { return text[:at[0]] + with + text[at[1]:] }
	for _, at := range quantity.FindAllStringSubmatchIndex(text, -1) {
		x, err := strconv.ParseFloat(text[at[2]:at[3]], 64)
		if err != nil {
			continue // a date
		}
		moved := x * 1.25
		if x == 0 {
			moved = 0.5
		}
		with := fmt.Sprintf("'%g %s'", moved, text[at[4]:at[5]])
		put("threshold", text[at[0]:at[1]]+" becomes "+with, replace(at[:2], with))
	}
	for _, at := range counts.FindAllStringSubmatchIndex(text, -1) {
		n, _ := strconv.Atoi(text[at[4]:at[5]])
		with := fmt.Sprintf("%s %d", text[at[2]:at[3]], n+1)
		put("threshold", text[at[0]:at[1]]+" becomes "+with, replace(at[:2], with))
	}
	for _, at := range ranked.FindAllStringSubmatchIndex(text, -1) {
		with, ok := nextWord(text[at[2]:at[3]], text[at[6]:at[7]])
		if ok {
			put("threshold", text[at[0]:at[1]]+" becomes "+with, replace(at[6:8], with))
		}
	}
	for _, at := range operators.FindAllStringIndex(text, -1) {
		put("flip", fmt.Sprintf("%s at %d becomes %s", strings.TrimSpace(text[at[0]:at[1]]), at[0], strings.TrimSpace(flips[text[at[0]:at[1]]])),
			replace(at, flips[text[at[0]:at[1]]]))
	}
}

// nextWord is the next worse word of an ordered fact, or the one before.
func nextWord(fact, word string) (string, bool) {
	for _, name := range []string{fact, "answer." + fact} {
		f, ok := facts.Shipped().Lookup(name)
		if !ok || !f.Ordered {
			continue
		}
		rank, ok := f.Word(word)
		switch {
		case !ok:
			return "", false
		case rank+1 < len(f.Words):
			return f.Words[rank+1], true
		}
		return f.Words[rank-1], true
	}
	return "", false
}

// dates drops a date and moves it by a year.
func (m *mutator) dates(t *testing.T, id string, n *yaml.Node, path []int) {
	for _, key := range []string{"from", "until"} {
		i, v := child(n, key)
		if v == nil {
			continue
		}
		m.make(t, "date", id+": without "+key, path, func(n *yaml.Node) { n.Content = slices.Delete(n.Content, i-1, i+1) })
		year, _ := strconv.Atoi(v.Value[:4])
		later := fmt.Sprintf("%d%s", year+1, v.Value[4:])
		m.make(t, "date", id+": "+key+" a year later", join(path, i), func(n *yaml.Node) { n.Value = later })
	}
}

// effects swaps what a rule does for something of the same kind.
func (m *mutator) effects(t *testing.T, id string, rule *yaml.Node, path []int) {
	if i, v := child(rule, "permit"); v != nil {
		m.make(t, "effect", id+": permits become restrictions", path, func(n *yaml.Node) {
			n.Content[i-1].Value = "restrict"
			n.Content[i] = &yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{{Kind: yaml.ScalarNode, Value: "forbid"}, n.Content[i]}}
		})
	}
	if i, v := child(rule, "restrict"); v != nil {
		m.restriction(t, id, i, v, path)
	}
	if i, v := child(rule, "grade"); v != nil {
		for j := 1; j < len(v.Content); j += 2 {
			fact := map[string]string{"condition": "answer.condition", "transport": "answer.transport_state"}[v.Content[j-1].Value]
			if word, ok := nextWord(fact, v.Content[j].Value); ok && word != "sound" && word != "not-damaged" {
				m.make(t, "effect", id+": grade "+v.Content[j].Value+" becomes "+word, join(path, i, j), func(n *yaml.Node) { n.Value = word })
			}
		}
	}
	if i, v := child(rule, "alarm"); v != nil {
		other := map[string]string{"stop": "evacuate", "evacuate": "stop"}[v.Content[1].Value]
		m.make(t, "effect", id+": alarm becomes "+other, join(path, i, 1), func(n *yaml.Node) { n.Value = other })
	}
	if i, v := child(rule, "fit"); v != nil {
		other := "fasteners"
		if v.Content[0].Value == other {
			other = "lift-film"
		}
		m.make(t, "effect", id+": fits "+other+" instead", join(path, i, 0), func(n *yaml.Node) { n.Value = other })
	}
	if i, v := child(rule, "hold"); v != nil {
		k, kind := child(v, "kind")
		other := map[string]string{"quick": "blocking", "blocking": "quick"}[kind.Value]
		m.make(t, "effect", id+": hold becomes "+other, join(path, i, k), func(n *yaml.Node) { n.Value = other })
	}
	if i, v := child(rule, "say"); v != nil {
		k, list := child(v, "list")
		other := rules.Lists[(slices.Index(rules.Lists, list.Value)+1)%len(rules.Lists)]
		m.make(t, "effect", id+": said under "+other, join(path, i, k), func(n *yaml.Node) { n.Value = other })
	}
}

func (m *mutator) restriction(t *testing.T, id string, i int, v *yaml.Node, path []int) {
	if k, list := child(v, "forbid"); list != nil {
		m.make(t, "effect", id+": the first permission is not forbidden", join(path, i, k), func(n *yaml.Node) {
			if len(n.Content) > 1 {
				n.Content = n.Content[1:]
				return
			}
			if n.Content[0].Value != "refit" {
				n.Content[0].Value = "refit"
			} else {
				n.Content[0].Value = "opening"
			}
		})
	}
	if k, caps := child(v, "cap"); caps != nil {
		for j := 1; j < len(caps.Content); j += 2 {
			number, unit, _ := strings.Cut(caps.Content[j].Value, " ")
			x, _ := strconv.ParseFloat(number, 64)
			with := fmt.Sprintf("%g %s", x*1.25+1, unit)
			m.make(t, "effect", id+": cap "+caps.Content[j].Value+" becomes "+with, join(path, i, k, j), func(n *yaml.Node) { n.Value = with })
		}
	}
}
