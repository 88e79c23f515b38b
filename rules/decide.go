package rules

import "loosecell/rules/expression"

// Decision is the truth of every rule and permission on one box, without
// splitting: what is decided is right, what is open may still be decidable.
type Decision struct {
	Rules []expression.Truth // by index in Book.Rules
	May   []expression.Truth // by index in Permissions
}

// Decide fills d for the full box and allocates nothing once d has its size. It
// is for asking about every rule of many cases: what needs a few answers to one
// case, or an exact one, asks for those.
func (q *Question) Decide(d *Decision) {
	n := len(q.Book.rules)
	if len(d.Rules) != n {
		d.Rules = make([]expression.Truth, n)
		d.May = make([]expression.Truth, len(Permissions))
	}
	if q.sweep == nil {
		q.sweep = q.Book.sweep()
	}
	q.sweep.On(q.Full)
	for i := range q.Book.rules {
		d.Rules[i] = q.sweep.Value(q.Book.rules[i].Holds)
	}
	for i, p := range Permissions {
		d.May[i] = q.sweep.Value(q.Book.may[p])
	}
}

func (b *Book) sweep() *expression.Sweep {
	var refs []expression.Ref
	for i := range b.rules {
		refs = append(refs, b.rules[i].Holds)
	}
	for _, p := range Permissions {
		refs = append(refs, b.may[p])
	}
	return expression.NewSweep(b.Arena, refs...)
}
