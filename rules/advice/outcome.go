package advice

import (
	"loosecell/rules"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// outcome is what the engine answers for one case, before it is written out.
type outcome struct {
	*resolved
	q      *rules.Question
	graded rules.Graded
	alarms []rules.Finding
	may    map[rules.Permission]expression.Truth
	fits   map[string]expression.Truth

	pick    string
	charge  expression.Range // derived.state_of_charge
	target  float64          // %, what the charge is brought to
	loosest float64          // %, the highest that target can be
	due     string
	action  string
	holds   []rules.Finding
	verdict string

	physics
}

// adviser holds what is kept between the many outcomes one advice looks at.
type adviser struct {
	book *rules.Book
	cat  *facts.Catalogue
	opts Options
	ask  *rules.Question
	// For looking at the same case with what can be changed changed.
	changed *expression.Box
	whatIf  *rules.Question
}

// outcome decides and plans one case.
func (a *adviser) outcome(c *facts.Case) (*outcome, error) {
	date, err := dateOf(c, a.opts)
	if err != nil {
		return nil, err
	}
	o := &outcome{resolved: resolve(a.book.Layout, c, date)}
	a.turn(o)
	o.grade()
	o.decide()
	o.plan(a)
	return o, nil
}

// turn asks the book about the case of an outcome.
func (a *adviser) turn(o *outcome) {
	if a.ask == nil {
		a.ask = a.book.Ask(o.full, o.alarm)
	}
	o.q = a.ask
	o.q.About(o.full, o.alarm)
}

// grade settles how bad the cell is, for the hands and for carriage. A stated
// assessment decides what the carrier has to hear; the hands keep their reading.
func (o *outcome) grade() {
	o.graded = o.q.Grade()
	if o.graded.Condition < rules.Reacting && o.assessedNotCritical() {
		o.graded.Transport = min(o.graded.Transport, rules.UnprovenTransport)
	}
}

// assessedNotCritical tells that a competent person is stated to have judged the
// battery not critical (SP 376).
func (o *outcome) assessedNotCritical() bool {
	slot := o.full.Layout.MustSlot("battery.assessed")
	i, ok := o.full.Layout.Slots[slot].Fact.Word("not-critical")
	return ok && o.full.At(slot).Words == 1<<i
}

// decide settles what is permitted.
func (o *outcome) decide() {
	o.alarms = o.q.Alarms()
	o.may = make(map[rules.Permission]expression.Truth, len(rules.Permissions))
	for _, p := range rules.Permissions {
		o.may[p] = o.q.May(p)
	}
	o.fits = make(map[string]expression.Truth, len(rules.Rungs))
	for _, r := range rules.Rungs {
		o.fits[r] = o.q.Fits(r)
	}
	o.charge = o.full.At(o.full.Layout.MustSlot("derived.state_of_charge"))
}

// plan picks from what is permitted, sees what is due and gives the verdict.
func (o *outcome) plan(a *adviser) {
	o.target, o.loosest = o.dischargeTarget()
	o.due = o.dischargeDue(a)
	o.action = o.dischargeAction()
	o.answerGrade()
	o.solventChoice()
	o.answerMay("heat", o.may["heat"])
	o.answerMay("solvent", o.may["solvent"])
	o.answerMay("discharge", o.dischargeMay())
	o.answerMay("opening", o.may["opening"])
	o.answerWord("discharge_due", o.due)
	o.answerWord("discharge_action", o.action)
	o.pick = o.choosePick(a)
	o.answerWord("pick", o.pick)
	o.answerWord("any_force", yesNo(forceful[o.pick]))
	o.holds = a.answerable(o, o.q.Holds())
	o.verdict = o.giveVerdict(a)
	o.answerWord("verdict", o.verdict)
}

// forceful rungs bend or lever: after them the cell is looked at again, and it
// never goes back into a device.
var forceful = map[string]bool{"card": true, "solvent": true, "warm": true, "cut-leads": true}

func (o *outcome) giveVerdict(a *adviser) string {
	if len(o.alarms) > 0 {
		return o.alarms[0].Rule.Alarm.Verdict
	}
	stays := o.staysIn(a)
	if o.pick == "leave-in-and-refer" && !stays {
		return "stop"
	}
	refit := o.may["refit"]
	back := o.pick == "already-out" && o.certainly(a.cat, "job.goal", "refit")
	switch {
	case back && refit == expression.False:
		return "stop"
	case o.pick == "undecided" && !stays, len(o.holds) > 0, back && refit != expression.True:
		return "prepare"
	}
	if o.certainly(a.cat, "job.goal", "ship") {
		return o.carriageVerdict(a)
	}
	return "proceed"
}

// carriageVerdict is the verdict on handing over: proceed if some mode takes the
// cell as it is, prepare if something named would open one, else stop.
func (o *outcome) carriageVerdict(a *adviser) string {
	verdict := "stop"
	for _, s := range (&writer{adviser: a, outcome: o, fill: o.placeholders()}).shipping() {
		if s.Allowed == "yes" {
			return "proceed"
		}
		if len(s.Unsettled)+len(s.AllowedIf) > 0 || s.Allowed == "approval" {
			verdict = "prepare"
		}
	}
	return verdict
}

// staysIn tells that the goal leaves the battery where it is: to store or to
// ship a device with a sound battery nobody has to take it out.
func (o *outcome) staysIn(a *adviser) bool {
	return o.graded.Condition < rules.Unproven && (o.certainly(a.cat, "job.goal", "store") || o.certainly(a.cat, "job.goal", "ship")) && !o.possible(a.cat, "battery.place", "removed")
}

// choosePick is the gentlest rung that is certainly permitted, certainly fits
// and has not been tried.
func (o *outcome) choosePick(a *adviser) string {
	if o.certainly(a.cat, "battery.place", "removed") {
		return "already-out"
	}
	if len(o.alarms) > 0 {
		return "leave-in-and-refer"
	}
	open := false
	for _, r := range rules.Rungs {
		if o.tried(r) {
			continue
		}
		may, fits := o.may[rules.RungPermission(r)], o.fits[r]
		if may == expression.True && fits == expression.True {
			return r
		}
		open = open || may.Possible() && fits.Possible()
	}
	if open || o.possible(a.cat, "battery.place", "removed") || o.couldChange(a) {
		return "undecided"
	}
	return "leave-in-and-refer"
}

// tried tells that the case says this rung was tried already.
func (o *outcome) tried(rung string) bool {
	v := o.values["job.tried"]
	first, _, _ := o.full.Layout.MemberSlots("job.tried")
	i, ok := o.full.Layout.Slots[first].Fact.Word(rung)
	return ok && v.State == facts.Stated && v.Has(i)
}

// couldChange tells whether some rung could be permitted after what a person
// can change has been changed: kit fetched, room aired, cell discharged.
func (o *outcome) couldChange(a *adviser) bool {
	changed := a.changedFrom(o)
	for i := range changed.Layout.Slots {
		s := &changed.Layout.Slots[i]
		if s.Fact.Change == nil || s.Derive != nil || s.Fact.Name == "battery.gauge_charge" {
			continue
		}
		changed.Set(i, s.Domain)
	}
	if o.dischargeMay().Possible() {
		gauge := changed.Layout.MustSlot("battery.gauge_charge")
		changed.Set(gauge, changed.Layout.Slots[gauge].Domain)
		charge := changed.Layout.MustSlot("derived.state_of_charge")
		changed.Set(charge, expression.Range{Low: 0, High: o.charge.High})
	}
	for _, r := range rules.Rungs {
		if o.tried(r) || !o.fits[r].Possible() {
			continue
		}
		if a.whatIf.May(rules.RungPermission(r)).Possible() {
			return true
		}
	}
	return false
}

// changedFrom is the box of an outcome to change, with a question about it.
func (a *adviser) changedFrom(o *outcome) *expression.Box {
	if a.changed == nil {
		a.changed = expression.NewBox(o.full.Layout)
		a.whatIf = a.book.Ask(a.changed, o.alarm)
	}
	a.changed.CopyFrom(o.full)
	a.whatIf.About(a.changed, o.alarm)
	return a.changed
}

// answerGrade states how bad the cell is.
func (o *outcome) answerGrade() {
	o.answer("condition", o.graded.Condition)
	o.answer("transport_state", o.graded.Transport)
}

// answer states an answer of the decide or plan stage for the rules that read it.
func (o *outcome) answer(name string, rank int) {
	o.full.Set(o.full.Layout.MustSlot("answer."+name), expression.Word(rank))
}

func (o *outcome) answerWord(name, word string) {
	slot := o.full.Layout.MustSlot("answer." + name)
	if i, ok := o.full.Layout.Slots[slot].Fact.Word(word); ok {
		o.full.Set(slot, expression.Word(i))
	}
}

func (o *outcome) answerMay(name string, t expression.Truth) { o.answerWord(name, mayWord(t)) }

// mayWord is the contract's word for a permission.
func mayWord(t expression.Truth) string {
	switch t {
	case expression.True:
		return "yes"
	case expression.False:
		return "no"
	}
	return "open"
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
