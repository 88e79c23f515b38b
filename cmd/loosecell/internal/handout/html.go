package handout

import (
	_ "embed"
	"html/template"
	"io"

	"loosecell/cmd/loosecell/internal/page"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

// sheetTemplate escapes every text by where it stands; only the style sheet,
// which is ours, goes in as it is.
var sheetTemplate = template.Must(template.New("page").Funcs(template.FuncMap{
	"kind":  func(k Kind) string { return kindNames[k] },
	"clean": page.Clean,
	"blank": isBlank,
	"noted": notedCell,
	"next":  func(i int) int { return i + 1 },
}).Parse(pageHTML))

var kindNames = map[Kind]string{Heading: "heading", Para: "para", Bullets: "bullets", Numbered: "numbered",
	Table: "table", Form: "form", Card: "card", Choices: "choices", Break: "break"}

// HTML writes the document as one file without scripts and without anything
// fetched from elsewhere.
func HTML(w io.Writer, d *Document) error {
	sources := d.sources()
	return sheetTemplate.Execute(w, struct {
		*Document
		CSS     template.CSS
		Sources []string
		Note    func([]string) []int
	}{d, template.CSS(pageCSS), sources, func(cited []string) []int { return note(sources, cited) }})
}
