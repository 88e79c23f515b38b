package advice

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"loosecell/rules"
	"loosecell/rules/facts"
	"loosecell/rules/source"
)

// The words a store is judged by, from best to worst. "open" stands between:
// nothing said is wrong, and something that decides was not said.
var storeWords = []string{"fit", "open", "mend", "unfit"}

// storeAspects are the tables of the rulebook on the store, each with the fact
// that has to be stated before it is asked. Those that must be known for "fit"
// decide whether a store may hold cells at all; the rest matter with quantity.
var storeAspects = []struct {
	fact, answer string
	must         bool
}{
	{"store.container", "store.container_verdict", true},
	{"store.combustibles_distance", "store.combustibles_verdict", true},
	{"store.sleeping_above", "store.sleeping_verdict", true},
	{"store.volume", "store.volume_verdict", false},
	{"store.separation", "store.separation_verdict", false},
	{"store.cells", "store.cells_verdict", false},
}

// storeVerdict judges the store that the case describes, and adds what the law
// of the place says the discarded cell is. It is silent about a store of which
// nothing is stated.
func (w *writer) storeVerdict(s *Storage) {
	if s == nil {
		return
	}
	s.Waste = append(w.wasteLines(), s.Waste...)
	if !w.storeStated() {
		return
	}
	worst, lead := 0, "nothing stands against it."
	note := func(word int, text, source, rule string) {
		if word > worst {
			worst, lead = word, text
		}
		s.Limits = append(s.Limits, Line{Text: storeWords[word] + ": " + text, Source: source, Rule: rule})
	}
	for _, a := range storeAspects {
		if w.values[a.fact].State != facts.Stated {
			if a.must {
				f, _ := w.cat.Lookup(a.fact)
				note(1, "not known: "+lowerFirst(f.Ask), "common practice", "")
			}
			continue
		}
		row, _ := w.q.Choose(a.answer)
		if row == nil {
			continue
		}
		word, text, _ := strings.Cut(wordOf(row.Value), ": ")
		note(storeRank(word), w.filled(text), source.Join(row.Sources), row.ID)
	}
	w.storeCompany(s.Class, note)
	w.storeAge(note)
	if s.Class == "not-stored" {
		worst, lead = len(storeWords)-1, "this cell is not stored anywhere; leave it where it is."
	}
	s.StoreVerdict = storeWords[worst] + ": " + lead
}

// storeCompany judges whether the store suits a cell that must lie apart from
// others, or outdoors; of any other class company says nothing.
func (w *writer) storeCompany(class string, note func(word int, text, source, rule string)) {
	if class == "general" || class == "recycling" {
		return
	}
	if w.values["store.cells"].State != facts.Stated {
		f, _ := w.cat.Lookup("store.cells")
		note(1, "not known: "+lowerFirst(f.Ask)+" This cell lies alone.", "common practice", "")
		if class == "kept-apart" {
			return
		}
	}
	if row, _ := w.q.Choose("store.company_verdict"); row != nil {
		word, text, _ := strings.Cut(wordOf(row.Value), ": ")
		note(storeRank(word), w.filled(text), source.Join(row.Sources), row.ID)
	}
}

func storeRank(word string) int {
	for i, w := range storeWords {
		if w == word {
			return i
		}
	}
	return len(storeWords) - 1 // a word the book should not hold: the strictest
}

// storeStated tells that something is said of the store.
func (w *writer) storeStated() bool {
	for name, v := range w.values {
		if strings.HasPrefix(name, "store.") && v.State == facts.Stated && v.Origin != facts.Presumed {
			return true
		}
	}
	return false
}

// storeAge compares how long the oldest cell has waited with the cap on days.
func (w *writer) storeAge(note func(word int, text, source, rule string)) {
	since := w.values["store.since"]
	if since.State != facts.Stated {
		return
	}
	limit, by, capped := w.q.Cap("store.days")
	if !capped || !by.Shop && !w.wasteStated() { // the law's cap is that of one place
		return
	}
	days := float64(w.date.Unix()/86400) - since.Low
	fetch := time.Unix(int64(since.Low+limit)*86400, 0).UTC().Format(time.DateOnly)
	if days > limit {
		note(3, fmt.Sprintf("the oldest has waited %.0f days, and %.0f are allowed. %s", days, limit, by.Because), by.Cited(), by.ID)
		return
	}
	note(0, fmt.Sprintf("the oldest has waited %.0f days; it leaves by %s.", max(days, 0), fetch), by.Cited(), by.ID)
}

// wasteStated tells that the place whose law holds is stated.
func (w *writer) wasteStated() bool {
	return w.values["dispatch.jurisdiction"].State == facts.Stated
}

// wasteLines are what a discarded cell is in law. Where the case leaves several
// rows of a table open, all are named and the question that settles it is put.
func (w *writer) wasteLines() []Line {
	if !w.wasteStated() {
		return nil
	}
	var out []Line
	for _, t := range []struct{ answer, ask string }{
		{"waste.status", "Look for a hole, a leak or a vent in the casing: that decides."},
		{"waste.code", "Who gave it up, a household or a business? That decides."},
	} {
		rows := w.q.Candidates(t.answer)
		if slices.ContainsFunc(rows, func(c rules.Candidate) bool { return wordOf(c.Row.Value) == "none" }) {
			continue // another place's law, or nobody says that it is discarded
		}
		for _, c := range rows {
			out = append(out, w.wasteLine(c.Row, len(rows) == 1))
		}
		if len(rows) > 1 {
			out = append(out, Line{Text: t.ask, Source: "common practice"})
		}
	}
	return out
}

func (w *writer) wasteLine(row *rules.Row, certain bool) Line {
	text := wordOf(row.Value)
	if !certain {
		text = "Either: " + text
	}
	return Line{Text: w.filled(text), Source: source.Join(row.Sources), Rule: row.ID}
}
