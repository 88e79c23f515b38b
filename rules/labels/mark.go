package labels

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Mark is what goes on the outside of a parcel.
type Mark struct {
	Sentence string  // as the rulebook says it
	Words    string  // to print, "" for a place
	HeightMM float64 // the least height of the letters of Words
	Place    string  // the pictogram that belongs here, "" for words
	Size     string  // the legal size of the pictogram, in words
	WideMM   float64 // the room it needs: a square on its corner needs its diagonal
	HighMM   float64
	Source   string // of the size
}

// letters is how the rulebook says a letter height: "letters at least 6 mm (12
// mm over 30 kg)". The larger one is used, whatever the package weighs.
var (
	letters = regexp.MustCompile(`,? letters at least ([0-9]+) mm(?: \(([0-9]+) mm [^)]*\))?`)
	aside   = regexp.MustCompile(` ?\([^)]*\)`)
)

// plainLetterMM is the height of the UN number and name where no other is
// asked for: 12 mm (ADR 2025, 5.2.1.1; smaller packages may have 6 mm).
const plainLetterMM = 12

// readMark tells what a sentence of the rulebook asks to be on the package.
// Words come back in capitals, of which every letter has the full height.
func readMark(sentence string) (Mark, error) {
	m := Mark{Sentence: sentence}
	if at := letters.FindStringSubmatch(sentence); at != nil {
		m.Words = strings.ToUpper(aside.ReplaceAllString(letters.ReplaceAllString(sentence, ""), ""))
		for _, text := range at[1:] {
			if mm, err := strconv.ParseFloat(text, 64); err == nil {
				m.HeightMM = max(m.HeightMM, mm)
			}
		}
		return m, nil
	}
	places, err := placeRows()
	if err != nil {
		return m, err
	}
	for _, p := range places {
		if strings.HasPrefix(sentence, p.mark) {
			m.Place, m.Size, m.WideMM, m.HighMM, m.Source = p.name, p.size, p.wide, p.high, p.source
			return m, nil
		}
	}
	switch {
	case strings.HasPrefix(sentence, "UN "), strings.HasPrefix(sentence, "LITHIUM"), strings.HasPrefix(sentence, "SODIUM"):
		m.Words, m.HeightMM = strings.ToUpper(sentence), plainLetterMM
		return m, nil
	case strings.HasPrefix(sentence, "No "):
		return m, nil // no mark is needed, and why
	}
	return m, fmt.Errorf("the rulebook asks for a mark that no label knows: %q", sentence)
}
