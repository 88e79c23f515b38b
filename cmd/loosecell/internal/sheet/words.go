package sheet

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"loosecell/cmd/loosecell/internal/page"
)

// The contract's words are short keys that programs read; here is what each
// of them says to a person. A word that is missing here prints as it is.

var rungWords = map[string]string{
	"already-out":        "the cell is out already",
	"fasteners":          "undo the screws or clips that hold it",
	"lift-film":          "lift it by the film it sits in",
	"pull-cord":          "pull the cord below it",
	"stretch-strips":     "stretch the adhesive strips out from below",
	"strip-stub":         "get hold of what is left of the strip and stretch it out",
	"other-tab":          "pull by the tab that is still whole",
	"voltage-release":    "let a low voltage release the adhesive",
	"warm":               "warm the adhesive gently",
	"solvent":            "let a little solvent creep under the edge",
	"card":               "slide a thin film card or a thread below it",
	"cut-leads":          "cut the soldered leads, board side, one at a time",
	"undecided":          "not settled yet",
	"leave-in-and-refer": "leave it in and hand it over",
}

// rung prints a way out by its contract word and in plain words.
func rung(word string) string {
	if plain := rungWords[word]; plain != "" {
		return strings.ReplaceAll(word, "-", " ") + ": " + plain
	}
	return page.Clean(word)
}

var modeWords = map[string]string{
	"road": "Road", "rail": "Rail", "sea": "Sea", "post": "Post",
	"air-cargo": "Air cargo", "air-passenger": "Air, passenger", "passenger-baggage": "Baggage",
}

func mode(word string) string {
	if plain := modeWords[word]; plain != "" {
		return plain
	}
	return page.Clean(word)
}

// mayWords answers a permission in one word; open is "not yet" because unknown
// never permits.
var mayWords = map[string]string{"yes": "Yes", "no": "No", "open": "Not yet"}

func may(word string) string {
	if plain := mayWords[word]; plain != "" {
		return plain
	}
	return page.Clean(word)
}

// plain prints a hyphenated contract word with spaces.
func plain(word string) string { return page.Clean(strings.ReplaceAll(word, "-", " ")) }

var containerWords = map[string]string{
	"open-noncombustible": "an open box that cannot burn", "vented-noncombustible": "a vented box that cannot burn",
	"closed-airtight": "a closed, airtight box", "plastic": "a plastic box", "cardboard": "a cardboard box",
}

func container(word string) string {
	if said := containerWords[word]; said != "" {
		return said
	}
	return page.Clean(word)
}

// answerWords names the answers that a missing fact can change.
var answerWords = map[string]string{
	"verdict": "the verdict", "condition": "the grade", "transport_state": "the grade for transport",
	"removal.pick": "the way out", "heat.may": "heat", "solvent.may": "solvent", "discharge.may": "the discharge",
	"discharge.action": "the discharge", "discharge.due": "a discharge being due", "storage.class": "storage",
	"opening.may": "opening", "refit.may": "refitting",
}

func answerName(name string) string {
	if said := answerWords[name]; said != "" {
		return said
	}
	return factName(name)
}

// factName prints the name of a fact or answer without its dots and dashes.
func factName(name string) string {
	return page.Clean(strings.NewReplacer(".", " ", "_", " ", "-", " ").Replace(name))
}

func cleanAll(items []string) []string {
	out := make([]string, 0, len(items))
	for _, text := range items {
		if text = page.Clean(text); text != "" {
			out = append(out, text)
		}
	}
	return out
}

// sentence is the cleaned text with a full stop where it has no closing mark.
func sentence(text string) string { return stopped(page.Clean(text)) }

// stopped is sentence for a text that is clean already.
func stopped(text string) string {
	if text == "" || strings.ContainsAny(text[len(text)-1:], ".!?:") {
		return text
	}
	return text + "."
}

// capital raises the first letter.
func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + text[size:]
}
