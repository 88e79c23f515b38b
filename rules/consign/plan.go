package consign

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules/facts"
)

// plan is one way to send a list: what is packed, and what is not.
type plan struct {
	groups []*group
	aside  map[int]refusal // by row
}

// refusal is why a row does not travel, and what comes next.
type refusal struct {
	reason string
	next   []string
}

// group is what may lie together in one package.
type group struct {
	key     string
	scheme  *Scheme
	verdict Verdict
	form    string
	room    room
	items   []item
	bins    []bin
	fewest  int
}

// packer holds what one run needs.
type packer struct {
	rows   []Row
	kinds  []*kind
	of     []int
	ask    Classifier
	q      Request
	limits *limits
}

// plan packs every row under a verdict for its kind.
func (p *packer) plan(verdict func(*kind) *Verdict, barred map[int]refusal) *plan {
	out := &plan{aside: map[int]refusal{}}
	index := map[string]*group{}
	for i, r := range p.rows {
		k := p.kinds[p.of[i]]
		if why, ok := barred[p.of[i]]; ok {
			out.aside[i] = why
			continue
		}
		v := verdict(k)
		g, it, no := p.group(k, v)
		if no != nil {
			out.aside[i] = *no
			continue
		}
		it.row, it.count = i, r.Count
		there, ok := index[g.key]
		if !ok {
			there = g
			index[g.key] = g
			out.groups = append(out.groups, g)
		}
		there.items = append(there.items, it)
	}
	slices.SortStableFunc(out.groups, func(a, b *group) int {
		return p.limits.order(a.scheme) - p.limits.order(b.scheme)
	})
	for _, g := range out.groups {
		g.bins = fill(g.room, g.items)
		g.fewest = fewest(g.room, g.items)
	}
	return out
}

func (l *limits) order(s *Scheme) int {
	for i := range l.schemes {
		if l.schemes[i].Key == s.Key {
			return i
		}
	}
	return len(l.schemes)
}

// packages is how many packages the plan has, cells how many of them wait.
func (pl *plan) packages() (n int) {
	for _, g := range pl.groups {
		n += len(g.bins)
	}
	return n
}

func (p *packer) asideCells(pl *plan) (n int) {
	for row := range pl.aside {
		n += p.rows[row].Count
	}
	return n
}

// group finds what a kind may lie together with, or why it does not travel.
func (p *packer) group(k *kind, v *Verdict) (*group, item, *refusal) {
	if no := p.refused(k, v); no != nil {
		return nil, item{}, no
	}
	form := k.word("dispatch.packing")
	s := p.limits.schemeFor(v.Basis, v.TransportState, p.q.Mode, k.word("dispatch.jurisdiction"), form)
	if s == nil {
		return nil, item{}, &refusal{"no way to pack it is held here for " + strings.Join(v.Basis, ", "),
			[]string{"Ask a dangerous-goods adviser how it is packed."}}
	}
	r := roomOf(s, v.NetLimitKg)
	it := k.item
	it.grossMg = it.netMg + milligrams(s.ItemG)
	if !r.alone(it) {
		return nil, item{}, &refusal{fmt.Sprintf("%s g is too heavy for one package here", trim(k.massG)),
			[]string{"Ask the carrier and the competent authority about large packagings."}}
	}
	g := &group{scheme: s, verdict: *v, form: form, room: r}
	g.key = strings.Join([]string{s.Key, v.UNNumber, v.Name, v.TransportState, form, k.word("dispatch.purpose"),
		k.word("dispatch.destination"), p.waster(k), strings.Join(v.Waste, "\x01"), k.word("dispatch.jurisdiction"), k.word("dispatch.prototype"),
		pointer(v.NetLimitKg), pointer(v.SoCCapPct), v.SoCCapKind}, "\x00")
	return g, it, nil
}

// waster keeps a household's waste and a business's apart where the waste code
// depends on it.
func (p *packer) waster(k *kind) string {
	if place := k.word("dispatch.jurisdiction"); place == "eu" || place == "uk" {
		return k.word("dispatch.discarded_by")
	}
	return ""
}

