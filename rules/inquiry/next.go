package inquiry

import (
	"cmp"
	"slices"

	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// Next is the next question, nil when nothing that could be asked can change an
// answer that matters any more, or when what is stated ends the job. left is
// how many questions are open now; answers close some and can open others.
func (q *Inquiry) Next() (question *Question, s *advice.Standing, left int, err error) {
	c := q.doubted()
	if s, err = q.reckon.Standing(c); err != nil || s.Alarmed {
		return nil, s, 0, err
	}
	list := q.candidates(c, s)
	if first := q.danger(c, s); first != nil {
		return first, s, max(1, len(list)), nil
	}
	if len(list) == 0 {
		return nil, s, 0, nil
	}
	return list[0], s, len(list), nil
}

// danger is what comes before anything else: signs that end the job.
func (q *Inquiry) danger(c *facts.Case, s *advice.Standing) *Question {
	known := func(fact string) bool { return c.Get(fact).State != facts.Missing }
	if g := group("danger", known); g != nil && !q.asked["danger"] {
		return g
	}
	if c.Get("battery.looked").State != facts.Missing {
		return nil
	}
	return q.askFor("battery.looked", c, s)
}

// candidates lists the questions that can still change an answer that matters,
// the most telling first.
func (q *Inquiry) candidates(c *facts.Case, s *advice.Standing) []*Question {
	goals := q.open(s)
	var list []*Question
	have := map[string]bool{}
	add := func(fact string) {
		if g := q.askFor(fact, c, s); g != nil && !have[g.ID] {
			have[g.ID] = true
			list = append(list, g)
		}
	}
	for _, slot := range q.undecidedSlots(goals, s.Full) {
		for _, fact := range q.behind(slot, s.Full) {
			for _, decides := range q.presumedFrom(fact, c) {
				add(decides)
			}
			add(fact)
		}
	}
	list = q.reckoned(list, goals, c, s)
	list = q.liquids(list, c, s)
	slices.SortStableFunc(list, func(a, b *Question) int {
		return cmp.Or(cmp.Compare(b.Worth, a.Worth), cmp.Compare(q.cat.Index(a.ID), q.cat.Index(b.ID)))
	})
	for _, question := range list {
		have[question.ID] = true
	}
	if c.Get("job.goal").State == facts.Unknown && !q.asked["job.goal"] && !have["job.goal"] {
		// It decides which answers are asked for at all.
		add("job.goal")
	}
	for _, fact := range s.Unsettled {
		add(fact)
	}
	return list
}

// reckoned keeps the questions some answer of which changes what is open, with
// their worth: how much less is open after the answer, over the values it may
// have, less for what takes long to find out.
func (q *Inquiry) reckoned(list []*Question, goals []goal, c *facts.Case, s *advice.Standing) []*Question {
	base := q.work(goals, s.Full, nil, nil, nil)
	v := &variants{Inquiry: q, c: c, s: s, goals: goals, base: base, was: sum(base)}
	kept := list[:0]
	for _, question := range list {
		if gain, live := v.worth(question); live {
			question.Worth = gain / (1 + question.Minutes/10)
			kept = append(kept, question)
		}
	}
	return kept
}

func sum(list []float64) (total float64) {
	for _, x := range list {
		total += x
	}
	return total
}

// undecidedSlots are the slots that keep the goals open, each once.
func (q *Inquiry) undecidedSlots(goals []goal, b *expression.Box) []int {
	var out []int
	seen := map[int]bool{}
	add := func(slots ...int) {
		for _, s := range slots {
			if !seen[s] {
				seen[s] = true
				out = append(out, s)
			}
		}
	}
	for i := range goals {
		g := &goals[i]
		if g.number {
			add(g.slot)
		}
		for _, part := range g.parts {
			add(q.explore.Undecided(part, b)...)
		}
		add(g.waits...)
	}
	return out
}

// behind are the facts a person can be asked for about a slot: itself, or what
// a derived fact is computed from.
func (q *Inquiry) behind(slot int, b *expression.Box) []string {
	f := b.Layout.Slots[slot].Fact
	if !f.Derived {
		return []string{f.Name}
	}
	var out []string
	for _, p := range f.Parents {
		for _, s := range b.Layout.SlotsOf(p.Name) {
			if b.Layout.Slots[s].Derive != nil || !b.Known(s) {
				for _, name := range q.behind(s, b) {
					if !slices.Contains(out, name) {
						out = append(out, name)
					}
				}
			}
		}
	}
	return out
}

// presumedFrom are the facts nobody stated from which a missing fact would be
// presumed: the kind of device says what its battery usually is.
func (q *Inquiry) presumedFrom(fact string, c *facts.Case) []string {
	f, _ := q.cat.Lookup(fact)
	if c.Get(fact).State != facts.Missing {
		return nil
	}
	var out []string
	for i := range f.Presume {
		for name := range f.Presume[i].When {
			if c.Get(name).State == facts.Missing && !slices.Contains(out, name) {
				out = append(out, name)
			}
		}
	}
	slices.Sort(out)
	return out
}

// askFor is the question about a fact: the list it belongs to, or the fact
// alone; nil if it was asked, is stated, or cannot be found out now.
func (q *Inquiry) askFor(fact string, c *facts.Case, s *advice.Standing) *Question {
	f, ok := q.cat.Lookup(fact)
	if !ok || !f.Statable() || f.Kind == facts.Text || f.Kind == facts.Layers {
		return nil
	}
	place := q.place(s)
	if id, ok := q.listFor(fact, place); ok {
		if place < 0 && (id == "look-closed" || id == "look-opened") && !q.asked["battery.place"] {
			return q.single("battery.place")
		}
		if id == "" || q.asked[id] {
			return nil
		}
		return group(id, func(fact string) bool {
			v := c.Get(fact)
			if v.State == facts.Missing && id != "kit" {
				slot, ok := q.book.Layout.Slot(fact)
				return ok && s.Full.Known(slot)
			}
			return v.State == facts.Stated || v.State == facts.Unknown && q.known.Get(fact).State == facts.Unknown
		})
	}
	if q.asked[fact] || q.Whole().Get(fact).State != facts.Missing || !reachable(fact, place) {
		return nil
	}
	if first, ok := comesAfter[fact]; ok {
		if earlier := q.askFor(first, c, s); earlier != nil {
			return earlier
		}
	}
	return q.single(fact)
}

// comesAfter are readings that mean nothing, or sound a false alarm, as long as
// another fact was not asked for: warmth right after use is no sign.
var comesAfter = map[string]string{
	"battery.temperature":      "battery.off_time",
	"battery.temperature_rate": "battery.temperature",
}

func (q *Inquiry) single(fact string) *Question {
	f, _ := q.cat.Lookup(fact)
	return &Question{ID: fact, Fact: f, Text: f.Ask, Find: f.Find, StandIn: f.StandIn, Minutes: f.Minutes}
}

// listFor is the list that asks for a fact at this place of the battery; ok is
// false where a fact is asked for alone.
func (q *Inquiry) listFor(fact string, place int) (id string, ok bool) {
	ids := listed()[fact]
	if len(ids) == 0 {
		return "", false
	}
	look := "look-closed"
	switch place {
	case opened:
		look = "look-opened"
	case removed:
		look = "look-both-faces"
	}
	for _, id := range ids {
		switch id {
		case "look-closed", "look-opened", "look-both-faces":
			if id == look {
				return id, true
			}
		default:
			return id, true
		}
	}
	return "", true // not to be seen at this place
}

// Words of battery.place.
const (
	closedDevice = iota
	opened
)

// place is where the battery is, -1 if that is not known.
func (q *Inquiry) place(s *advice.Standing) int {
	slot := q.book.Layout.MustSlot("battery.place")
	if !s.Full.Known(slot) {
		return -1
	}
	for i := range 3 {
		if s.Full.At(slot) == expression.Word(i) {
			return i
		}
	}
	return -1
}

// reachable tells whether a fact can be found out with the battery where it
// is: inside a closed device nobody sees the adhesive or reaches the contacts.
func reachable(fact string, place int) bool {
	return place != closedDevice || !hiddenWhileClosed[fact]
}

var hiddenWhileClosed = map[string]bool{
	"battery.rest_voltage": true, "battery.volts_at": true, "battery.rest_time": true, "battery.rest_drop": true,
	"battery.mass": true, "battery.thickness": true, "battery.nominal_thickness": true, "battery.length": true,
	"battery.width": true, "battery.terminals": true, "battery.soldered": true, "battery.protected": true,
	"battery.label": true, "device.battery_disconnected": true, "device.pry_access": true,
	"adhesive.kind": true, "adhesive.pull_tab": true, "adhesive.pull_tabs": true, "adhesive.pull_tabs_torn": true,
	"adhesive.side_tabs": true, "adhesive.length": true, "adhesive.width": true, "adhesive.gap": true,
}
