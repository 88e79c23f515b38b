package battery

import (
	"fmt"
	"slices"
)

// tableSet holds tables that may describe a cell; bit i is shipped.tables[i].
type tableSet uint32

const (
	// noTable stands for a cell that no table describes: its charge cannot
	// be read from its voltage.
	noTable tableSet = 1 << 31
	// aboveTables says that the cell may be charged further than the highest
	// table reaches (4.48 to 4.50 V labels), so that table reads high.
	aboveTables tableSet = 1 << 30
)

// candidateLookup answers, for a chemistry and a rectangle of label classes,
// which tables are candidates: the union over every point of the rectangle.
// Worked out once, so that the million calls of an exploration only read it.
type candidateLookup struct {
	union [chemistryCount][nominalCount][nominalCount][classCount][classCount]tableSet
}

// tablesByUse names the tables as the choice below uses them.
type tablesByUse struct {
	nmc, nca, lmo, sodium tableSet
	byLabel               [classCount]tableSet // what the label alone points to
}

func newCandidateLookup(tables []Table) (*candidateLookup, error) {
	use, err := sortTables(tables)
	if err != nil {
		return nil, err
	}
	look := new(candidateLookup)
	for c := range chemistryCount {
		for n1 := range nominalCount {
			for n2 := n1; n2 < nominalCount; n2++ {
				for l1 := range classCount {
					for l2 := l1; l2 < classCount; l2++ {
						look.union[c][n1][n2][l1][l2] = use.rectangle(c, label{n1, n2, l1, l2})
					}
				}
			}
		}
	}
	return look, nil
}

func sortTables(tables []Table) (use tablesByUse, err error) {
	set := func(names ...string) tableSet {
		var s tableSet
		for _, name := range names {
			i := slices.IndexFunc(tables, func(t Table) bool { return t.Name == name })
			if i < 0 {
				err = fmt.Errorf("battery: candidate table %q is not in data/tables.csv", name)
				continue
			}
			s |= 1 << i
		}
		return s
	}
	use.nmc = set("nmc-811-model", "nmc-21700-measured", "nmc-532-model", "nmc-pouch-model")
	use.nca = set("nca-model")
	use.lmo = set("lmo-assumed-balance")
	use.sodium = set("sodium-fluorophosphate-model")
	use.byLabel[titanate] = set("lto-assumed-balance")
	use.byLabel[phosphate] = set("lfp-18650-measured", "lfp-model")
	use.byLabel[limit4V20] = set("cobalt-4.20-model", "phone-4.20-gauge")
	use.byLabel[limit4V35] = set("phone-4.35-gauge")
	use.byLabel[limit4V40] = set("phone-4.40-after-discharge", "phone-4.40-after-charge")
	use.byLabel[limit4V45] = set("phone-4.45-gauge")
	use.byLabel[limit4V48] = use.byLabel[limit4V45] | aboveTables
	return use, err
}

func (use *tablesByUse) rectangle(c Chemistry, l label) tableSet {
	var s tableSet
	for n := l.nominalFrom; n <= l.nominalTo; n++ {
		for m := l.limitFrom; m <= l.limitTo; m++ {
			s |= use.point(c, n, m)
		}
	}
	return s
}

// point chooses the tables for one chemistry under one label. It is never
// empty.
func (use *tablesByUse) point(c Chemistry, nominal, limit class) tableSet {
	k := joint(c, nominal, limit)
	s := use.byLabel[k]
	if k == limit4V45 && limit < limit4V45 {
		// 3.86 to 3.89 V on the label but no such limit printed: the 4.40 V
		// curve reads 3 to 6 points higher, which is the safe side.
		s |= use.byLabel[limit4V40]
	}
	if nominal > limit4V20 && c != LithiumMetal {
		return s // phone cells: the label tells more than the name
	}
	switch c {
	case LithiumMetal:
		return noTable
	case SodiumIon:
		// The one table is of a cell of 3.7 V nominal; the layered-oxide
		// cells on sale are of 3.0 V and have none.
		if nominal < limit4V20 {
			return noTable
		}
		return use.sodium
	case LCO:
		return s
	case LFP, LTO:
		if k == limit4V20 {
			s |= use.nmc | use.nca // the name is wrong, and nothing says which it is
		}
		return s
	}
	// A cell of 3.6 to 3.75 V: the chemistry's own curves, and the label's
	// as well where the limit says it is charged above 4.20 V.
	own := use.nmc
	switch c {
	case NCA:
		own = use.nca
	case LMO:
		own = use.lmo
	}
	if k == limit4V20 {
		return own
	}
	return own | s
}

func (look *candidateLookup) of(cs ChemistrySet, l label) tableSet {
	var s tableSet
	cs = cs.orAll()
	for c := range chemistryCount {
		if cs.Has(c) {
			s |= look.union[c][l.nominalFrom][l.nominalTo][l.limitFrom][l.limitTo]
		}
	}
	return s
}

// CandidateTables returns the names of the voltage tables that may describe a
// cell, and whether some possible cell has no table at all. Voltages are of the
// whole battery in V; cells in series from 1.
func CandidateTables(cs ChemistrySet, nominalV, limitV Maybe, series Interval) (names []string, someWithout bool, err error) {
	if err := checkLabel(nominalV, limitV, series); err != nil {
		return nil, false, err
	}
	s := shipped.candidates.of(cs, labelOf(nominalV, limitV, series))
	for i := range shipped.tables {
		if s&(1<<i) != 0 {
			names = append(names, shipped.tables[i].Name)
		}
	}
	return names, s&noTable != 0, nil
}
