package reckoning

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
)

// Text prints a report for a reader: inputs, results, and under each result the
// formula and where it comes from.
func Text(w io.Writer, r Report) error {
	var b strings.Builder
	fmt.Fprintf(&b, "RECKONED: %s\n\n", r.Model)
	b.WriteString("Inputs\n")
	for _, in := range r.Inputs {
		fmt.Fprintf(&b, "  %-22s %s\n", in.Name, page.Clean(in.Value))
	}
	b.WriteString("\nResults (low / middle / high)\n")
	for _, res := range r.Results {
		for _, line := range page.Wrap(strings.ReplaceAll(res.Name, "_", " ")+": "+value(res), page.Width-2) {
			b.WriteString("  " + line + "\n")
		}
		for _, line := range page.Wrap(page.Clean(strings.TrimSuffix(res.Formula, ".")+". Source: "+res.Source), page.Width-6) {
			b.WriteString("      " + line + "\n")
		}
	}
	if r.Course != nil {
		fmt.Fprintf(&b, "\nA course of %d points: --format csv prints it.\n", len(r.Course.Rows))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func value(r Result) string {
	if r.Low == nil {
		return page.Clean(r.Text)
	}
	text := figure(*r.Middle)
	if *r.Low != *r.High {
		text = figure(*r.Low) + " / " + text + " / " + figure(*r.High)
	}
	if r.Unit != "" {
		text += " " + r.Unit
	}
	return text
}

// figure prints four significant figures.
func figure(x float64) string {
	size := math.Abs(x)
	if size != 0 && (size < 1e-3 || size >= 1e6) {
		return strconv.FormatFloat(x, 'e', 3, 64)
	}
	short, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	if err != nil {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strconv.FormatFloat(short, 'f', -1, 64)
}

// CSV prints the course of a report.
func CSV(w io.Writer, c Course) error {
	out := csv.NewWriter(w)
	if err := out.Write(c.Columns); err != nil {
		return err
	}
	for _, row := range c.Rows {
		cells := make([]string, len(row))
		for i, x := range row {
			cells[i] = strconv.FormatFloat(x, 'g', 6, 64)
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
