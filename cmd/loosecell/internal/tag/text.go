package tag

import (
	"fmt"
	"io"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/labels"
)

// Text writes labels to copy by hand, with the compact case to type in.
func Text(w io.Writer, list []*labels.Label) error {
	var p page.Page
	for i, l := range list {
		if i > 0 {
			p.Blank()
			p.Put(page.Plain, strings.Repeat("-", page.Width))
		}
		p.Item(page.Banner, "", 0, page.Clean(captionOf(l)))
		var rows []page.Row
		for _, r := range rowsOf(l) {
			rows = append(rows, page.Row{page.Clean(r[0]), page.Clean(r[1])})
		}
		p.Rows(strings.ToUpper(l.Kind), rows)
		for _, m := range l.Marks {
			p.Item(page.Strong, "*", 2, page.Clean(markLine(m)))
		}
		p.Bullets("PACK", cleaned(l.Packing))
		p.Bullets("PAPERS", cleaned(l.Documents))
		p.Heading("CODE")
		for code := l.Code; code != ""; {
			n := min(len(code), page.Width-page.Indent)
			p.Item(page.Plain, "", 0, code[:n])
			code = code[n:]
		}
	}
	return p.Write(w, nil)
}

// markLine says what goes on the parcel and how large.
func markLine(m labels.Mark) string {
	switch {
	case m.Words != "":
		return fmt.Sprintf("%s (letters at least %g mm)", m.Words, m.HeightMM)
	case m.Place != "":
		return fmt.Sprintf("Place for the %s (%s): %s", m.Place, m.Size, m.Sentence)
	}
	return m.Sentence
}

// rowsOf are the lines of a label, what matters most first.
func rowsOf(l *labels.Label) [][2]string {
	rows := [][2]string{{"Handling", l.Handling}}
	for _, law := range l.Law {
		rows = append(rows, [2]string{"Law", law})
	}
	rows = append(rows, [2]string{"Look again", l.LookAgain + ", " + l.LookText}, [2]string{"Date", l.Date},
		[2]string{"Grade", l.Condition}, [2]string{"Keep", l.Store}, [2]string{"Chemistry", l.Chemistry}, [2]string{"Energy", l.Energy},
		[2]string{"Volts", l.Volts}, [2]string{"From", l.Device}, [2]string{"Ticket", l.Ticket})
	if l.Kind == labels.Parcel {
		rows = append(rows, [2]string{"By", strings.ReplaceAll(l.Mode, "-", " ")}, [2]string{"Basis", l.Basis}, [2]string{"Sender", l.From})
	}
	out := [][2]string{}
	for _, r := range rows {
		if r[1] != "" {
			out = append(out, r)
		}
	}
	return out
}

func cleaned(list []string) []string {
	var out []string
	for _, text := range list {
		out = append(out, page.Clean(text))
	}
	return out
}
