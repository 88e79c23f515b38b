package listing

import (
	"fmt"
	"io"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/proof"
)

// lawText says what each law asks.
var lawText = map[string]string{
	proof.LawMonotone:  "nothing more is permitted when a fact gets worse",
	proof.LawUnknown:   "what is not known permits nothing",
	proof.LawDead:      "every rule and every row can hold",
	proof.LawMasked:    "no rule only repeats others",
	proof.LawDates:     "tables answer on every date, without a gap",
	proof.LawInvariant: "the statements of the invariants file",
}

// WriteProof prints what was proved, and every refutation with its case. files
// are the rule files that were laid over the shipped ones.
func WriteProof(w io.Writer, r *proof.Report, files []string, all bool) error {
	p := &page.Page{}
	p.Heading(ending(r))
	rows := []page.Row{}
	for _, law := range proof.Laws {
		proved, refuted, open := r.Count(law, proof.Proved), r.Count(law, proof.Refuted), r.Count(law, proof.Open)
		if proved+refuted+open == 0 {
			continue
		}
		text := fmt.Sprintf("%d proved", proved)
		if refuted > 0 {
			text += fmt.Sprintf(", %d REFUTED", refuted)
		}
		if open > 0 {
			text += fmt.Sprintf(", %d open", open)
		}
		rows = append(rows, page.Row{law, text + ": " + lawText[law]})
	}
	p.Rows("Laws", rows)
	p.Blank()
	p.Item(page.Plain, "", 0, fmt.Sprintf("%s over dates %s to %s: %d regions, %.1f s, %d at once.",
		counted(r), r.From, r.To, r.Regions, r.Millis/1000, r.Workers))
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Status != proof.Proved || all {
			writeFinding(p, f, files)
		}
	}
	return p.Write(w, nil)
}

func counted(r *proof.Report) string {
	text := fmt.Sprintf("%d rules", r.Rules)
	if r.ShopRules > 0 {
		text += fmt.Sprintf(", %d of them of a shop,", r.ShopRules)
	}
	return text
}

func ending(r *proof.Report) string {
	switch r.Status() {
	case proof.Refuted:
		return fmt.Sprintf("NOT proved: %d of %d questions are refuted", r.Count("", proof.Refuted), len(r.Findings))
	case proof.Open:
		return fmt.Sprintf("Not settled: %d of %d questions are open, none is refuted", r.Count("", proof.Open), len(r.Findings))
	}
	return fmt.Sprintf("Proved: all %d questions", len(r.Findings))
}

func writeFinding(p *page.Page, f *proof.Finding, files []string) {
	rows := []page.Row{{"How", page.Clean(f.How)}}
	add := func(name, text string) {
		if text != "" {
			rows = append(rows, page.Row{name, page.Clean(text)})
		}
	}
	add("Why it is asked", f.Because)
	add("Stands in", f.At)
	add("Broken by", strings.Join(f.By, ", "))
	add("The case shows", f.Run)
	rows = append(rows, page.Row{"Cost", fmt.Sprintf("%d regions, %.0f ms", f.Regions, f.Millis)})
	p.Rows(strings.ToUpper(string(f.Status[:1]))+string(f.Status[1:])+": "+f.Law+", "+page.Clean(f.What), rows)
	if f.Case == "" {
		return
	}
	p.Blank()
	over := ""
	for _, name := range files {
		over += " --rules " + page.Clean(name)
	}
	// A case is copied from the screen: it is not folded, and keeps its indents.
	p.Put(page.Plain, "# Ready to run: loosecell advise"+over+" --on "+f.On+" THIS-FILE.yaml")
	for line := range strings.SplitSeq(strings.TrimRight(f.Case, "\n"), "\n") {
		text := strings.TrimLeft(line, " ")
		p.Put(page.Plain, line[:len(line)-len(text)]+page.Clean(text))
	}
}
