package why

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Nearby is an answer next to the one given, and why it is not the answer.
type Nearby struct {
	Which string   `json:"which"` // gentler, bolder
	Is    string   `json:"is"`
	Why   []string `json:"why"`
}

// nearby says why not the next gentler or bolder answer.
func (x *explainer) nearby() ([]Nearby, error) {
	switch {
	case x.path == "removal.pick":
		return x.otherRungs(), nil
	case x.path == "verdict":
		return x.otherVerdicts(), nil
	case x.path == "condition":
		return x.otherGrades("answer.condition", func(g *rules.Grade) int { return g.Condition }), nil
	case x.path == "transport_state":
		return x.otherGrades("answer.transport_state", func(g *rules.Grade) int { return g.Transport }), nil
	case x.path == "storage.class":
		return x.otherRows("storage.class"), nil
	case x.path == "discharge":
		return x.permission("discharge.in-device")
	}
	if mode, ok := strings.CutPrefix(x.path, "ship."); ok {
		return x.carriage(mode)
	}
	if p := rules.Permission(x.path); p.Known() {
		return x.permission(p)
	}
	return []Nearby{}, nil
}

// otherRungs says why not each gentler way that might apply, and why not the
// next bolder one.
func (x *explainer) otherRungs() []Nearby {
	out := []Nearby{}
	at := slices.Index(rules.Rungs, x.is) // -1: none was picked, and all are gentler
	if at < 0 {
		at = len(rules.Rungs)
	}
	for i, rung := range rules.Rungs {
		fits := x.ask.Fits(rung)
		switch {
		case i == at || !fits.Possible():
		case i < at:
			out = append(out, Nearby{"gentler", rung, x.whyNotRung(rung, fits)})
		default:
			why := x.whyNotRung(rung, fits)
			if len(why) == 0 {
				why = []string{"It would be permitted too; " + x.is + " is gentler and comes first."}
			}
			return append(out, Nearby{"bolder", rung, why})
		}
	}
	return out
}

// whyNotRung lists what stands against a way of freeing the cell, nil if
// nothing does.
func (x *explainer) whyNotRung(rung string, fits expression.Truth) []string {
	tried, _ := x.reckon.Value(x.c, "job.tried")
	f, _ := x.cat.Lookup("job.tried")
	if i, _ := f.Word(rung); tried.State == facts.Stated && tried.Has(i) {
		return []string{"It was tried already."}
	}
	if len(x.alarms()) > 0 {
		return x.alarms()
	}
	why, _ := x.reckon.Against(x.c, rules.RungPermission(rung))
	if fits != expression.True {
		why = append(why, "It is not certain that it applies to this adhesive and tab.")
	}
	return why
}

func (x *explainer) alarms() []string {
	var out []string
	for _, f := range x.ask.Alarms() {
		out = append(out, f.Rule.Because)
	}
	return out
}

// otherVerdicts says why not the next milder and the next graver verdict.
func (x *explainer) otherVerdicts() []Nearby {
	switch x.is {
	case "proceed":
		return []Nearby{{"graver", "prepare", []string{"Nothing is left that has to be done, fetched or measured first, and the way out is settled."}}}
	case "prepare":
		out := Nearby{"milder", "proceed", nil}
		for _, h := range x.ask.Holds() {
			out.Why = append(out.Why, h.Rule.Because)
		}
		if x.stand.Pick == "undecided" {
			out.Why = append(out.Why, "No way of freeing the cell is certain yet.")
		}
		return []Nearby{out, {"graver", "stop", []string{"Nothing that is stated sets off an alarm, and some way of freeing the cell may still be permitted."}}}
	case "stop":
		milder := Nearby{"milder", "prepare", x.alarms()}
		if len(milder.Why) == 0 {
			milder.Why = []string{"No way of freeing the cell is left that is permitted and applies, whatever is made ready."}
		}
		return []Nearby{milder, {"graver", "evacuate", []string{"Nothing that is stated says that the cell is failing now."}}}
	}
	return []Nearby{{"milder", "stop", x.alarms()}}
}

// otherGrades says why the grade is not one better, and what one worse takes.
func (x *explainer) otherGrades(name string, of func(*rules.Grade) int) []Nearby {
	f, _ := x.cat.Lookup(name)
	at := slices.Index(f.Words, x.is)
	var out []Nearby
	if at > 0 {
		better := Nearby{"better", f.Words[at-1], nil}
		for _, g := range x.ask.Grade().By {
			if of(g.Rule.Grade) >= at || g.Truth != expression.True {
				better.Why = append(better.Why, g.Rule.Because)
			}
		}
		out = append(out, better)
	}
	if at+1 < len(f.Words) {
		out = append(out, Nearby{"worse", f.Words[at+1], []string{"None of the signs and readings of that grade is stated."}})
	}
	return out
}

// otherRows says why not the rows of a table before the one that answers, and
// which comes after it.
func (x *explainer) otherRows(answer string) []Nearby {
	table := x.book.Table(answer)
	row, _ := x.ask.Choose(answer)
	out := []Nearby{}
	if table == nil || row == nil {
		return out
	}
	for i := range table.Choose.Rows {
		r := &table.Choose.Rows[i]
		if r.ID == row.ID {
			if i > 0 {
				before := &table.Choose.Rows[i-1]
				out = append(out, Nearby{"stricter", fmt.Sprint(before.Value), []string{"That wants " + plain(before.When.Text) + ", and it is not so."}})
			}
			if i+1 < len(table.Choose.Rows) {
				after := &table.Choose.Rows[i+1]
				out = append(out, Nearby{"milder", fmt.Sprint(after.Value), []string{"The first row that may hold is the answer, and " + plain(row.When.Text) + " is so or not ruled out."}})
			}
		}
	}
	return out
}

// plain writes a condition for people to read.
func plain(condition string) string {
	text := strings.NewReplacer("answer.", "", "'", "", "==", "is", "\n", " ").Replace(condition)
	return strings.TrimSpace(text)
}

// carriage says why a mode is not open, and what would open it.
func (x *explainer) carriage(mode string) ([]Nearby, error) {
	s, ok, err := x.reckon.Carriage(x.c, mode)
	switch {
	case err != nil:
		return nil, err
	case !ok:
		return []Nearby{}, nil
	case s.Allowed == "yes":
		return []Nearby{{"stricter", "no", []string{"Nothing in this case bars it on this date; the marks, papers and packing of the sheet are part of the answer."}}}, nil
	}
	why := slices.Clone(s.Why)
	for _, condition := range s.AllowedIf {
		why = append(why, "It would be open if: "+condition)
	}
	for _, open := range s.Unsettled {
		why = append(why, "Not settled: "+open)
	}
	return []Nearby{{"milder", "yes", why}}, nil
}

// permission says why something is not permitted, or what it rests on.
func (x *explainer) permission(p rules.Permission) ([]Nearby, error) {
	why, err := x.reckon.Against(x.c, p)
	if err != nil {
		return nil, err
	}
	switch x.is {
	case "yes":
		return []Nearby{{"stricter", "no", []string{"Nothing that stands against it can be so in this case."}}}, nil
	case "open":
		return []Nearby{
			{"milder", "yes", why},
			{"stricter", "no", []string{"Whether what stands against it is so is not known, and it may turn out not to be."}},
		}, nil
	}
	return []Nearby{{"milder", "yes", why}}, nil
}
