package handout

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
)

// Markdown writes the document as CommonMark with tables. Texts are escaped, so
// that what a shop file says stays text.
func Markdown(w io.Writer, d *Document) error {
	m := &marker{sources: d.sources()}
	fmt.Fprintf(&m.out, "# %s\n\n", escaped(d.Title))
	if d.Under != "" {
		fmt.Fprintf(&m.out, "%s\n\n", escaped(d.Under))
	}
	for i := range d.Blocks {
		m.block(&d.Blocks[i])
	}
	if len(m.sources) > 0 {
		m.out.WriteString("## Sources\n\n")
		for i, s := range m.sources {
			fmt.Fprintf(&m.out, "%d. %s\n", i+1, escaped(s))
		}
		m.out.WriteByte('\n')
	}
	if d.Foot != "" {
		fmt.Fprintf(&m.out, "%s\n", escaped(d.Foot))
	}
	_, err := w.Write(append(bytes.TrimRight(m.out.Bytes(), "\n"), '\n'))
	return err
}

type marker struct {
	out     bytes.Buffer
	sources []string
}

func (m *marker) block(b *Block) {
	switch b.Kind {
	case Heading:
		fmt.Fprintf(&m.out, "%s %s\n\n", strings.Repeat("#", b.Level), escaped(b.Text))
		return
	case Para:
		for _, l := range b.Lines {
			fmt.Fprintf(&m.out, "%s\n\n", m.cited(l.Text, l.Cited))
		}
		return
	case Bullets:
		m.list("-", b.Lines)
	case Numbered:
		m.list("1.", b.Lines)
	case Table:
		if b.Text != "" {
			fmt.Fprintf(&m.out, "%s\n\n", escaped(b.Text))
		}
		m.row(b.Head, nil)
		m.out.WriteString("|" + strings.Repeat(" --- |", len(b.Head)) + "\n")
		for _, r := range b.Rows {
			m.row(r.Cells, r.Cited)
		}
	case Form:
		for _, r := range b.Rows {
			text := escaped(r.Cells[1])
			if text == "" {
				text = strings.Repeat(`\_`, 20)
			}
			fmt.Fprintf(&m.out, "- **%s**: %s\n", escaped(r.Cells[0]), text)
		}
	case Card:
		fmt.Fprintf(&m.out, "### %s\n\n**%s**\n\n", escaped(b.Act.Title), escaped(b.Act.First))
		m.list("1.", b.Act.Steps)
		m.out.WriteByte('\n')
		m.list("-", b.Act.Never)
		fmt.Fprintf(&m.out, "\n%s\n", escaped(b.Act.Then))
	case Choices:
		for _, l := range b.Lines {
			fmt.Fprintf(&m.out, "- [ ] %s\n", escaped(l.Text))
		}
	case Break:
		m.out.WriteString("---\n")
	}
	m.out.WriteByte('\n')
}

func (m *marker) list(mark string, lines []Line) {
	for _, l := range lines {
		fmt.Fprintf(&m.out, "%s %s\n", mark, m.cited(l.Text, l.Cited))
	}
}

func (m *marker) row(cells, cited []string) {
	m.out.WriteByte('|')
	for i, c := range cells {
		text := escaped(c)
		if i == notedCell(cells) {
			text = m.cited(c, cited)
		}
		if text == "" {
			text = " "
		}
		fmt.Fprintf(&m.out, " %s |", text)
	}
	m.out.WriteByte('\n')
}

func (m *marker) cited(text string, cited []string) string {
	text = escaped(text)
	if notes := bracket(note(m.sources, cited)); notes != "" {
		text += " " + escaped(notes)
	}
	return text
}

// special are the characters that mean something to a Markdown reader.
const special = "\\`*_{}[]()#+-!|<>&~$=\"'^:."

// escaped is a text that stays text: what steers a terminal is taken out, and
// what Markdown reads as a mark is escaped where it could be one.
func escaped(text string) string {
	var out strings.Builder
	clean := page.Clean(text)
	for i, r := range clean {
		mark := strings.ContainsRune("\\`*_{}[]<>|&~#", r)
		if i == 0 && strings.ContainsRune(special, r) || !mark && r == '.' && digitsOnly(clean[:i]) {
			mark = true
		}
		if mark {
			out.WriteByte('\\')
		}
		out.WriteRune(r)
	}
	return strings.ReplaceAll(out.String(), "://", ":\\//")
}

// digitsOnly tells that a full stop after it would begin a numbered list.
func digitsOnly(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}
