package advice

import (
	"slices"
	"strings"
	"testing"

	"loosecell/rules/book"
)

// A row that rests on memory alone permits nothing, and the tables that rows
// point to exist.
func TestCarriageTablesAreWhole(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	for i := range b.Rules() {
		r := &b.Rules()[i]
		if r.Choose == nil || !strings.HasPrefix(r.Choose.Answer, "ship.") {
			continue
		}
		for j := range r.Choose.Rows {
			row := &r.Choose.Rows[j]
			value, ok := row.Value.(map[string]any)
			if !ok {
				t.Errorf("%s is no mapping", row.ID)
				continue
			}
			tables := wordsIn(value["also"])
			if see, ok := value["see"].(string); ok {
				tables = append(tables, see)
			}
			for _, name := range tables {
				if b.Table(name) == nil {
					t.Errorf("%s points to %s, which is no table", row.ID, name)
				}
			}
			memory := true
			for _, c := range row.Sources {
				memory = memory && !c.Document.MayPermit()
			}
			if memory && textOf(value["allowed"]) != "no" && value["allowed"] != nil {
				t.Errorf("%s permits from memory", row.ID)
			}
			refuses := value["allowed"] != nil && textOf(value["allowed"]) != "yes"
			if refuses && value["opens"] == nil && value["unless"] == nil && !strings.HasSuffix(row.ID, "damaged-evidence") {
				t.Errorf("%s refuses and does not say what would lift it", row.ID)
			}
			for key := range value {
				if !slices.Contains(rowKeys, key) {
					t.Errorf("%s: %q is no field", row.ID, key)
				}
			}
		}
	}
}

var rowKeys = []string{"allowed", "opens", "unless", "see", "also", "basis", "packing", "marks", "documents", "notes", "edition", "edition_until",
	"soc_cap_pct", "soc_cap_kind", "net_limit_kg", "un_number", "name", "kind", "damaged", "us_damaged", "waste"}