// refused says why a kind does not travel as it is; nil if it does.
func (p *packer) refused(k *kind, v *Verdict) *refusal {
	switch {
	case v.Emergency || v.Condition == "reacting":
		return &refusal{"it is failing now: nobody packs or moves it", []string{"Leave it where it is, leave the room, call the fire service."}}
	case v.Allowed != "yes":
		reason := "not allowed as it is"
		if v.Allowed == "approval" {
			reason = "only with an approval that is not here"
		}
		if len(v.Why) > 0 {
			reason = v.Why[0]
		}
		return &refusal{reason, p.next(k, v)}
	case v.handsOff():
		reason := "it is critical, so nobody packs it before a competent person has judged it"
		if len(v.Signs) > 0 {
			reason += ": " + lowerFirst(v.Signs[0])
		}
		return &refusal{reason, p.next(k, v)}
	case v.UNNumber == "":
		return noEntry(k)
	case k.from == "unknown":
		return &refusal{"nobody knows what it weighs", []string{"Weigh one, and state battery.mass."}}
	}
	return nil
}

// noEntry says why the entry of the dangerous goods list is open: the chemistry
// and how it travels decide it, and one of them is not settled.
func noEntry(k *kind) *refusal {
	if k.word("dispatch.packing") == "" {
		return &refusal{"its UN number is open, because nobody said how it travels",
			[]string{"Say it with --packing or in dispatch.packing: by-itself, with-equipment or in-equipment."}}
	}
	return &refusal{"nobody knows its UN number, because the chemistry is not known", []string{"Read the label: lithium ion, lithium metal or sodium ion."}}
}

// next is what would let it travel, or what to find out.
func (p *packer) next(k *kind, v *Verdict) []string {
	var out []string
	add := func(s string) {
		if s != "" && !slices.Contains(out, s) && len(out) < 5 {
			out = append(out, s)
		}
	}
	for _, s := range v.AllowedIf {
		add("It may go if " + lowerFirst(strings.TrimSuffix(s, ".")) + ".")
	}
	if v.Allowed == "approval" {
		for _, s := range v.Packing {
			add("Then packed: " + s)
		}
	}
	if k.then != nil {
		return append([]string{"Give it the look under SORT FIRST, write down what was found, and run this again."}, out...)
	}
	for _, q := range v.Ask {
		add("Find out (" + q.Fact + "): " + q.How)
	}
	switch {
	case len(out) > 0:
	case v.TransportState == "critical" || v.Condition == "critical":
		add("Outdoor quarantine. Ask a damaged-battery carrier, and have a competent person judge it in writing.")
	case v.TransportState == "damaged" && strings.HasPrefix(p.q.Mode, "air") || v.TransportState == "damaged" && p.q.Mode == "post":
		add("By road or rail as damaged: run this again with --mode road.")
	default:
		add("Keep it in the store, and ask the collector or a dangerous-goods adviser.")
	}
	return out
}

// packed states in a case how its package turned out.
func (p *packer) packed(k *kind, b *bin, g *group, packages int, loadKg float64) *facts.Case {
	c := k.facts.Clone()
	set := func(fact, text string) { _ = c.SetText(c.Catalogue(), fact, text) }
	count := func(fact string, certain, possible int) {
		if certain == possible {
			set(fact, fmt.Sprint(possible))
			return
		}
		set(fact, fmt.Sprintf("%d..%d", certain, possible))
	}
	cells, batteries, both := 0, 0, 0
	for _, h := range b.holds {
		switch it := p.kinds[p.of[h.row]].item; {
		case it.cell > 0 && it.battery > 0:
			both += h.count
		case it.cell > 0:
			cells += h.count
		default:
			batteries += h.count
		}
	}
	count("dispatch.cells", cells, cells+both)
	count("dispatch.batteries", batteries, batteries+both)
	devices := 0 // taken as one to each battery
	if g.form == "with-equipment" || g.form == "in-equipment" {
		devices = cells + batteries + both
	}
	set("dispatch.equipment", fmt.Sprint(devices))
	set("dispatch.packages", fmt.Sprint(packages))
	set("dispatch.net_mass", kilograms(b.net))
	if g.form == "by-itself" || g.form == "" {
		set("dispatch.gross_mass", kilograms(b.gross+milligrams(g.scheme.OuterG)))
	}
	if loadKg > 0 {
		set("dispatch.load_per_vehicle", trim(loadKg)+" kg")
	}
	return c
}
