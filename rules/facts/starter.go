package facts

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
)

// StarterKinds are the kinds of starter file there are.
var StarterKinds = []string{"phone", "tablet", "laptop", "earbud", "earbud-case", "watch", "handheld", "power-bank", "other", "shop"}

// starterWidth is the widest line of a starter file.
const starterWidth = 88

// Starter returns a commented file to begin with: a case for a kind of device,
// or a shop file. It parses as it stands, and so does every line of it once its
// comment sign is taken away: what is not yet filled in reads as unknown.
func Starter(cat *Catalogue, kind string) ([]byte, error) {
	if !slices.Contains(StarterKinds, kind) {
		fix := "use " + orList(StarterKinds)
		if near := nearest(kind, StarterKinds); near != "" {
			fix = "did you mean " + near + "? " + fix
		}
		return nil, problem(CodeUnknownWord, fix, "there is no starter for %q", clip(kind))
	}
	s := &starter{cat: cat, given: map[string]string{}}
	switch kind {
	case "shop":
		s.comment("# ", "What does not change from case to case at this bench.")
		s.comment("# ", "Take the # from a line and fill it in. What is left out counts as unknown, and unknown never permits.")
		s.groups(func(f *Fact) bool { return f.ShopLevel }, false)
	case "power-bank":
		s.given["battery.role"], s.given["device.kind"] = "power-bank", "other"
		s.caseFile("power bank")
	case "other":
		s.given["device.kind"] = kind
		s.caseFile("device of another kind")
	default:
		s.given["device.kind"] = kind
		s.caseFile(strings.ReplaceAll(kind, "-", " "))
	}
	return s.out.Bytes(), nil
}

type starter struct {
	cat   *Catalogue
	given map[string]string // facts that are stated, not commented
	out   bytes.Buffer
}

func (s *starter) caseFile(what string) {
	s.comment("# ", "What is known of one "+what+".")
	s.comment("# ", "Take the # from a line and fill it in. What is left out counts as unknown, and unknown never permits. "+
		"Where a line says so, a cautious value is presumed; write unknown to cancel it.")
	s.comment("# ", "Ranges: 3.70..3.85 V, 3.7 V.., ..45 degC, 3.80 +- 0.02 V. One of several: lco | nmc.")
	s.groups(func(f *Fact) bool {
		return s.given[f.Name] != "" || f.Settle == SettleBefore && f.Statable()
	}, true)
	s.out.WriteByte('\n')
	s.comment("# ", "There are more facts; the facts command lists them all.")
}

// groups writes the wanted facts. In a case, what a shop file may say takes one
// line each.
func (s *starter) groups(want func(*Fact) bool, inCase bool) {
	for _, group := range s.cat.Groups() {
		var list []*Fact
		for _, f := range s.cat.Of(group) {
			if want(f) {
				list = append(list, f)
			}
		}
		if len(list) == 0 {
			continue
		}
		fmt.Fprintf(&s.out, "\n%s:\n", group)
		if inCase && list[0].ShopLevel {
			s.comment("  # ", "These may stand in a shop file instead, once for all cases.")
		}
		for i, f := range list {
			brief := inCase && f.ShopLevel
			if i > 0 && !brief {
				s.out.WriteByte('\n')
			}
			s.fact(f, brief)
		}
	}
}

func (s *starter) fact(f *Fact, brief bool) {
	if brief {
		s.line(f, "  # "+f.Ask)
		return
	}
	s.comment("  # ", f.Ask)
	if f.Find != "" {
		s.comment("  #   ", f.Find)
	}
	if note := s.presumed(f); note != "" {
		s.comment("  #   ", note)
	}
	if f.Kind == Members {
		s.comment("  #   ", "A list of: "+strings.Join(f.Words, ", ")+".")
	}
	s.line(f, "")
}

// line writes the fact itself, commented out unless it is given.
func (s *starter) line(f *Fact, tail string) {
	if value, ok := s.given[f.Name]; ok {
		fmt.Fprintf(&s.out, "  %s: %s%s\n", f.Key(), value, tail)
		return
	}
	value, hint := f.placeholder()
	if hint != "" && tail == "" {
		tail = "  # " + hint
	}
	fmt.Fprintf(&s.out, "  # %s: %s%s\n", f.Key(), value, tail)
}

// placeholder is a value that claims nothing, and a hint what to write instead.
func (f *Fact) placeholder() (value, hint string) {
	switch f.Kind {
	case Words:
		return strings.Join(f.Words, " | "), ""
	case Layers:
		return strings.Join(f.Words, " | "), "or a list of {material: glass, thickness: 0.7 mm}"
	case Members:
		return "unknown", ""
	case Number:
		return "unknown", "in " + fitting(f.Unit)
	case Count:
		return "unknown", "a whole number"
	case Date:
		return "unknown", "a date such as 2026-11-24"
	default:
		return "unknown", ""
	}
}

// presumed says what is presumed of the fact in this file if nobody states it.
func (s *starter) presumed(f *Fact) string {
	for _, p := range f.Presume {
		holds := true
		for name, want := range p.When {
			given, ok := s.given[name]
			holds = holds && ok && (want == "*" || slices.Contains(strings.Split(want, " | "), given))
		}
		if holds && s.given[f.Name] == "" {
			return "Presumed if left out: " + p.Value + "."
		}
	}
	return ""
}

// comment writes text as comment lines no wider than the page.
func (s *starter) comment(lead, text string) {
	line := lead
	for word := range strings.FieldsSeq(text) {
		if len(line)+1+len(word) > starterWidth && line != lead {
			s.out.WriteString(strings.TrimRight(line, " ") + "\n")
			line = lead
		}
		line += word + " "
	}
	s.out.WriteString(strings.TrimRight(line, " ") + "\n")
}
