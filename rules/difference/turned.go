package difference

import (
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
)

// voice is a rule, or a row of a table, on one side.
type voice struct {
	id     string
	rule   *rules.Rule
	book   *rules.Book
	speaks bool // it holds, or may hold
}

// held is every rule and row of one side, in the order of its book.
type held []voice

// speaking reads every rule and row on the boxes of one outcome.
func speaking(b *rules.Book, d *advice.Decided) held {
	var h held
	explore := expression.NewExplorer(b.Arena)
	add := func(id string, r *rules.Rule, ref expression.Ref, box *expression.Box) {
		h = append(h, voice{id, r, b, explore.Truth(ref, box).Possible()})
	}
	for i := range b.Rules() {
		r := &b.Rules()[i]
		if r.Choose == nil {
			add(r.ID, r, r.Holds, d.Full)
			continue
		}
		box := d.Full
		if strings.HasPrefix(r.Choose.Answer, "ship.") {
			box = d.Parcel
		}
		for j := range r.Choose.Rows {
			add(r.Choose.Rows[j].ID, r, r.Choose.Rows[j].Holds, box)
		}
	}
	return h
}

// turning is a rule or row that speaks on one side only.
type turning struct {
	voice
	sign string // - on the first side, + on the second
}

func (t turning) name() string { return t.sign + t.id }

// turned lists what speaks on one side only: first what the other side does not
// have at all, then what decides, then what only says or asks something.
func turned(was, is held) []turning {
	var ranks [3][]turning
	note := func(h, other held, sign string) {
		there := map[string]bool{}
		for _, v := range other {
			there[v.id] = v.speaks
		}
		for _, v := range h {
			speaks, both := there[v.id]
			rank := 1
			switch {
			case !v.speaks || speaks:
				continue
			case !both:
				rank = 0
			case v.rule.Say != nil || v.rule.Hold != nil:
				rank = 2
			}
			ranks[rank] = append(ranks[rank], turning{v, sign})
		}
	}
	note(was, is, "-")
	note(is, was, "+")
	return slices.Concat(ranks[:]...)
}
