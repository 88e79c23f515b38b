package sheet

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/why"
)

// The drawing has three columns: facts, rules, the answer. Weight and dashes
// carry what colour would: a heavy line is a rule without which the answer would
// be another, a dashed one acts because it may be true. Everything is grey.
const (
	factX, factW   = 10, 250
	ruleX, ruleW   = 330, 340
	answerX        = 740
	answerW        = 150
	drawingW       = 900
	boxGap         = 12
	lineH          = 15
	factColumns    = 36 // characters that fit a box
	ruleColumns    = 50
	answerColumns  = 20
	drawingMargins = 50
)

// svgBox is one box of the drawing.
type svgBox struct {
	lines  []string
	y, h   int
	dashed bool
	heavy  bool
}

func (b *svgBox) middle() int { return b.y + b.h/2 }

// WhySVG draws the rules that carry an answer: facts, rules, answer. The same
// explanation gives the same bytes.
func WhySVG(w io.Writer, x *why.Why) error {
	var facts, rules []*svgBox
	factOf := map[string]int{}
	type edge struct {
		fact, rule int
		dashed     bool
	}
	var edges []edge
	behind := map[int]string{}
	ruleOf := map[string]int{}
	for i, r := range x.Reasons {
		text := r.Rule + ": " + page.Clean(r.Because)
		ruleOf[r.Rule] = i
		rules = append(rules, newBox(text, ruleColumns, !r.Certain || r.Part == why.Offer, r.Part == why.Needed || r.Part == why.Joint))
		if r.Part == why.Behind {
			behind[i] = r.For
		}
		for _, f := range r.Facts {
			text := factName(f.Fact) + " = " + page.Clean(f.Value)
			if f.Why != "stated" {
				text += " (" + f.Why + ")"
			}
			at, known := factOf[text]
			if !known {
				at = len(facts)
				factOf[text] = at
				facts = append(facts, newBox(text, factColumns, f.Why == "not known" || f.Why == "presumed", false))
			}
			edges = append(edges, edge{at, i, !r.Certain})
		}
	}
	height := max(stack(facts), stack(rules), 80) + boxGap
	answer := newBox(capital(answerName(x.Answer))+": "+plain(x.Is), answerColumns, false, true)
	answer.y = (height-drawingMargins-answer.h)/2 + drawingMargins

	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" font-family="sans-serif" font-size="12">`+"\n",
		drawingW, height, drawingW, height)
	fmt.Fprintf(&out, "<title>%s</title>\n", escaped(page.Clean(x.Case)+": why "+x.Answer+" is "+x.Is))
	fmt.Fprintf(&out, "<rect width=\"%d\" height=\"%d\" fill=\"#ffffff\"/>\n", drawingW, height)
	for _, h := range []struct {
		x    int
		text string
	}{{factX, "What is known"}, {ruleX, "Rules that carry it"}, {answerX, "Answer"}} {
		fmt.Fprintf(&out, "<text x=\"%d\" y=\"28\" font-weight=\"bold\" fill=\"#000000\">%s</text>\n", h.x, h.text)
	}
	for _, e := range edges {
		line(&out, factX+factW, facts[e.fact].middle(), ruleX, rules[e.rule].middle(), false, e.dashed)
	}
	for i, r := range rules {
		if target, ok := ruleOf[behind[i]]; ok && behind[i] != "" {
			// A rule behind another joins it along the right edge of the column.
			fmt.Fprintf(&out, "<path d=\"M%d %d h14 V%d h-14\" fill=\"none\" stroke=\"#555555\"/>\n",
				ruleX+ruleW, r.middle(), rules[target].middle()+4)
			continue
		}
		line(&out, ruleX+ruleW, r.middle(), answerX, answer.middle(), r.heavy, r.dashed)
	}
	for _, b := range facts {
		b.draw(&out, factX, factW, "#ffffff")
	}
	for _, b := range rules {
		b.draw(&out, ruleX, ruleW, "#eeeeee")
	}
	answer.draw(&out, answerX, answerW, "#dddddd")
	out.WriteString("</svg>\n")
	_, err := io.WriteString(w, out.String())
	return err
}

func newBox(text string, columns int, dashed, heavy bool) *svgBox {
	lines := page.Clip(page.Wrap(text, columns), 5, columns)
	return &svgBox{lines: lines, h: len(lines)*lineH + 10, dashed: dashed, heavy: heavy}
}

// stack puts boxes below each other and returns where the last one ends.
func stack(boxes []*svgBox) int {
	y := drawingMargins
	for _, b := range boxes {
		b.y = y
		y += b.h + boxGap
	}
	return y
}

func (b *svgBox) draw(out *strings.Builder, x, w int, fill string) {
	fmt.Fprintf(out, "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" rx=\"3\" fill=\"%s\" stroke=\"#000000\" stroke-width=\"%s\"%s/>\n",
		x, b.y, w, b.h, fill, weight(b.heavy), dashes(b.dashed))
	for i, l := range b.lines {
		fmt.Fprintf(out, "<text x=\"%d\" y=\"%d\" fill=\"#000000\">%s</text>\n", x+6, b.y+lineH*(i+1), escaped(l))
	}
}

func line(out *strings.Builder, x1, y1, x2, y2 int, heavy, dashed bool) {
	fmt.Fprintf(out, "<line x1=\"%d\" y1=\"%d\" x2=\"%d\" y2=\"%d\" stroke=\"#555555\" stroke-width=\"%s\"%s/>\n",
		x1, y1, x2, y2, weight(heavy), dashes(dashed))
}

func weight(heavy bool) string {
	if heavy {
		return "2"
	}
	return "1"
}

func dashes(dashed bool) string {
	if dashed {
		return ` stroke-dasharray="5 3"`
	}
	return ""
}

func escaped(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a Builder never fails
	return b.String()
}
