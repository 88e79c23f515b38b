package facts

import (
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// The codes of a list of cells.
const (
	CodeBadCount = "bad-count" // not a whole number of cells, or not a possible one
	CodeNoRows   = "no-rows"   // a list without entries
)

// MaxCount is the most alike cells one entry of a list may stand for.
const MaxCount = 100000

// An Entry is one row of a list: a case, and how many cells are like it.
type Entry struct {
	Case  *Case
	Count int // from 1 to MaxCount
	At    Position
}

// ParseList reads a list of cases from one YAML document: a list of mappings,
// each written like a case file, with count: N where several cells are alike.
// The error is of type Problems and lists everything that is wrong; then there
// are no entries.
func ParseList(cat *Catalogue, name string, data []byte) ([]Entry, error) {
	root, problems := decodeOne(name, data)
	if len(problems) > 0 {
		return nil, problems
	}
	top := &reader{cat: cat, file: name}
	if root == nil || isNull(root) {
		top.problems = append(top.problems, noRows(name))
		return nil, top.problems
	}
	if root.Kind != yaml.SequenceNode {
		top.add(root, problem(CodeNotList, "start each cell with - and its facts", "a list of cells is due, and this is %s", kindOf(root)))
		return nil, top.problems
	}
	if len(root.Content) == 0 {
		top.problems = append(top.problems, noRows(name))
		return nil, top.problems
	}
	var out []Entry
	for _, item := range root.Content {
		r := &reader{cat: cat, file: name, into: NewCase(cat, name), groups: map[string]int{}}
		e := Entry{Case: r.into, Count: 1, At: r.at(item)}
		if r.plain(item, 1) {
			r.entry(item, &e)
		}
		r.problems = append(r.problems, Contradictions(r.into)...)
		top.problems = append(top.problems, r.problems...)
		if len(top.problems) > maxProblems {
			break
		}
		out = append(out, e)
	}
	if len(top.problems) == 0 {
		return out, nil
	}
	top.problems.sort()
	return nil, top.problems[:min(len(top.problems), maxProblems)]
}

// entry reads one item of the list.
func (r *reader) entry(item *yaml.Node, e *Entry) {
	if item.Kind != yaml.MappingNode {
		r.add(item, problem(CodeNotMapping, "write - battery: and below it what you know", "a cell is groups and facts, and this is %s", kindOf(item)))
		return
	}
	counted := false
	r.pairs(item, func(key, value *yaml.Node) {
		switch {
		case key.Value == "count" && counted:
			r.add(key, problem(CodeDuplicate, "keep one of them", "count is stated twice"))
		case key.Value == "count":
			counted = true
			n, p := ParseCount(value.Value)
			if value.Kind != yaml.ScalarNode {
				p = problem(CodeBadCount, "write a whole number, such as 12", "count takes one number, and this is %s", kindOf(value))
			}
			if p != nil {
				r.add(value, p)
			}
			e.Count = n
		case strings.Contains(key.Value, "."):
			r.fact(key.Value, key, value)
		default:
			r.group(key, value)
		}
	})
}

// ParseCount reads how many cells are alike, from 1 to MaxCount. The Problem
// has no place; it is nil if there is none.
func ParseCount(text string) (int, *Problem) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	switch {
	case err != nil:
		return 0, problem(CodeBadCount, "write a whole number, such as 12", "%q is no count of cells", clip(text))
	case n < 1:
		return 0, problem(CodeBadCount, "leave the row out, or write how many there are", "a row of %d cells is not possible", n)
	case n > MaxCount:
		return 0, problem(CodeBadCount, "check it, or split the list", "a row stands for %d cells at most, and this says %d", MaxCount, n)
	}
	return n, nil
}

func noRows(name string) Problem {
	p := problem(CodeNoRows, "list at least one cell", "the list has no cells")
	p.At = Position{File: name, Line: 1, Column: 1}
	return *p
}
