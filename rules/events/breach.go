package events

import (
	"fmt"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// warmC is what a cell counts as warm from where a temperature is stated, °C:
// the rulebook lets no solvent near anything warmer.
const warmC = 40

// A breach is in what an act went further than the case permitted.
type breach struct {
	said  string
	early bool // it was permitted, but something came first
}

// judge holds an act against what the case permitted before it. An act that was
// not permitted, or more of it than was, is said loudly, with the limit and its
// reason; the look no longer counts, and what makes safe comes next. What was
// only done too early keeps the look where the safeguard says what to do then.
func (t *taking) judge(x Occurrence) error {
	a := x.Event.Act
	if a == nil || t.reported {
		return nil
	}
	before := t.before.Over(t.shop)
	if a.Try {
		before = t.withoutWarmth(before)
	}
	over, err := t.overstep(x, before)
	if err != nil || over.said == "" {
		return err
	}
	safe := shipped().safe[t.makesSafe(a)]
	t.loud("%s", strings.TrimSpace(over.said+" "+safe.Loud))
	if over.early && safe.Early != "" {
		t.happen.safe, t.happen.early = safe.Early, true
		return nil
	}
	t.happen.safe = safe.Next
	t.lookNoLongerCounts()
	return nil
}

// withoutWarmth is a case as it would be if the cell had not just been warmed:
// the sheet has a try made while it is warm.
func (t *taking) withoutWarmth(before *facts.Case) *facts.Case {
	warmings := before.Get("job.warmings")
	if before.Get("battery.temperature").State != facts.Unknown || warmings.State != facts.Stated || warmings.Low < 1 {
		return before
	}
	cold := before.Clone()
	cold.Unset("battery.temperature")
	return cold
}

// overstep says in what an act went further than the case permitted; nothing is
// said where it did not.
func (t *taking) overstep(x Occurrence, before *facts.Case) (breach, error) {
	a := x.Event.Act
	was, err := advice.Advise(t.book, before, t.opts)
	if err != nil {
		return breach{}, err
	}
	why, barred, err := t.barred(a, before, was)
	switch {
	case err != nil:
		return breach{}, err
	case barred:
		return breach{said: fmt.Sprintf("%s was not permitted here. %s", a.Name, sentence(why))}, nil
	case was.Verdict == "stop" || was.Verdict == "evacuate":
		return breach{said: fmt.Sprintf("%s was not permitted here; nothing was. %s", a.Name, sentence(was.Because))}, nil
	}
	if a.Most != "" {
		if said, err := t.overCap(x, before, was); err != nil || said != "" {
			return breach{said: said}, err
		}
	}
	if a.Waits && was.Verdict == "prepare" {
		return breach{said: fmt.Sprintf("%s was not permitted here yet. %s", a.Name, sentence(was.Because)), early: true}, nil
	}
	return breach{}, nil
}

// barred tells that none of the permissions an act needs was given, and why the
// first was not.
func (t *taking) barred(a *Act, before *facts.Case, was *advice.Advice) (why string, barred bool, err error) {
	for _, need := range a.needs() {
		p := rules.Permission(need)
		switch need {
		case anyRung:
			if freed(was) {
				return "", false, nil
			}
			why = was.Because
			continue
		case struckRung:
			if t.struck == "" {
				return "", false, nil // no way it could have been; the verdict alone decides
			}
			p = rules.RungPermission(t.struck)
		}
		reasons, err := t.reckon.Against(before, p)
		if err != nil || len(reasons) == 0 {
			return "", false, err
		}
		if why == "" {
			why = reasons[0]
		}
	}
	return why, true, nil
}

// freed tells that the cell is out, or that some way of freeing it is permitted.
func freed(was *advice.Advice) bool {
	if was.Removal.Pick == "already-out" {
		return true
	}
	for _, r := range was.Removal.Rungs {
		if r.May == "yes" && r.Fits == "yes" {
			return true
		}
	}
	return false
}

// overCap says that there was more of it than the case permitted.
func (t *taking) overCap(x Occurrence, before *facts.Case, was *advice.Advice) (string, error) {
	a := x.Event.Act
	limit, because, ok, err := t.reckon.Cap(before, a.Most)
	if err != nil {
		return "", err
	}
	if s := was.Solvent; a.Most == "solvent.dose" && s.DoseML != nil && (!ok || s.DoseML.High < limit) {
		// The sheet's own dose: what this cell, this room and what went in before leave.
		limit, ok = s.DoseML.High, true
	}
	amount := t.read(x.Event.Takes.Fact, x.Value)
	const hair = 1e-9
	if !ok || amount.State == facts.Stated && amount.High <= limit+hair {
		return "", nil
	}
	unit := unitOf(x.Event.Takes.Fact)
	return fmt.Sprintf("%s (%s) went over the limit of this sheet, which allowed %s at most. %s",
		a.Name, x.Value, facts.FormatQuantity(limit, limit, unit), sentence(because)), nil
}

func unitOf(fact string) string {
	f, ok := facts.Shipped().Lookup(fact)
	if !ok {
		return ""
	}
	return f.Unit
}

// makesSafe names the safeguard of an act as the case now stands: solvent and
// warmth together are worse than either.
func (t *taking) makesSafe(a *Act) string {
	list := shipped()
	name := a.Safe
	if t.struck != "" {
		name = list.safeguardFor(t.struck, name)
	}
	with := list.safe[name].With
	if other := with["wet"]; other != "" && !t.isStated("adhesive.solvent_used", "no") {
		return other
	}
	if other := with["warm"]; other != "" && t.mayBeWarm() {
		return other
	}
	return name
}

// mayBeWarm tells that the cell was warmed and nobody has read it since, or that
// it read warm.
func (t *taking) mayBeWarm() bool {
	v := t.own.Get("battery.temperature")
	return v.State == facts.Unknown || v.State == facts.Stated && v.High >= warmC
}

// unsafe is what happened last that was not permitted, nil where nothing was or
// the cell has been looked at since.
func unsafe(happened []Happening, list []Occurrence) *Happening {
	var last *Happening
	for i := range happened {
		switch {
		case happened[i].safe != "":
			last = &happened[i]
		case list[i].Event.change.Look:
			last = nil
		}
	}
	return last
}
