package page

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// Width is the number of terminal cells no printed line goes over.
const Width = 80

// Glue stands for a space at which a line is never broken; it is printed as a
// plain space. Cleaned text holds none, so only this package can place it.
const Glue = '\u00a0'

// maxMarks is how many combining marks one letter keeps: living scripts need
// two or three, and a tower of them would run over the lines around it.
const maxMarks = 3

// measure counts cells alike on every machine: the package default follows the
// locale, and a sheet may not.
var measure = &runewidth.Condition{}

// Clean makes text from a case, a shop file or a rulebook safe to print on a
// terminal: line breaks and every kind of space become one space, control
// characters (and with them every escape sequence) become a question mark,
// and characters that print nothing or reorder a line are dropped.
func Clean(text string) string {
	var out strings.Builder
	marks, space := 0, true
	for _, r := range text {
		switch {
		case r == '\n' || r == '\r' || r == '\t' || unicode.Is(unicode.Z, r):
			if !space {
				out.WriteByte(' ')
			}
			marks, space = 0, true
			continue
		case unicode.Is(unicode.Cf, r):
			continue
		case unicode.Is(unicode.M, r):
			if marks++; marks > maxMarks || out.Len() == 0 {
				continue
			}
			out.WriteRune(r)
			continue
		case r == unicode.ReplacementChar || unicode.Is(unicode.C, r) || !unicode.IsPrint(r):
			r = '?'
		}
		marks, space = 0, false
		out.WriteRune(r)
	}
	return strings.TrimRight(out.String(), " ")
}

// Cells is the number of terminal cells the text takes, counted rune by rune:
// never fewer than a terminal that joins an emoji sequence would use.
func Cells(text string) int {
	n := 0
	for _, r := range text {
		n += runeCells(r)
	}
	return n
}

func runeCells(r rune) int {
	if r == Glue {
		return 1
	}
	return measure.RuneWidth(r)
}

// Wrap breaks text into lines of at most width cells, at spaces where it can
// and inside a word only where the word alone is longer than a line.
func Wrap(text string, width int) []string {
	if width < 2 {
		width = 2 // a wide character needs two
	}
	var lines []string
	line, used := "", 0
	flush := func() {
		lines = append(lines, line)
		line, used = "", 0
	}
	for _, word := range strings.Split(text, " ") {
		if word == "" {
			continue
		}
		need := Cells(word)
		if used > 0 && used+1+need > width {
			flush()
		}
		if used > 0 {
			line, used = line+" ", used+1
		}
		for need > width {
			head, tail := cut(word, width)
			line = head
			flush()
			word, need = tail, Cells(tail)
		}
		line, used = line+word, used+need
	}
	if used > 0 || line != "" {
		flush()
	}
	for i := range lines {
		lines[i] = strings.ReplaceAll(lines[i], string(Glue), " ")
	}
	return lines
}

// cut splits a word that is longer than a line after the last rune that fits.
func cut(word string, width int) (head, tail string) {
	used := 0
	for i, r := range word {
		w := runeCells(r)
		if used+w > width {
			return word[:i], word[i:]
		}
		used += w
	}
	return word, ""
}

// Clip keeps at most n lines of the given width and says by three dots that more was there.
func Clip(lines []string, n, width int) []string {
	if len(lines) <= n {
		return lines
	}
	kept := append([]string(nil), lines[:n]...)
	last := kept[n-1]
	for Cells(last)+4 > width {
		_, size := utf8.DecodeLastRuneInString(last)
		last = last[:len(last)-size]
	}
	kept[n-1] = strings.TrimRight(last, " ") + " ..."
	return kept
}

// pad fills text with spaces to the given number of cells.
func pad(text string, width int) string {
	if n := width - Cells(text); n > 0 {
		return text + strings.Repeat(" ", n)
	}
	return text
}
