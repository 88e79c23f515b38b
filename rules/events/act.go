package events

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"loosecell/rules"
)

// An Act is what somebody did, so that it can be held against what the case
// permitted before. A sign that shows itself is no act.
type Act struct {
	Name  string    `yaml:"name"`  // begins the sentence that it was not permitted
	Needs yaml.Node `yaml:"needs"` // any of these permissions is enough
	Most  string    `yaml:"most"`  // the cap that the event's value may reach
	Waits bool      `yaml:"waits"` // not before everything that comes first is done
	Try   bool      `yaml:"try"`   // may be what a warming just now was for
	Safe  string    `yaml:"safe"`  // what makes safe after it
}

// A safeguard is what makes safe after an act that was not permitted.
type safeguard struct {
	Rungs []string          `yaml:"rungs"` // goes with these ways, whatever the event
	With  map[string]string `yaml:"with"`  // another one where the cell is wet or warm as well
	Loud  string            `yaml:"loud"`  // said beside the reason
	Next  string            `yaml:"next"`  // the next action
	Early string            `yaml:"early"` // before what comes first, where it was only too early
}

// anyRung stands for whatever way of freeing the cell the sheet permits, and
// struckRung for the way that the event strikes.
const (
	anyRung    = "rung.any"
	struckRung = "rung.{struck}"
)

// needs lists the permissions of an act.
func (a *Act) needs() []string {
	if a.Needs.Kind == yaml.ScalarNode {
		return []string{a.Needs.Value}
	}
	var out []string
	for _, n := range a.Needs.Content {
		out = append(out, n.Value)
	}
	return out
}

// is tells that an act is the use of one permission.
func (a *Act) is(p rules.Permission) bool {
	return a != nil && slices.Equal(a.needs(), []string{string(p)})
}

// check holds an act against what the rulebook knows.
func (a *Act) check(takes *Takes, safe map[string]safeguard) error {
	if a.Name == "" || len(a.needs()) == 0 {
		return fmt.Errorf("an act has a name and needs a permission")
	}
	for _, p := range a.needs() {
		if p != anyRung && p != struckRung && !rules.Permission(p).Known() {
			return fmt.Errorf("there is no permission %q", p)
		}
	}
	if a.Most != "" {
		limit, ok := rules.CapNamed(a.Most)
		if !ok || takes == nil || takes.Fact == "" {
			return fmt.Errorf("there is no cap %q for its value", a.Most)
		}
		if unit := unitOf(takes.Fact); unit != limit.Unit {
			return fmt.Errorf("%s is in %s, its cap in %s", takes.Fact, unit, limit.Unit)
		}
	}
	if _, ok := safe[a.Safe]; !ok {
		return fmt.Errorf("nothing says what makes safe: %q", a.Safe)
	}
	return nil
}

func checkSafeguards(safe map[string]safeguard) error {
	for name, s := range safe {
		if s.Next == "" {
			return fmt.Errorf("safe: %s: has no next action", name)
		}
		for state, other := range s.With {
			if _, ok := safe[other]; !ok || state != "wet" && state != "warm" {
				return fmt.Errorf("safe: %s: with %s: there is no %q", name, state, other)
			}
		}
		for _, rung := range s.Rungs {
			if !slices.Contains(rules.Rungs, rung) {
				return fmt.Errorf("safe: %s: there is no way %q", name, rung)
			}
		}
	}
	return nil
}

// safeguardFor is the safeguard that goes with a way of freeing the cell, else
// the named one.
func (t *table) safeguardFor(rung, name string) string {
	for _, key := range sortedKeys(t.safe) {
		if slices.Contains(t.safe[key].Rungs, rung) {
			return key
		}
	}
	return name
}

func sentence(s string) string {
	if s = strings.TrimSpace(s); s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}
