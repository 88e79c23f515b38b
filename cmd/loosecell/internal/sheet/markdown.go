package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
)

// Markdown writes the sheets as CommonMark with tables, for a wiki or a ticket.
// It has the words of the HTML form and no pictures; every text of a case or a
// rulebook is escaped, so that it stays text.
func Markdown(w io.Writer, sheets []Sheet) error {
	var out strings.Builder
	for i, s := range sheets {
		p, err := layOut(fmt.Sprintf("s%d", i+1), Sheet{Advice: s.Advice, Place: s.Place})
		if err != nil {
			return err
		}
		if i > 0 {
			out.WriteString("\n---\n\n")
		}
		p.markdown(&out)
	}
	_, err := io.WriteString(w, out.String())
	return err
}

func (out *paper) markdown(b *strings.Builder) {
	fmt.Fprintf(b, "# %s: %s\n", marked(out.Verdict), marked(out.Means))
	markdownRows(b, out.About)
	if out.Because != "" {
		fmt.Fprintf(b, "\n**%s**\n", marked(out.Because))
	}
	markdownList(b, out.Lines, true)
	if len(out.First) > 0 {
		b.WriteString("\n## First\n")
		markdownList(b, out.First, true)
		if out.Time != "" {
			markdownRows(b, []page.Row{{"Time", out.Time}, {"How", out.How}})
		}
	}
	for _, one := range slices.Concat(out.Front, out.Back, out.Tables) {
		one.markdown(b)
	}
	if len(out.Sources) > 0 {
		b.WriteString("\n## Sources\n")
		markdownList(b, out.Sources, true)
	}
	if out.Deference != "" {
		fmt.Fprintf(b, "\n**%s**\n", marked(out.Deference))
	}
}

func (one block) markdown(b *strings.Builder) {
	fmt.Fprintf(b, "\n## %s\n", marked(one.Heading))
	if one.Intro != "" {
		fmt.Fprintf(b, "\n%s\n", marked(one.Intro))
	}
	markdownList(b, one.Numbered, true)
	markdownList(b, one.Bullets, false)
	markdownRows(b, one.Rows)
	if len(one.Table) > 0 {
		b.WriteByte('\n')
		markdownRow(b, one.Head)
		b.WriteString(strings.Repeat("| --- ", len(one.Head)) + "|\n")
		for _, row := range one.Table {
			markdownRow(b, row)
		}
	}
	markdownList(b, one.After, false)
}

func markdownRow(b *strings.Builder, cells []string) {
	for _, c := range cells {
		b.WriteString("| " + marked(c) + " ")
	}
	b.WriteString("|\n")
}

func markdownRows(b *strings.Builder, rows []page.Row) {
	if len(rows) == 0 {
		return
	}
	b.WriteByte('\n')
	for _, r := range rows {
		fmt.Fprintf(b, "- **%s:** %s\n", marked(r[0]), marked(r[1]))
	}
}

func markdownList(b *strings.Builder, items []string, numbered bool) {
	if len(items) == 0 {
		return
	}
	b.WriteByte('\n')
	for i, text := range items {
		mark := "-"
		if numbered {
			mark = fmt.Sprintf("%d.", i+1)
		}
		fmt.Fprintf(b, "%s %s\n", mark, marked(text))
	}
}

// marked escapes what Markdown or the HTML in it would read as a sign: every
// ASCII mark may be escaped by a backslash (CommonMark 0.31.2, section 2.4).
// Words keep their full stops and commas, which mean something only after a
// digit at the start of a line.
func marked(text string) string {
	text = strings.ReplaceAll(text, string(page.Glue), " ")
	var out strings.Builder
	for i, r := range text {
		switch {
		case strings.ContainsRune("\\`*_{}[]<>()#+!|~&$^=\"@:", r),
			r == '-' && (i == 0 || strings.HasPrefix(text[i:], "--")), r == '.' && i > 0 && isDigits(text[:i]):
			out.WriteByte('\\')
		}
		out.WriteRune(r)
	}
	return out.String()
}

func isDigits(text string) bool {
	return strings.Trim(text, "0123456789") == ""
}
