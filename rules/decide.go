package rules

import "loosecell/rules/expression"

// Decision is the truth of every rule and permission on one box, without
// splitting: what is decided is right, what is open may still be decidable.
type Decision struct {
	Rules []expression.Truth // by index in Book.Rules
	May   []expression.Truth // by index in Permissions
}

// Decide fills d for the full box and allocates nothing once d has its size. It
// is the kernel under triage, proofs and interviews.
func (q *Question) Decide(d *Decision) {
	n := len(q.Book.rules)
	if len(d.Rules) != n {
		d.Rules = make([]expression.Truth, n)
		d.May = make([]expression.Truth, len(Permissions))
	}
	q.eval.On(q.Full)
	for i := range q.Book.rules {
		d.Rules[i] = q.eval.Value(q.Book.rules[i].Holds)
	}
	for i, p := range Permissions {
		d.May[i] = q.eval.Value(q.Book.may[p])
	}
}
