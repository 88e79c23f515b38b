package sheet

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"loosecell/cmd/loosecell/internal/drawing"
	"loosecell/cmd/loosecell/internal/page"
)

//go:embed sheet.css
var sheetCSS string

//go:embed sheet.gohtml
var sheetHTML string

// sheetTemplate escapes every text by the place it stands in (html/template).
// Only the style sheet and the drawings, which this program makes, go in as they
// are; the drawings escape their own words.
var sheetTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"pieces": pieces,
	"svg":    func(p drawing.Picture, id string) template.HTML { return template.HTML(p.SVG(id + "-")) },
	"slug":   slug,
	"with_id": func(id string, b block) any {
		return struct {
			ID    string
			Block block
		}{id, b}
	},
	"figs_of": func(id string, all []drawing.Picture) any {
		return struct {
			ID       string
			Pictures []drawing.Picture
		}{id, all}
	},
}).Parse(sheetHTML))

// htmlFile is what the template prints.
type htmlFile struct {
	Title  string
	Style  template.CSS
	Sheets []*paper
}

// HTML writes the sheets as one file that needs nothing else: no network and no
// script. Each sheet starts on a page of its own.
func HTML(w io.Writer, sheets []Sheet) error {
	file := htmlFile{Style: template.CSS(sheetCSS)}
	for i, s := range sheets {
		p, err := layOut(fmt.Sprintf("s%d", i+1), s)
		if err != nil {
			return err
		}
		file.Sheets = append(file.Sheets, p)
	}
	file.Title = titleOf(file.Sheets)
	var out bytes.Buffer
	if err := sheetTemplate.Execute(&out, file); err != nil {
		return fmt.Errorf("writing the sheet as HTML: %w", err)
	}
	_, err := w.Write(out.Bytes())
	return err
}

// titleOf is what a browser's tab and a print queue show.
func titleOf(sheets []*paper) string {
	if len(sheets) != 1 {
		return fmt.Sprintf("Battery removal: %d sheets", len(sheets))
	}
	p := sheets[0]
	title := "Battery removal: " + strings.ToLower(p.Verdict)
	if len(p.About) > 0 {
		title += ", " + p.About[0][1]
	}
	return title
}

// piece is a run of text or the mark of a source.
type piece struct {
	Text, Mark string
}

// pieces parts a line into its words and the marks of its sources. Only this
// package can place a glue before a bracket: cleaned text holds none.
func pieces(text string) []piece {
	var out []piece
	for {
		before, rest, found := strings.Cut(text, string(page.Glue)+"[")
		if !found {
			return append(out, piece{Text: text})
		}
		mark, after, closed := strings.Cut(rest, "]")
		if !closed {
			return append(out, piece{Text: text})
		}
		out = append(out, piece{Text: before, Mark: "[" + mark + "]"})
		text = after
	}
}

// slug makes an id of a heading.
func slug(text string) string {
	var out strings.Builder
	for _, r := range strings.ToLower(text) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			out.WriteRune(r)
		case r == ' ':
			out.WriteByte('-')
		}
	}
	return out.String()
}
