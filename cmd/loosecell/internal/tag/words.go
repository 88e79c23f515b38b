package tag

import (
	"fmt"
	"html"
	"html/template"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
)

// capShare is the least height of a capital over the size of its font, among
// the fonts that a machine may put in the place of ours (common practice: 0.66
// for Times, 0.72 for Arial).
const capShare = 0.66

// capWide is the most width of a capital over the size, on average over a word.
const capWide = 0.75

// bigWords draws a text in capitals at least high mm tall, in lines no wider
// than wide mm. A line that a wide font would run over is pressed together, so
// the height holds whatever the font.
func bigWords(text string, high, wide float64) template.HTML {
	size := high / capShare
	lines := brokenLines(page.Clean(text), int(wide/(size*0.62)))
	step := size * 1.12
	var out strings.Builder
	fmt.Fprintf(&out, `<svg class="words" width="%.1fmm" height="%.1fmm" viewBox="0 0 %.1f %.1f">`, wide, step*float64(len(lines)), wide, step*float64(len(lines)))
	for i, line := range lines {
		press := ""
		if float64(len([]rune(line)))*size*capWide > wide {
			press = fmt.Sprintf(` textLength="%.1f" lengthAdjust="spacingAndGlyphs"`, wide-2)
		}
		fmt.Fprintf(&out, `<text x="1" y="%.2f" font-size="%.2f"%s>%s</text>`, step*float64(i)+size*0.86, size, press, html.EscapeString(line))
	}
	out.WriteString("</svg>")
	return template.HTML(out.String())
}

// brokenLines breaks a text at spaces and slashes into lines of at most n
// characters; a longer word stays whole.
func brokenLines(text string, n int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(strings.ReplaceAll(text, "/", "/ ")) {
		joint := " "
		if strings.HasSuffix(line, "/") {
			joint = ""
		}
		switch {
		case line == "":
			line = word
		case len(line)+len(joint)+len(word) <= n:
			line += joint + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	return append(lines, line)
}
