package sheet

import (
	"path"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// firstScreen is how many lines a bench terminal shows at once: the verdict,
// the reason, the minutes and the next two actions stay within it, which the
// limits below add up to.
const firstScreen = 24

const (
	reasonLines = 6
	timeLines   = 3
	actionLines = 4
)

// subject names the case's file, the job and its ticket.
func subject(a *advice.Advice) string {
	parts := cleanAll([]string{path.Base("/" + a.Case), a.JobID, a.Ticket})
	seen := map[string]bool{}
	out := ""
	for _, part := range parts {
		if part != "/" && !seen[part] {
			seen[part] = true
			out += "  |  " + part
		}
	}
	return out
}

// banner prints the verdict between two rules, then what the sheet is about.
func banner(p *page.Page, a *advice.Advice, means string) {
	edge := strings.Repeat("=", page.Width)
	p.Put(page.Plain, edge)
	verdict := strings.ToUpper(page.Clean(a.Verdict))
	p.ItemAtMost(page.Banner, verdict, page.Cells(verdict)+3, means, 2)
	p.Put(page.Plain, edge)
	about := strings.TrimPrefix(subject(a)+"  |  "+page.Clean(a.Date), "  |  ")
	about += "  |  to " + plain(a.Goal) + "  |  grade: " + plain(a.Condition)
	p.ItemAtMost(page.Plain, "", 0, about, 2)
	p.Blank()
}

func because(p *page.Page, a *advice.Advice) {
	p.ItemAtMost(page.Strong, "", 0, sentence(a.Because), reasonLines)
	p.Blank()
}

// actions prints the next two things to do, shortened where they are long;
// the numbered list below has them in full.
func actions(p *page.Page, first string, todo []string) {
	marks := []string{first, "Then"}
	for i, text := range todo {
		if i == len(marks) {
			break
		}
		p.ItemAtMost(page.Strong, marks[i], 7, text, actionLines)
	}
}

// numbered prints a list in the order in which it is done.
func numbered(p *page.Page, heading string, texts []string) {
	if len(texts) == 0 {
		return
	}
	p.Heading(heading)
	width := len(strconv.Itoa(len(texts))) + 2
	for i, text := range texts {
		p.Item(page.Plain, strconv.Itoa(i+1)+".", width+1, text)
	}
}

func stepTexts(steps []advice.Step, n *notes) []string {
	var out []string
	for _, s := range steps {
		out = append(out, n.cite(s.Text, s.Source))
	}
	return out
}

func citeAll(n *notes, lines []advice.Line) []string {
	var out []string
	for _, l := range lines {
		out = append(out, n.cite(l.Text, l.Source))
	}
	return out
}
