package sheet

import (
	"io"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/why"
)

// flipsShown is how many changes of each kind the text form tells; the JSON form
// has all.
const flipsShown = 6

// Why writes why an answer is what it is, why not the one beside it, what would
// change it and, for the verdict, what leads to proceed.
func Why(w io.Writer, x *why.Why) error {
	p, n := &page.Page{}, &notes{}
	p.Item(page.Banner, "", 0, capital(answerName(x.Answer))+" is "+plain(x.Is)+".")
	p.Bullets("WHY", whyReasons(x.Reasons, n))
	relaxed(p, x.Relaxations)
	p.Rows("WHY NOT", whyNot(x.Nearby))
	for _, kind := range []struct{ kind, heading string }{
		{why.Changeable, "WHAT YOU CAN CHANGE, AND IT WOULD BE"},
		{why.Measurable, "WHAT IS NOT KNOWN, AND IF IT TURNS OUT SO IT WOULD BE"},
		{why.Fixed, "WHAT IS AS IT IS, AND OTHERWISE IT WOULD BE"},
	} {
		p.Rows(kind.heading, whyFlips(x.Flips, kind.kind))
	}
	start(p, n, x.Start)
	sources(p, n)
	p.Blank()
	p.Item(page.Plain, "", 0, deference)
	return p.Write(w, nil)
}

// effectWords open a sentence by what the rule does.
var effectWords = map[string]string{"hold": "To be done first: ", "permit": "Offered: ", "fit": "It applies: "}

func whyReasons(reasons []why.Reason, n *notes) []string {
	var out []string
	for _, r := range reasons {
		text := effectWords[r.Effect] + sentence(r.Because)
		switch {
		case r.Part == why.Offer:
			text = "Not offered, because this is not so or not certain: " + sentence(r.Because)
		case r.Part == why.Behind:
			text = "And that is so because: " + sentence(r.Because)
		case r.Part == why.Enough && countPart(reasons, why.Enough) > 1:
			text += " This alone is enough."
		}
		out = append(out, strings.TrimSpace(text+" "+saw(r))+n.mark(r.Source)+" ("+r.Rule+")")
	}
	if len(out) == 0 {
		out = append(out, "No single rule carries it: nothing that would give another answer holds.")
	}
	return out
}

func countPart(reasons []why.Reason, part string) int {
	n := 0
	for _, r := range reasons {
		if r.Part == part {
			n++
		}
	}
	return n
}

// saw lists the facts that a rule saw.
func saw(r why.Reason) string {
	var known, open []string
	for _, f := range r.Facts {
		if strings.HasPrefix(f.Fact, "answer.") {
			continue
		}
		if f.Why == "not known" {
			open = append(open, factName(f.Fact))
			continue
		}
		text := factName(f.Fact) + " is " + page.Clean(f.Value)
		if f.Why != "stated" && f.Why != "worked out" {
			text += " (" + f.Why + ")"
		}
		known = append(known, text)
	}
	text := ""
	if len(known) > 0 {
		text = "Seen: " + strings.Join(known, ", ") + "."
	}
	if len(open) > 0 {
		text = strings.TrimSpace(text + " Not known: " + strings.Join(open, ", ") + ".")
	}
	return text
}

func whyNot(near []why.Nearby) []page.Row {
	var out []page.Row
	for _, x := range near {
		var said []string
		for i, text := range cleanAll(x.Why) {
			if i == 4 {
				said = append(said, "And more.")
				break
			}
			said = append(said, sentence(text))
		}
		out = append(out, page.Row{capital(plain(x.Is)), strings.Join(said, " ")})
	}
	return out
}

func whyFlips(flips []why.Flip, kind string) []page.Row {
	var out []page.Row
	for _, f := range flips {
		if why.KindOf(f) != kind || len(out) == flipsShown {
			continue
		}
		var parts []string
		for _, p := range f.Parts {
			text := factName(p.Fact) + " " + page.Clean(p.To)
			if p.From != "unknown" {
				text += " instead of " + page.Clean(p.From)
			}
			if p.Kind == why.Changeable && p.How != "" {
				text += ": " + strings.TrimSuffix(page.Clean(p.How), ".")
			}
			parts = append(parts, text)
		}
		out = append(out, page.Row{capital(plain(f.To)), strings.Join(parts, "; and ")})
	}
	return out
}

// start prints what leads to proceed.
func start(p *page.Page, n *notes, s *why.Start) {
	if s == nil || s.Verdict != "prepare" {
		return
	}
	var todo []string
	for _, item := range s.List {
		text := page.Clean(item.Text)
		if item.Minutes > 0 {
			text += " (" + minutes(item.Minutes) + ")"
		}
		todo = append(todo, text+n.mark(item.Source))
	}
	heading := "SAFE TO START, ONCE ALL OF THIS IS DONE AND FINDS NOTHING"
	if !s.Reaches {
		heading = "THIS CAN BE DONE, AND IT IS NOT ENOUGH TO START"
	}
	numbered(p, heading, todo)
	if s.Minutes > 0 && s.Reaches {
		p.Item(page.Plain, "", 0, "About "+minutes(s.Minutes)+" in all; then: "+rung(s.Rung)+".")
	}
}
