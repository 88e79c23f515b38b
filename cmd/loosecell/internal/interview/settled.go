package interview

import (
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
	"loosecell/rules/inquiry"
)

// SettledLine is where a case stands, in one line; "" for a shop.
func SettledLine(s *advice.Standing) string {
	if s == nil {
		return ""
	}
	way := "way out not settled"
	switch s.Pick {
	case "undecided":
	case "already-out":
		way = "the cell is out"
	case "leave-in-and-refer":
		way = "leave it in"
	default:
		way = "way out: " + plain(s.Pick)
	}
	return strings.ToUpper(s.Verdict) + ", " + way + ", grade " + s.Condition
}

func plain(word string) string { return strings.ReplaceAll(word, "-", " ") }

// ShownLines are all answers so far, and what they rest on.
func ShownLines(s Source) []string {
	var out []string
	if standing, err := s.Settled(); err == nil && standing != nil {
		out = append(out, "So far, as long as the rest is not known:")
		for _, a := range standing.Answers() {
			if a[1] != "" {
				out = append(out, "  "+strings.NewReplacer(".", " ", "_", " ", "-", " ").Replace(a[0])+": "+plain(a[1]))
			}
		}
	}
	if len(s.Case().Values) == 0 {
		return append(out, "Nothing is noted yet.")
	}
	out = append(out, "Noted:")
	for line := range strings.SplitSeq(strings.TrimRight(string(s.Case().YAML()), "\n"), "\n") {
		indent := "  "
		if strings.HasPrefix(line, " ") {
			indent = "    "
		}
		out = append(out, indent+page.Clean(line))
	}
	return out
}

// HelpLines say how to find the answer out without harm, what stands in for it,
// and what the case file calls it.
func HelpLines(q *inquiry.Question) []string {
	var out []string
	if q.Find != "" {
		out = append(out, "How: "+q.Find)
	}
	if q.StandIn != "" {
		out = append(out, "Or instead: "+q.StandIn)
	}
	if q.Fact != nil {
		out = append(out, "In the case file it is "+q.Fact.Name+".")
	}
	return out
}

// format says how a fact is written.
func format(f *facts.Fact) string {
	switch f.Kind {
	case facts.Number:
		return "a number with its unit (" + unit(f) + "), or a range such as " + example(f) + ". Not sure is a range too."
	case facts.Count:
		return "a whole number, or a range such as 1..2."
	case facts.Members:
		return "the numbers or words of what is there, as in 1 3; 0 if none is."
	case facts.Date:
		return "a date such as 2026-11-24."
	case facts.Text:
		return "one line of text."
	}
	return "one of the words."
}

func unit(f *facts.Fact) string {
	if f.Unit == "" {
		return "none"
	}
	return f.Unit
}

// example is a range around what is unremarkable for a fact.
func example(f *facts.Fact) string {
	if f.Unseen == nil {
		return "1.." + facts.FormatQuantity(2, 2, f.Unit)
	}
	x := f.Unseen.Number
	low, high := x*0.9, x*1.1
	if x == 0 {
		high = 1
	}
	round := func(x float64) float64 { return float64(int(x*100+0.5)) / 100 }
	return facts.FormatQuantity(min(round(low), round(high)), max(round(low), round(high)), f.Unit)
}
