package advice

import (
	"fmt"
	"strings"

	"loosecell/rules/source"
)

// describe fills in what the row and the tables beside it say.
func (c *carrier) describe(s *Shipping, l leaf) {
	entry := c.entry()
	s.UNNumber, s.Name = entry["un_number"], entry["name"]
	c.add(s, l.value, entry)
	for _, table := range l.also {
		row, _ := c.q.Choose(table)
		if row == nil {
			continue
		}
		if value, ok := row.Value.(map[string]any); ok {
			c.add(s, value, entry)
		}
	}
	if l.rank != carriageNo {
		s.Notes = appendNew(s.Notes, howKnown(l.row.Sources))
	}
}

// add lays the fields of one row's value over an entry.
func (c *carrier) add(s *Shipping, value map[string]any, entry map[string]string) {
	list := func(to *[]string, key string) {
		for _, text := range wordsIn(value[key]) {
			*to = appendNew(*to, fillEntry(text, entry))
		}
	}
	list(&s.Basis, "basis")
	list(&s.Packing, "packing")
	list(&s.Marks, "marks")
	list(&s.Documents, "documents")
	list(&s.Notes, "notes")
	word := func(to *string, key string) {
		if text := textOf(value[key]); text != "" {
			*to = text
		}
	}
	word(&s.Edition, "edition")
	word(&s.EditionUntil, "edition_until")
	word(&s.SoCCapKind, "soc_cap_kind")
	if _, has := value["soc_cap_pct"]; has {
		pct := percent(value["soc_cap_pct"], 0)
		s.SoCCapPct = &pct
	}
	if _, has := value["net_limit_kg"]; has {
		kg := percent(value["net_limit_kg"], 0)
		s.NetLimitKg = &kg
	}
}

// entry is the UN number, the proper shipping name and the words on marks; what
// depends on facts that are not known is left out.
func (c *carrier) entry() map[string]string {
	out := map[string]string{}
	list := c.q.Candidates("ship.entry")
	for i, cand := range list {
		value, _ := cand.Row.Value.(map[string]any)
		for key, v := range value {
			text := textOf(v)
			if i > 0 && out[key] != text {
				text = ""
			}
			out[key] = text
		}
	}
	return out
}

var entryOtherwise = strings.NewReplacer("{un}", "the UN number", "{name}", "the proper shipping name",
	"{damaged}", "DAMAGED/DEFECTIVE … BATTERIES (of its kind)", "{waste}", "… BATTERIES FOR RECYCLING or FOR DISPOSAL (of its kind)",
	"{us_damaged}", "Damaged/defective … battery (of its kind)", "{kind}", "batteries of its kind")

// fillEntry puts the words of the entry into a sentence.
func fillEntry(text string, entry map[string]string) string {
	if !strings.Contains(text, "{") {
		return text
	}
	for key, mark := range map[string]string{"un_number": "{un}", "name": "{name}", "damaged": "{damaged}", "waste": "{waste}",
		"us_damaged": "{us_damaged}", "kind": "{kind}"} {
		if entry[key] != "" {
			text = strings.ReplaceAll(text, mark, entry[key])
		}
	}
	return entryOtherwise.Replace(text)
}

// howKnown tells the reader to confirm a row whose leading text was not read.
func howKnown(cited []source.Citation) string {
	if len(cited) == 0 || !cited[0].Document.Confirm() {
		return ""
	}
	return "Known from a secondary text: confirm it in the current edition."
}

func textOf(v any) string {
	if v == nil {
		return ""
	}
	return fmt.Sprint(v)
}

// wordsIn reads a list of texts, or one text.
func wordsIn(v any) []string {
	if v == nil {
		return nil
	}
	return wordsOf(v)
}
