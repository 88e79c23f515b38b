package tag

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/labels"
)

//go:embed sheet.html
var sheetHTML string

//go:embed sheet.css
var sheetCSS string

var sheetTemplate = template.Must(template.New("labels").Funcs(template.FuncMap{"clean": page.Clean}).Parse(sheetHTML))

// shown is a label with what is drawn of it.
type shown struct {
	*labels.Label
	Caption string
	Rows    [][2]string
	Code    template.HTML
	NoCode  bool
	Words   []template.HTML
	Places  []labels.Mark
	Remarks []string
}

// HTML writes sheets of labels to cut apart. Every label has the same size.
func HTML(w io.Writer, list []*labels.Label, paper Paper) error {
	if len(list) == 0 {
		return fmt.Errorf("no labels")
	}
	kind := list[0].Kind
	wide, high := cell(paper, kind)
	per := grids[kind].columns * grids[kind].rows
	var sheets [][]shown
	for i, l := range list {
		if i%per == 0 {
			sheets = append(sheets, nil)
		}
		last := len(sheets) - 1
		sheets[last] = append(sheets[last], show(l, wide))
	}
	return sheetTemplate.Execute(w, struct {
		CSS                    template.CSS
		Paper                  Paper
		Kind                   string
		Wide, High, Edge       float64
		Columns, Count, Across int
		Sheets                 [][]shown
	}{template.CSS(sheetCSS + pageRule(paper)), paper, kind, wide, high, edge, grids[kind].columns, len(list), len(sheets), sheets})
}

// pageRule fixes the paper: millimetres only hold on the sheet they were laid
// out for.
func pageRule(p Paper) string {
	return fmt.Sprintf("@page { size: %gmm %gmm; margin: 0; }\n", p.Wide, p.High)
}

// codeMost is the width of a code on each kind of label, in mm.
var codeMost = map[string]float64{labels.Bag: 36, labels.Container: 50, labels.Parcel: 50}

func show(l *labels.Label, wide float64) shown {
	s := shown{Label: l, Caption: captionOf(l), Rows: rowsOf(l)}
	code, ok := newCode(l.Code, codeMost[l.Kind])
	s.Code, s.NoCode = code.SVG, !ok
	for _, m := range l.Marks {
		switch {
		case m.Words != "":
			s.Words = append(s.Words, bigWords(m.Words, m.HeightMM, wide-8))
		case m.Place != "":
			s.Places = append(s.Places, m)
		default:
			s.Remarks = append(s.Remarks, m.Sentence)
		}
	}
	return s
}
