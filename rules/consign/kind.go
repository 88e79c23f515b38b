package consign

import (
	"math"
	"strings"

	"loosecell/rules/facts"
)

// kind is one sort of cell: rows whose facts are alike share it.
type kind struct {
	facts   *facts.Case // over the shop and the request, without names
	verdict Verdict     // as it is now
	then    *Verdict    // if a short look shows it to be sound; nil where no look is needed
	item    item        // of one cell, without count
	from    string      // where the mass comes from: weighed, taken, unknown
	massG   float64
}

// item is what one cell takes up in a package. Masses are whole milligrams, so
// that sums are exact.
type item struct {
	row, count     int
	netMg, grossMg int64
	cell, battery  int // 1 where it may count as one
}

// named are the facts that tell rows apart and nothing else.
// Who judged a battery is not among them: a judgement counts only with a name.
var named = []string{"job.id", "job.ticket"}

// kinds sorts the rows into kinds; of holds the kind of each row.
func kinds(rows []Row, q Request) (list []*kind, of []int) {
	seen := map[string]int{}
	for _, r := range rows {
		c := r.Case.Over(q.Shop)
		for _, n := range named {
			c.Unset(n)
		}
		q.state(c)
		key := string(c.YAML())
		i, ok := seen[key]
		if !ok {
			i = len(list)
			seen[key] = i
			list = append(list, &kind{facts: c})
		}
		of = append(of, i)
	}
	return list, of
}

// state adds what the command says of the whole consignment.
func (q Request) state(c *facts.Case) {
	set := func(fact, text string) {
		if text != "" {
			_ = c.SetText(c.Catalogue(), fact, text) // the request was checked before
		}
	}
	set("dispatch.jurisdiction", q.Jurisdiction)
	set("dispatch.packing", q.Packing)
	if c.Get("dispatch.load_per_vehicle").State == facts.Missing {
		set("dispatch.load_per_vehicle", "..1 kg")
	}
	if c.Get("battery.place").State == facts.Missing {
		set("battery.place", "removed")
	}
}

// measure works out what one cell weighs, at most, and counts as.
func (k *kind) measure() {
	v := k.facts.Get("battery.mass")
	switch {
	case v.State == facts.Stated && v.High > 0:
		k.massG, k.from = v.High, "weighed"
		if v.Low < v.High {
			k.from = "taken"
		}
	case k.verdict.EnergyWh != nil && k.verdict.EnergyWh.High > 0:
		k.massG, k.from = 1000*k.verdict.EnergyWh.High/shippedLimits().lines["heavy_mass"].Value, "taken"
	default:
		k.from = "unknown"
		return
	}
	k.item.netMg = int64(math.Ceil(k.massG * 1000))
	series, parallel := k.facts.Get("battery.series_cells"), k.facts.Get("battery.parallel_cells")
	one := func(v facts.Value) bool { return v.State == facts.Stated && v.High <= 1 }
	several := func(v facts.Value) bool { return v.State == facts.Stated && v.Low > 1 }
	k.item.cell, k.item.battery = 1, 1
	switch {
	case one(series) && one(parallel):
		k.item.battery = 0
	case several(series) || several(parallel):
		k.item.cell = 0
	}
}

// word is the one word a fact is stated as; "" if it is not.
func (k *kind) word(fact string) string {
	f, ok := k.facts.Catalogue().Lookup(fact)
	v := k.facts.Get(fact)
	if !ok || v.State != facts.Stated {
		return ""
	}
	return strings.Join(f.Names(v.Words), " | ")
}
