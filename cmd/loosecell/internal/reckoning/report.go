// Package reckoning writes what one model answers: its inputs, each result as a
// low, middle and high value with formula and source, and a course over time
// where the model has one.
package reckoning

import "loosecell/hazards"

// Schema names the shape of the JSON form of a Report.
const Schema = "loosecell.reckon/1"

// Report is what one run of a model answers.
type Report struct {
	Schema  string   `json:"schema"`
	Model   string   `json:"model"`
	Inputs  []Input  `json:"inputs"`
	Results []Result `json:"results"`
	Course  *Course  `json:"course,omitempty"`
}

// Input is one flag as it was understood.
type Input struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	Unit  string `json:"unit,omitempty"` // the unit the model takes it in
}

// Result is one quantity; a word answer has a Text and no numbers.
type Result struct {
	Name    string   `json:"name"`
	Low     *float64 `json:"low,omitempty"`
	Middle  *float64 `json:"middle,omitempty"`
	High    *float64 `json:"high,omitempty"`
	Unit    string   `json:"unit,omitempty"`
	Text    string   `json:"text,omitempty"`
	Formula string   `json:"formula"`
	Source  string   `json:"source"`
}

// Course is a table of numbers, its first column what it runs over.
type Course struct {
	Columns []string    `json:"columns"` // name and unit: "minutes", "room_low_ppm"
	Rows    [][]float64 `json:"rows"`
}

// Number is a result with its three values.
func Number(name, unit string, e hazards.Estimate, formula, source string) Result {
	return Result{Name: name, Low: &e.Low, Middle: &e.Middle, High: &e.High, Unit: unit, Formula: formula, Source: source}
}

// Word is a result that is no number.
func Word(name, text, formula, source string) Result {
	return Result{Name: name, Text: text, Formula: formula, Source: source}
}

// Band is the three columns of one estimate of a course.
func Band(name, unit string) []string {
	return []string{name + "_low_" + unit, name + "_middle_" + unit, name + "_high_" + unit}
}
