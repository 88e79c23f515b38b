package advice

import (
	"fmt"
	"strings"

	"loosecell/rules"
	"loosecell/rules/facts"
)

// Answer is one answer of an advice, named by its place in the JSON form:
// verdict, removal.pick, storage.class, ship.road. A derived fact is an answer
// too, by its name in the catalogue.
type Answer struct {
	Name string
	// Words are the words the answer can be, from least to most hazardous where
	// they are ordered; nil if it is a sentence or a number.
	Words []string
	// List tells that the answer is none, one or several words at once, parted
	// by ListSeparator.
	List bool

	stage    stage
	table    string // the table of the rulebook that gives it
	sentence bool
	of       func(w *deskWriter) (string, error)
}

// ListSeparator stands between the words of an answer that is a list, as it does
// in a field of a table of cells.
const ListSeparator = "; "

// stage is how far a case has to be worked out for an answer.
type stage uint8

const (
	resolvedOnly stage = iota
	graded
	planned
)

// needs is the stage of an answer, which for a table depends on what its rows
// look at.
func (a *Answer) needs(b *rules.Book) stage {
	t := b.Table(a.table)
	if a.table == "" || t == nil {
		return a.stage
	}
	need := resolvedOnly
	for i := range t.Choose.Rows {
		for _, slot := range b.Arena.Reads(t.Choose.Rows[i].Holds) {
			switch f := b.Layout.Slots[slot].Fact; {
			case f.Stage == "":
			case f.Name == "answer.condition" || f.Name == "answer.transport_state":
				need = max(need, graded)
			default:
				need = planned
			}
		}
	}
	return need
}

// FindAnswer finds an answer by its name.
func FindAnswer(name string) (Answer, error) {
	for _, a := range deskAnswers() {
		if a.Name == name {
			return a, nil
		}
	}
	return Answer{}, fmt.Errorf("there is no answer %q; there are %s", name, strings.Join(AnswerNames(), ", "))
}

// AnswerNames lists the answers a desk can give.
func AnswerNames() []string {
	var out []string
	for _, a := range deskAnswers() {
		out = append(out, a.Name)
	}
	return out
}

// deskAnswers lists every answer, in the order of a sheet.
func deskAnswers() []Answer {
	cat := facts.Shipped()
	words := func(fact string) []string {
		f, _ := cat.Lookup("answer." + fact)
		return f.Words
	}
	mayWords := []string{"yes", "open", "no"}
	said := func(name string, s stage, words []string, say func(w *deskWriter) string) Answer {
		return Answer{Name: name, Words: words, stage: s, of: func(w *deskWriter) (string, error) { return say(w), nil }}
	}
	may := func(name string, p rules.Permission) Answer {
		return said(name, planned, mayWords, func(w *deskWriter) string { return mayWord(w.may[p]) })
	}
	all := []Answer{
		said("verdict", planned, words("verdict"), func(w *deskWriter) string { return w.verdict }),
		{Name: "because", stage: planned, of: becauseOfCase},
		said("condition", graded, words("condition"), func(w *deskWriter) string { return w.rankWord("answer.condition", w.graded.Condition) }),
		said("transport_state", graded, words("transport_state"), func(w *deskWriter) string {
			return w.rankWord("answer.transport_state", w.graded.Transport)
		}),
		said("removal.pick", planned, words("pick"), func(w *deskWriter) string { return w.pick }),
		may("opening.may", "opening"),
		said("discharge.may", planned, mayWords, func(w *deskWriter) string { return mayWord(w.dischargeMay()) }),
		said("discharge.due", planned, words("discharge_due"), func(w *deskWriter) string { return w.due }),
		said("discharge.action", planned, words("discharge_action"), func(w *deskWriter) string { return w.action }),
		said("discharge.target_soc_pct", planned, nil, func(w *deskWriter) string { return number(w.target) }),
		may("heat.may", "heat"), may("solvent.may", "solvent"), may("refit.may", "refit"),
		{Name: "storage.class", table: "storage.class", of: storageClass,
			Words: []string{"general", "recycling", "kept-apart", "outdoor-quarantine", "not-stored"}},
		chosenText("storage.container"), chosenText("storage.look_again"), chosenText("storage.fallback"),
	}
	for _, mode := range rules.Modes {
		all = append(all, said("ship."+mode, planned, carriageWords, func(w *deskWriter) string { return w.carriedBy(mode) }))
	}
	all = append(all, Answer{Name: Relaxed, List: true, stage: planned, of: relaxedBy})
	for i := range cat.Facts {
		if f := &cat.Facts[i]; f.Derived {
			all = append(all, said(f.Name, resolvedOnly, f.Words, func(w *deskWriter) string { return w.derived(f) }))
		}
	}
	return all
}

// becauseOfCase is the verdict in one sentence. It costs a whole advice, since
// what comes first is found by trying it out.
func becauseOfCase(w *deskWriter) (string, error) {
	a, err := Advise(w.book, w.input, w.opts)
	if err != nil {
		return "", err
	}
	return a.Because, nil
}

// Relaxed is the answer that names the shop's rules which loosen a shipped one
// for a case.
const Relaxed = "relaxed"

// relaxedBy lists the rules that a sheet prints as relaxed by the shop.
func relaxedBy(w *deskWriter) (string, error) {
	var ids []string
	for _, r := range Relaxations(w.q) {
		ids = append(ids, r.Rule)
	}
	return strings.Join(ids, ListSeparator), nil
}

func storageClass(w *deskWriter) (string, error) {
	row, _ := w.q.Choose("storage.class")
	if row == nil {
		return "", nil
	}
	return wordOf(row.Value), nil
}

// chosenText is the sentence of a table.
func chosenText(table string) Answer {
	return Answer{Name: table, stage: planned, sentence: true,
		of: func(w *deskWriter) (string, error) { return w.chosen(table), nil }}
}

// deskWriter writes the answers of a desk.
type deskWriter struct {
	writer
	parcels *carrier // nil until a mode is asked about
}

// carriedBy is whether the cell may be carried by a mode as it is now, without
// the words of it.
func (w *deskWriter) carriedBy(mode string) string {
	full, alarm := w.q.Full, w.q.Alarm
	if w.parcels == nil {
		box, taken := w.parcel()
		w.parcels = &carrier{writer: &w.writer, box: box, taken: taken}
	}
	w.q.About(w.parcels.box, alarm)
	defer w.q.About(full, alarm)
	r, ok := w.parcels.rule(mode)
	if !ok {
		return ""
	}
	return r.allowed()
}

// derived is what is possible for a derived fact, as a case file would say it.
func (w *deskWriter) derived(f *facts.Fact) string {
	slot := w.full.Layout.MustSlot(f.Name)
	r := w.full.At(slot)
	switch s := &w.full.Layout.Slots[slot]; {
	case s.Finite && r.Words == s.Domain.Words, !s.Finite && r.Low <= s.Domain.Low && r.High >= s.Domain.High:
		return "unknown"
	case s.Finite:
		return strings.Join(f.Names(r.Words), " | ")
	}
	text := number(r.Low)
	if high := number(r.High); high != text {
		text += ".." + high
	}
	return strings.TrimSpace(text + " " + f.Unit)
}
