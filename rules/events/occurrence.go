package events

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/facts"
)

// An Occurrence is an event as somebody reported it.
type Occurrence struct {
	Event *Event
	Value string // what stood after "=", or the event's default; "" if neither
	Given bool   // the value was given
}

// String writes the occurrence as it is typed.
func (o Occurrence) String() string {
	if o.Given {
		return o.Event.Word + "=" + o.Value
	}
	return o.Event.Word
}

// Parse reads one event as typed: "bent", "warmed=2", "solvent-applied=0.4 mL".
// Letter case, and a space or underscore for a hyphen, do not matter. The error
// names the nearest right word.
func Parse(text string) (Occurrence, error) {
	word, value, given := strings.Cut(text, "=")
	word = strings.NewReplacer(" ", "-", "_", "-").Replace(strings.ToLower(strings.TrimSpace(word)))
	value = strings.TrimSpace(value)
	e := shipped().byWord[word]
	if e == nil {
		return Occurrence{}, unknownEvent(word)
	}
	o := Occurrence{Event: e, Value: value, Given: given}
	switch {
	case e.Takes == nil && given:
		return o, fmt.Errorf("%s takes no value; write %s", e.Word, e.Word)
	case e.Takes == nil:
		return o, nil
	case given && value == "":
		return o, fmt.Errorf("%s= wants a value, such as %s", e.Word, e.Example())
	case !given && e.Takes.Default != "":
		o.Value = e.Takes.Default
		return o, nil
	case !given && e.Takes.Optional:
		return o, nil
	case !given:
		return o, fmt.Errorf("%s wants a value; write %s", e.Word, e.Example())
	}
	var err error
	o.Value, err = e.read(value)
	return o, err
}

func unknownEvent(word string) error {
	words := slices.Collect(maps.Keys(shipped().byWord))
	if near := facts.NearestWord(word, words); near != "" {
		e := shipped().byWord[near]
		return fmt.Errorf("there is no event %q; did you mean %s? (%s) after --list shows all", word, e.Word, e.Says)
	}
	return fmt.Errorf("there is no event %q; after --list shows all", word)
}

// read checks a given value and writes it as a case file does.
func (e *Event) read(value string) (string, error) {
	cat := facts.Shipped()
	switch {
	case e.Takes.Rung:
		f, _ := cat.Lookup("job.tried")
		i, ok := f.Word(value)
		if !ok {
			return "", fmt.Errorf("%s=%s: there is no such way of freeing a cell; one of %s", e.Word, value, strings.Join(rules.Rungs, ", "))
		}
		return f.Words[i], nil
	case e.Takes.Change:
		return changeable(e, value)
	}
	f, _ := cat.Lookup(e.Takes.Fact)
	if e.Takes.Bare != nil && *e.Takes.Bare != "" && strings.Trim(value, "0123456789.") == "" {
		value += " " + *e.Takes.Bare
	}
	c := facts.NewCase(cat, "")
	if err := c.SetText(cat, f.Name, value); err != nil {
		return "", fmt.Errorf("%s=%s: %w", e.Word, value, err)
	}
	v := c.Get(f.Name)
	if v.State != facts.Stated {
		return "", fmt.Errorf("%s=%s: write what is known, or leave the event out", e.Word, value)
	}
	return f.FormatValue(v), nil
}

// changeable finds a fact that a person can change, by its name with or without
// the group.
func changeable(e *Event, name string) (string, error) {
	name = strings.ReplaceAll(strings.ToLower(name), "-", "_")
	cat := facts.Shipped()
	var all []string
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if f.Change == nil || f.Change.To == "" || !f.Statable() || f.Name == "battery.looked" {
			continue
		}
		if f.Name == name || f.Key() == name {
			return f.Name, nil
		}
		all = append(all, f.Key())
	}
	near := facts.NearestWord(name, all)
	if near == "" {
		return "", fmt.Errorf("%s=%s: nothing of that name can be made ready; one of %s", e.Word, name, strings.Join(all, ", "))
	}
	return "", fmt.Errorf("%s=%s: nothing of that name can be made ready; did you mean %s?", e.Word, name, near)
}

// Example is the event with a value that fits it.
func (e *Event) Example() string {
	examples := map[string]string{
		"solvent-applied": "0.4mL", "discharge": "25%", "gauge": "25%", "volts": "3.71V", "minutes": "10", "cooled": "24degC",
		"tried": "warm", "done": "fire_bin", "warmed": "2", "looked": "both-faces",
	}
	switch {
	case e.Takes == nil:
		return e.Word
	case examples[e.Word] != "":
		return e.Word + "=" + examples[e.Word]
	}
	first, _, _ := strings.Cut(e.Takes.Default, " |")
	return e.Word + "=" + first
}

// Usage is the event as a list of events shows it: a value that may be left out
// stands in brackets.
func (e *Event) Usage() string {
	word, value, _ := strings.Cut(e.Example(), "=")
	switch {
	case e.Takes == nil:
		return e.Word
	case e.Takes.Default != "" || e.Takes.Optional:
		return word + "[=" + value + "]"
	}
	return word + "=" + value
}
