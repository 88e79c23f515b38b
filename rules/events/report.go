package events

import (
	"math"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Schema names the shape of the JSON form of a Report.
const Schema = "loosecell.after/1"

// A Report is what happened, what to do next, and the advice for the case as it
// now stands.
type Report struct {
	Schema   string         `json:"schema"`
	Case     string         `json:"case"`
	Next     advice.Line    `json:"next"` // the next action
	Happened []Happening    `json:"happened"`
	Struck   []Struck       `json:"struck"` // ways that were open before and are not now
	Used     []Used         `json:"used"`   // how much of the job's limits is used up
	Advice   *advice.Advice `json:"advice"`
	YAML     string         `json:"case_file"` // the case as it now stands

	After *facts.Case `json:"-"`
}

// Struck is a way of freeing the cell that is no longer offered, and why.
type Struck struct {
	Rung string `json:"rung"`
	Why  string `json:"why"`
}

// Used is how much of one of the job's limits is used up.
type Used struct {
	Fact    string  `json:"fact"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	Known   bool    `json:"known"` // false: nobody knows, and nothing is permitted on it
	Limit   float64 `json:"limit"`
	Unit    string  `json:"unit,omitempty"`
	Reached bool    `json:"reached"` // possible is enough
}

// After takes events into a case and asks for advice on what comes of it. shop
// may be nil. The case itself is not changed; After holds the new one. The
// error tells of bad options or of events that contradict the case.
func After(b *rules.Book, c, shop *facts.Case, list []Occurrence, o advice.Options) (*Report, error) {
	was, err := advice.Advise(b, c.Over(shop), o)
	if err != nil {
		return nil, err
	}
	after, happened, err := Happen(b, c, shop, list, o)
	if err != nil {
		return nil, err
	}
	is, err := advice.Advise(b, after.Over(shop), o)
	if err != nil {
		return nil, err
	}
	ready, err := prepared(b, after.Over(shop), is, o)
	if err != nil {
		return nil, err
	}
	r := &Report{Schema: Schema, Case: c.Name, Happened: happened, Advice: is, After: after, YAML: string(after.YAML()),
		Struck: struck(was, ready)}
	if r.Used, err = used(b, after.Over(shop), o); err != nil {
		return nil, err
	}
	r.Next = next(was, r, list)
	return r, nil
}

// next is the next action: to leave, to make safe after what was not permitted,
// what comes first before work, or the first step that the sheet before did not
// have.
func next(was *advice.Advice, r *Report, list []Occurrence) advice.Line {
	is := r.Advice
	if is.Verdict == "evacuate" {
		if len(is.Emergency) > 0 {
			return is.Emergency[0]
		}
		return advice.Line{Text: "Leave now. Take everyone with you.", Source: "common practice"}
	}
	if h := unsafe(r.Happened, list); h != nil {
		return makeSafe(h, is)
	}
	if l, ok := whileWarm(was, is, list); ok {
		return l
	}
	if over := spent(r, list); over != "" {
		return advice.Line{Text: over, Source: "common practice"}
	}
	if is.Verdict == "prepare" && len(is.Prepare) > 0 {
		return advice.Line{Text: is.Prepare[0].Text, Source: is.Prepare[0].Source, Rule: is.Prepare[0].Rule}
	}
	fresh := func(s advice.Step) bool {
		return !slices.ContainsFunc(was.Removal.Steps, func(old advice.Step) bool { return old.Rule == s.Rule && old.Text == s.Text })
	}
	steps := is.Removal.Steps
	if i := slices.IndexFunc(steps, fresh); i >= 0 {
		return line(steps[i])
	}
	if is.Verdict == "proceed" {
		return advice.Line{Text: "Go on as before. " + is.Because, Source: "common practice"}
	}
	if len(steps) > 0 {
		return line(steps[0])
	}
	return advice.Line{Text: is.Because, Source: "common practice"}
}

// makeSafe is what comes first after an act that was not permitted.
func makeSafe(h *Happening, is *advice.Advice) advice.Line {
	text := h.safe
	switch {
	case is.Verdict == "stop" && len(is.Removal.Steps) > 0:
		text += " This job ends here; go on with the list below."
	case h.early && is.Verdict == "prepare" && len(is.Prepare) > 0:
		text += " Then what comes first: " + lowerFirst(is.Prepare[0].Text)
	case h.early:
		text += " Then run the case again."
	}
	return advice.Line{Text: text, Source: "common practice"}
}

// whileWarm is the try that the sheet before gave for a cell just warmed. It was
// permitted there; the case itself, whose temperature nobody knows now, permits
// nothing until the cell has cooled.
func whileWarm(was, is *advice.Advice, list []Occurrence) (advice.Line, bool) {
	if was.Verdict != "proceed" || was.Removal.Pick != "warm" || is.Verdict != "prepare" ||
		len(list) != 1 || !list[0].Event.Act.is(rules.RungPermission("warm")) {
		return advice.Line{}, false
	}
	for _, s := range was.Removal.Steps {
		if s.Rule == "steps-warm-tape" || s.Rule == "steps-warm-pull-again" {
			try, _, _ := strings.Cut(s.Text, ". ")
			return advice.Line{Text: try + ". Then let it cool to the room, 15 minutes, and note it: cooled.", Source: s.Source, Rule: s.Rule}, true
		}
	}
	return advice.Line{}, false
}

// spent warns that more solvent went in than a job may use.
func spent(r *Report, list []Occurrence) string {
	is := r.Advice
	wet := slices.ContainsFunc(list, func(x Occurrence) bool { return x.Event.Act.is(rules.RungPermission("solvent")) })
	i := slices.IndexFunc(r.Used, func(u Used) bool { return u.Fact == "adhesive.solvent_volume" && u.Reached })
	if !wet || i < 0 || is.Verdict == "stop" || is.Verdict == "evacuate" {
		return ""
	}
	why := "the dose is used up"
	if !r.Used[i].Known {
		why = "nobody knows how much went in"
	}
	then := "when it is dry and no smell of it is left, run the case again."
	if is.Verdict == "prepare" && len(is.Prepare) > 0 {
		then = is.Prepare[0].Text
	}
	return "No more solvent in this job: " + why + ". " +
		"Let it drain, blot what stands in the well, window open, battery unplugged. Then: " + lowerFirst(then)
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

func line(s advice.Step) advice.Line {
	return advice.Line{Text: s.Text, Source: s.Source, Rule: s.Rule}
}

// prepared is the advice once everything has been done that comes first, so
// that a way which only waits for a look does not count as lost.
func prepared(b *rules.Book, c *facts.Case, is *advice.Advice, o advice.Options) (*advice.Advice, error) {
	if is.Verdict != "prepare" {
		return is, nil
	}
	ready := c.Clone()
	for _, p := range is.Prepare {
		if p.Fact == "battery.looked" {
			advice.LookAgain(ready, p.Answer)
		} else if p.Answer != "" {
			_ = ready.SetText(c.Catalogue(), p.Fact, p.Answer) // else it stays as it is: stricter
		}
	}
	return advice.Advise(b, ready, o)
}

// struck lists the ways that were not ruled out before and now are.
func struck(was, is *advice.Advice) []Struck {
	out := []Struck{}
	for i, now := range is.Removal.Rungs {
		old := was.Removal.Rungs[i]
		if old.May == "no" || old.Fits == "no" || old.Tried {
			continue
		}
		switch {
		case now.Tried:
			out = append(out, Struck{now.Rung, "It was tried."})
		case now.Fits == "no":
			out = append(out, Struck{now.Rung, "It no longer applies."})
		case now.May == "no" && len(now.Why) > 0:
			out = append(out, Struck{now.Rung, now.Why[0]})
		case now.May == "no":
			out = append(out, Struck{now.Rung, "It is not permitted now."})
		}
	}
	return out
}

// limited are the facts that a job uses up.
var limited = []string{"job.minutes", "job.warmings", "adhesive.solvent_volume"}

// used says how much of each limit a case has used up; a limit that nothing has
// been used of is left out.
func used(b *rules.Book, c *facts.Case, o advice.Options) ([]Used, error) {
	reckon := advice.NewReckoner(b, c.Catalogue(), o)
	out := []Used{}
	for _, name := range limited {
		f, _ := c.Catalogue().Lookup(name)
		v, err := reckon.Value(c, name)
		if err != nil {
			return nil, err
		}
		limit, ok := limitOf(b, name)
		if !ok || v.State == facts.Stated && v.High == 0 {
			continue
		}
		if name == "adhesive.solvent_volume" { // less on a swollen cell or in a tiny device
			most, err := reckon.SolventCapML(c)
			if err != nil {
				return nil, err
			}
			limit = min(limit, most)
		}
		u := Used{Fact: name, Low: v.Low, High: v.High, Known: v.State == facts.Stated, Limit: limit, Unit: f.Unit}
		if !u.Known {
			u.Low, u.High = f.Min, f.Max
		}
		u.Reached = u.High >= limit
		out = append(out, u)
	}
	return out, nil
}

// limitOf is the amount of a fact at which a rule ends the job or takes a way
// away: the largest such bound, since a smaller one speaks of less.
func limitOf(b *rules.Book, name string) (limit float64, ok bool) {
	slot, known := b.Layout.Slot(name)
	if !known {
		return 0, false
	}
	for i := range b.Rules() {
		r := &b.Rules()[i]
		if r.Alarm == nil && (r.Restrict == nil || len(r.Restrict.Forbid) == 0) {
			continue
		}
		for _, atom := range b.Arena.Atoms(r.Holds) {
			if atom.Slot == slot {
				limit, ok = max(limit, firstOver(&b.Layout.Slots[slot], atom.Cut)), true
			}
		}
	}
	return limit, ok
}

// firstOver is the smallest amount over a cut.
func firstOver(s *expression.Slot, cut float64) float64 {
	if s.Whole {
		return math.Floor(cut) + 1
	}
	return math.Nextafter(cut, math.Inf(1))
}
