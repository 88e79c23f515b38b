package consign

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"loosecell/rules/facts"
)

// Modes are the modes of carriage a list can be packed for.
var Modes = []string{"road", "rail", "sea", "air-cargo", "air-passenger", "post"}

// A Request says for what a list is to be packed.
type Request struct {
	Mode         string // one of Modes
	Jurisdiction string // un, eu, uk, us; "" as each row or the shop says
	Packing      string // by-itself, with-equipment, in-equipment; "" as each row says
	On           string // ISO date the law is read at
	Shop         *facts.Case
}

// Check refuses a request that cannot be meant.
func (q Request) Check() error {
	cat := facts.Shipped()
	if !slices.Contains(Modes, q.Mode) {
		return fmt.Errorf("there is no mode %q; modes: %s", q.Mode, strings.Join(Modes, ", "))
	}
	if _, err := time.Parse(time.DateOnly, q.On); err != nil {
		return fmt.Errorf("%q is not a date; write it as 2026-11-24", q.On)
	}
	for fact, word := range map[string]string{"dispatch.jurisdiction": q.Jurisdiction, "dispatch.packing": q.Packing} {
		f, ok := cat.Lookup(fact)
		if !ok || word == "" {
			continue
		}
		if _, ok := f.Word(word); !ok {
			return fmt.Errorf("%q is no word of %s; use %s", word, fact, strings.Join(f.Words, ", "))
		}
	}
	return nil
}

// against finds rows that say otherwise than the request.
func (q Request) against(rows []Row) facts.Problems {
	var problems facts.Problems
	for _, r := range rows {
		for _, said := range [][2]string{{"dispatch.jurisdiction", q.Jurisdiction}, {"dispatch.packing", q.Packing}} {
			f, ok := r.Case.Catalogue().Lookup(said[0])
			v := r.Case.Get(said[0])
			if !ok || said[1] == "" || v.State != facts.Stated {
				continue
			}
			if i, ok := f.Word(said[1]); ok && v.Words>>i&1 == 0 {
				problems = append(problems, facts.Problem{At: v.At, Code: facts.CodeContradiction,
					Message: fmt.Sprintf("%s is %s here, and the command says %s", said[0], f.FormatValue(v), said[1]),
					Fix:     "make a list of each, or leave the flag away"})
			}
		}
	}
	return problems
}
