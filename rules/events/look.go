package events

import (
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// lookNoLongerCounts takes out what the last look showed to be absent. What is
// stated to be there stays.
func (t *taking) lookNoLongerCounts() {
	for i := range t.cat.Facts {
		f := &t.cat.Facts[i]
		if v := t.own.Get(f.Name); f.Sign && v.State == facts.Stated && v.Words == 1 {
			t.own.Unset(f.Name)
		}
	}
	t.own.Set("battery.looked", t.read("battery.looked", "no"))
}

// look notes that the cell was looked at, as far as its place allows unless it
// is said how.
func (t *taking) look(how string) {
	if how == "" {
		how = t.everythingInSight()
	}
	for _, name := range advice.LookAgain(t.own, how) {
		f, _ := t.cat.Lookup(name)
		v := t.own.Get(name)
		if v.State == facts.Unknown {
			t.loud("The case says %s is unknown. A look does not change that; write in the case what you saw.", name)
		} else {
			t.loud("%s stays %s, as it was seen before.", name, f.FormatValue(v))
		}
	}
}

// everythingInSight is the look that the cell's place allows.
func (t *taking) everythingInSight() string {
	switch {
	case t.isStated("battery.place", "removed"):
		return "both-faces"
	case t.isStated("battery.place", "in-open-device"):
		return "opened"
	}
	return "closed"
}

// opened notes that what a closed device hides is now in sight, and not yet
// looked at.
func (t *taking) opened() {
	looked := t.own.Get("battery.looked")
	f, _ := t.cat.Lookup("battery.looked")
	if i, _ := f.Word("closed"); looked.State == facts.Stated && looked.Words&(1<<i-1) != 0 {
		t.own.Set("battery.looked", t.read("battery.looked", "closed"))
	}
}

// cool notes a temperature taken after warming, or that the cell feels as cool
// as the room. Warmth of the cell's own is not undone by it.
func (t *taking) cool(reading string) {
	t.own.Unset("battery.temperature_rate")
	if reading != "" {
		t.own.Set("battery.temperature", t.read("battery.temperature", reading))
		return
	}
	t.own.Unset("battery.temperature")
	f, _ := t.cat.Lookup("battery.self_heating")
	if v := t.own.Get(f.Name); v.State == facts.Stated && v.Words != 1 {
		t.loud("The case says %s is %s. That it is cool now does not undo it.", f.Name, f.FormatValue(v))
		return
	}
	t.own.Set(f.Name, facts.Value{State: facts.Stated, Words: 1})
}

// isStated tells that a fact is certainly one word, as stated or presumed.
func (t *taking) isStated(name, word string) bool {
	f, _ := t.cat.Lookup(name)
	i, _ := f.Word(word)
	v, err := t.reckon.Value(t.whole(), name)
	return err == nil && v.State == facts.Stated && v.Words == 1<<i
}
