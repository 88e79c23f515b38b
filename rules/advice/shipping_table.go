package advice

import (
	"slices"
	"time"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// leaf is a row of a mode's tables that can be the answer.
type leaf struct {
	row     *rules.Row
	value   map[string]any
	also    []string // tables whose answers are added to the row's
	certain bool
	rank    int
	when    []expression.Ref // the conditions that lead to the row
}

// leaves lists the rows that can hold, in table order, with the tables a row
// points to by "see" put in its place.
func (c *carrier) leaves(answer string) []leaf {
	var out []leaf
	for _, cand := range c.q.Candidates(answer) {
		value, _ := cand.Row.Value.(map[string]any)
		also := wordsIn(value["also"])
		if next, ok := value["see"].(string); ok {
			for _, l := range c.leaves(next) {
				l.certain = l.certain && cand.Certain
				l.also = append(slices.Clone(also), l.also...)
				l.when = append(l.when, cand.Row.When.Ref)
				out = append(out, l)
			}
			continue
		}
		out = append(out, leaf{row: cand.Row, value: value, also: also, certain: cand.Certain,
			rank: carriageRank(value), when: []expression.Ref{cand.Row.When.Ref}})
	}
	return out
}

// carriageRank reads allowed; a row that does not say is no permission.
func carriageRank(value map[string]any) int {
	if i := slices.Index(carriageWords, textOf(value["allowed"])); i >= 0 {
		return i
	}
	return carriageNo
}

// lifts says what would make the mode acceptable: it walks the table and takes
// each refusal that something could lift as lifted. ok is false when a refusal
// stands that nothing lifts.
func (c *carrier) lifts(answer string) (out []string, ok bool) {
	table := c.book.Table(answer)
	if table == nil {
		return nil, false
	}
	for i := range table.Choose.Rows {
		row := &table.Choose.Rows[i]
		holds := c.q.Explore(row.When.Ref)
		if !c.inForce(row) || holds == expression.False {
			continue
		}
		value, _ := row.Value.(map[string]any)
		if next, see := value["see"].(string); see {
			more, found := c.lifts(next)
			if holds == expression.True {
				return appendNew(out, more...), found
			}
			continue
		}
		if carriageRank(value) == carriageYes {
			if holds == expression.True {
				return out, true
			}
			continue
		}
		// "opens" lifts a refusal that stands; "unless" only one that may not.
		lift := textOf(value["opens"])
		if lift == "" && holds == expression.True {
			return nil, false
		}
		out = appendNew(out, lift, textOf(value["unless"]))
	}
	return nil, false
}

// inForce tells that a row's law is in force on the day of the case.
func (c *carrier) inForce(row *rules.Row) bool {
	day := c.date.Format(time.DateOnly)
	return (row.From == "" || day >= row.From) && (row.Until == "" || day < row.Until)
}
