package advice

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// AnswerPaths lists the single-word answers of an advice, the most telling
// first, under the names that why and programs use for them.
var AnswerPaths = func() []string {
	all := []string{"verdict", "removal.pick", "condition", "transport_state", "heat", "solvent",
		"discharge", "discharge.due", "discharge.action", "opening", "refit", "storage.class"}
	for _, r := range rules.Rungs {
		all = append(all, "rung."+r)
	}
	for _, m := range rules.Modes {
		all = append(all, "ship."+m)
	}
	return all
}()

// AnswerPath brings a path as people write it ("heat.may", "pick", "road") to
// the one of AnswerPaths.
func AnswerPath(text string) (string, bool) {
	path := strings.TrimSuffix(strings.ToLower(strings.TrimSpace(text)), ".may")
	path = strings.TrimPrefix(path, "answer.")
	switch path {
	case "pick", "removal":
		path = "removal.pick"
	case "storage", "class":
		path = "storage.class"
	case "transport", "transport-state":
		path = "transport_state"
	case "grade":
		path = "condition"
	}
	for _, front := range []string{"", "ship.", "rung."} {
		if slices.Contains(AnswerPaths, front+path) {
			return front + path, true
		}
	}
	if rung, ok := strings.CutPrefix(path, "removal.rungs."); ok && slices.Contains(rules.Rungs, rung) {
		return "rung." + rung, true
	}
	return "", false
}

// Answer is the word of one answer, by a path of AnswerPaths; "" where the book
// has none. A mode of carriage is answered whether or not the case asks to send
// the cell, as a desk does: whoever asks for it here wants to know.
func (r *Reckoner) Answer(c *facts.Case, path string) (string, error) {
	o, err := r.a.outcome(c)
	if err != nil {
		return "", err
	}
	return r.a.answerOf(o, path)
}

func (a *adviser) answerOf(o *outcome, path string) (string, error) {
	switch path {
	case "verdict":
		return o.verdict, nil
	case "removal.pick":
		return o.pick, nil
	case "condition":
		return conditionWord(o), nil
	case "transport_state":
		f, _ := a.cat.Lookup("answer.transport_state")
		return f.Words[o.graded.Transport], nil
	case "heat", "solvent", "opening", "refit":
		return mayWord(o.may[rules.Permission(path)]), nil
	case "discharge":
		return mayWord(o.dischargeMay()), nil
	case "discharge.due":
		return o.due, nil
	case "discharge.action":
		return o.action, nil
	case "storage.class":
		if row, _ := o.q.Choose("storage.class"); row != nil {
			return wordOf(row.Value), nil
		}
		return "", nil
	}
	if t, ok := o.may[rules.Permission(path)]; ok && strings.HasPrefix(path, "rung.") {
		return mayWord(t), nil
	}
	if mode, ok := strings.CutPrefix(path, "ship."); ok && slices.Contains(rules.Modes, mode) {
		w := &writer{adviser: a, outcome: o, fill: o.placeholders()}
		s, _ := w.carriage(mode)
		return s.Allowed, nil
	}
	return "", fmt.Errorf("there is no answer %q", path)
}

// Value is what holds of a fact once the look, the history and the presumptions
// have been read out of a case.
func (r *Reckoner) Value(c *facts.Case, name string) (facts.Value, error) {
	date, err := dateOf(c, r.a.opts)
	if err != nil {
		return facts.Value{}, err
	}
	return resolve(r.a.book.Layout, c, date).values[name], nil
}

// Against says why a permission is not given in a case; nil where it is.
func (r *Reckoner) Against(c *facts.Case, p rules.Permission) ([]string, error) {
	o, err := r.a.outcome(c)
	if err != nil {
		return nil, err
	}
	return (&writer{adviser: r.a, outcome: o, fill: o.placeholders()}).against(p), nil
}

// Fits tells whether a rung applies to the adhesive and tab of a case.
func (r *Reckoner) Fits(c *facts.Case, rung string) (expression.Truth, error) {
	o, err := r.a.outcome(c)
	if err != nil {
		return 0, err
	}
	return o.fits[rung], nil
}

// Carriage answers one mode of carriage, as Answer does and with its words; ok is
// false if the book has no table for it.
func (r *Reckoner) Carriage(c *facts.Case, mode string) (s Shipping, ok bool, err error) {
	o, err := r.a.outcome(c)
	if err != nil {
		return Shipping{}, false, err
	}
	s, ok = (&writer{adviser: r.a, outcome: o, fill: o.placeholders()}).carriage(mode)
	return s, ok, nil
}

// Cap is the amount of a cap of rules.Caps that a case allows, in that cap's
// unit, and the reason of the rule that sets it; ok is false where none does.
func (r *Reckoner) Cap(c *facts.Case, name string) (limit float64, because string, ok bool, err error) {
	o, err := r.a.outcome(c)
	if err != nil {
		return 0, "", false, err
	}
	limit, by, ok := o.q.Cap(name)
	if !ok {
		return 0, "", false, nil
	}
	return limit, by.Because, true, nil
}
