package consign

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"loosecell/rules/facts"
)

// written puts a plan into its answer.
func (p *packer) written(pl *plan, seals map[*bin]seal) *Consignment {
	out := &Consignment{Schema: Schema, Date: p.q.On, Mode: p.q.Mode, Jurisdiction: p.q.Jurisdiction, Packing: p.q.Packing,
		Packages: []Package{}, SetAside: []SetAside{}}
	if len(p.rows) > 0 {
		out.List = p.rows[0].At.File
	}
	placements := map[int][]Placement{}
	for _, g := range pl.groups {
		out.Counts.Fewest += g.fewest
		for i := range g.bins {
			b := &g.bins[i]
			pack := p.pack(g, b, seals[b], len(out.Packages)+1)
			for _, h := range b.holds {
				placements[h.row] = append(placements[h.row], Placement{pack.Number, h.count})
			}
			out.Packages = append(out.Packages, pack)
		}
	}
	out.Counts.Rows, out.Counts.Packages = len(p.rows), len(out.Packages)
	for i, r := range p.rows {
		k := p.kinds[p.of[i]]
		c := Placed{Row: r.ID, Line: r.At.Line, Count: r.Count, Condition: k.verdict.Condition, State: k.verdict.TransportState, MassFrom: k.from}
		if k.from != "unknown" {
			g := k.massG
			c.MassG = &g
		}
		out.Counts.Cells += r.Count
		if why, aside := pl.aside[i]; aside {
			c.SetAside = true
			out.Counts.SetAside += r.Count
			out.SetAside = append(out.SetAside, SetAside{Row: r.ID, Count: r.Count, Reason: why.reason, Next: why.next})
		} else {
			c.Packages = placements[i]
			out.Counts.Packed += r.Count
		}
		out.Cells = append(out.Cells, c)
		if k.verdict.TransportState != "not-damaged" {
			out.Assessments = append(out.Assessments, assessment(r, k))
		}
	}
	p.edition(out)
	out.Totals = p.totals(pl, seals)
	p.people(out)
	out.Checks = p.checks(out)
	return out
}

func (p *packer) pack(g *group, b *bin, s seal, number int) Package {
	v := s.verdict
	out := Package{
		Number: number, Scheme: s.scheme.Key, Title: s.scheme.Title, UNNumber: g.verdict.UNNumber, Name: g.verdict.Name,
		State: g.verdict.TransportState, Packing: g.form, Basis: v.Basis,
		NetKg: kg(b.net), GrossKg: kg(b.gross + milligrams(g.scheme.OuterG)), MassKnown: true,
		SoCCapPct: v.SoCCapPct, SoCCapKind: v.SoCCapKind,
		Inner: s.scheme.Inner, Cushioning: s.scheme.Cushioning, Outer: s.scheme.Outer, MarkSizes: s.scheme.MarkSizes,
		Waste: v.Waste, Rules: v.Packing, Marks: v.Marks, Documents: v.Documents, Notes: v.Notes,
		Training: s.scheme.Training, Approval: s.scheme.Approval, Source: s.scheme.Source, Known: s.scheme.Known,
	}
	limit := func(mg int64, more float64) *float64 {
		if mg == math.MaxInt64 {
			return nil
		}
		x := float64(mg)/1e6 + more
		return &x
	}
	out.NetLimit = limit(g.room.net, 0)
	if !g.room.roomy(p.kinds[p.of[b.holds[0].row]].gross(g)) {
		out.NetLimit = limit(g.room.single, 0)
	} else {
		out.GrossLim = limit(g.room.gross, g.scheme.OuterG/1000)
	}
	if n := min(g.room.items, max(g.room.cells, g.room.batteries)); n < math.MaxInt32 {
		out.CountLimit = &n
	}
	if g.form == "with-equipment" || g.form == "in-equipment" {
		out.Notes = append(slices.Clone(out.Notes), "The masses here are of the cells; the devices come on top. Weigh the package.")
	}
	for _, h := range b.holds {
		out.Contents = append(out.Contents, Content{p.rows[h.row].ID, h.count})
		out.Cells += h.count
		out.MassKnown = out.MassKnown && p.kinds[p.of[h.row]].from == "weighed"
	}
	return out
}

// gross is the item as it stands in a group.
func (k *kind) gross(g *group) item {
	it := k.item
	it.grossMg = it.netMg + milligrams(g.scheme.ItemG)
	return it
}

// edition tells which edition the answers were read from.
func (p *packer) edition(out *Consignment) {
	for _, k := range p.kinds {
		v := k.verdict
		if out.Edition == "" {
			out.Edition, out.EditionUntil = v.Edition, v.EditionUntil
		}
		out.EditionOver = out.EditionOver || v.EditionOver
		if out.Jurisdiction == "" {
			out.Jurisdiction = k.word("dispatch.jurisdiction")
		}
	}
	if out.EditionOver {
		out.Notes = append(out.Notes, "The edition known here is over, or had not begun, on this date: confirm everything in the current one.")
	}
}

// totals holds the load against the lines of one vehicle.
func (p *packer) totals(pl *plan, seals map[*bin]seal) Totals {
	var out Totals
	var net, gross, collected, points int64
	adr := false
	noRelief := false
	for _, g := range pl.groups {
		for i := range g.bins {
			b := &g.bins[i]
			s := seals[b].scheme
			net += b.net
			gross += b.gross + milligrams(g.scheme.OuterG)
			if !math.IsInf(s.LoadKg, 1) {
				collected += b.net
			}
			place := p.kinds[p.of[b.holds[0].row]].word("dispatch.jurisdiction")
			if p.q.Mode == "road" && (place == "eu" || place == "uk") {
				points += b.net * int64(s.Points)
				adr = adr || s.Points > 0
				noRelief = noRelief || s.NoRelief
			}
		}
	}
	out.NetKg, out.GrossKg = kg(net), kg(gross)
	if collected > 0 {
		line := p.limits.lines["collection_load"]
		out.Collection = tally(kg(collected), line, "Within the load of one vehicle, if nothing of the kind is on it already.",
			"Over the load of one vehicle: send it in two, or under SP 377.")
	}
	if adr || noRelief {
		line := p.limits.lines["points"]
		out.Points = tally(kg(points), line, "Within 1000 points: no orange plates, no written instructions, no certified driver; the document is still due.",
			"Over 1000 points: orange plates, written instructions and a certified driver.")
		if noRelief {
			out.Points.Within = false
			out.Points.Text = "Critical batteries are transport category 0: no relief at any mass."
		}
	}
	return out
}

func tally(value float64, line limitLine, within, over string) *Tally {
	t := &Tally{Value: value, Limit: line.Value, Within: value <= line.Value, Text: within, Source: line.Source}
	if !t.Within {
		t.Text = over
	}
	return t
}

// people lists the training and approvals that the packages ask for.
func (p *packer) people(out *Consignment) {
	for _, pack := range out.Packages {
		if pack.Training != "" && !slices.Contains(out.Training, pack.Training) {
			out.Training = append(out.Training, pack.Training)
		}
		if pack.Approval != "" && !slices.Contains(out.Approvals, pack.Approval) {
			out.Approvals = append(out.Approvals, pack.Approval)
		}
	}
}

// checks are what a person ticks before anything is handed over.
func (p *packer) checks(out *Consignment) []string {
	checks := []string{}
	if len(out.Packages) == 0 {
		return append(checks, "Nothing is packed.")
	}
	checks = append(checks, "Every cell looked at again as it is packed; what is swollen, wet, warm or smells comes out.",
		"Every contact covered with tape that does not conduct.")
	weighed, capped := true, false
	for _, pack := range out.Packages {
		weighed = weighed && pack.MassKnown
		capped = capped || pack.SoCCapPct != nil && pack.SoCCapKind == "mandatory"
	}
	if !weighed {
		checks = append(checks, "Masses are partly taken, not weighed: weigh the cells of each package before it is closed.")
	}
	checks = append(checks, "Each closed package weighed; its mass written on it and not over its limit.")
	if capped {
		checks = append(checks, "Charge of every cell at or under the cap, read on the day and noted.")
	}
	checks = append(checks, "Marks and labels on the package itself, not on a wrap; old marks struck out.",
		fmt.Sprintf("%s and %s counted against this list.", plural(out.Counts.Packed, "cell", "cells"), plural(out.Counts.Packages, "package", "packages")),
		"The carrier has agreed to each UN number in writing; a parcel booked as road may fly.")
	if slices.ContainsFunc(out.Packages, func(q Package) bool {
		return strings.HasPrefix(q.Scheme, "us-damaged") || q.Scheme == "damaged" || q.Scheme == "critical"
	}) {
		checks = append(checks, "Assessment records filled in, signed and dated.")
	}
	return checks
}

// criteria are what SP 376 names for the judgement.
var criteria = []string{
	"acute hazard: gas, fire, leaking", "use and misuse", "signs on the casing: deformed, discoloured",
	"short circuit: voltage, insulation", "state of the safety features", "damage to a management system",
}

// assessment is the record for a row that is read as damaged.
func assessment(r Row, k *kind) Assessment {
	a := Assessment{Row: r.ID, Count: r.Count, Reading: k.verdict.TransportState, Signs: k.verdict.Signs, Judged: "none",
		Criteria: criteria, Source: "ADR 2025, SP 376; 49 CFR 173.185(f)"}
	if a.Signs == nil {
		a.Signs = []string{"Damage is not ruled out: nobody has looked far enough."}
	}
	if w := k.word("battery.assessed"); w != "" {
		a.Judged = w
	}
	if v := r.Case.Get("battery.assessed_by"); v.State == facts.Stated {
		a.JudgedBy = v.Text
	}
	if v := r.Case.Get("battery.assessed_on"); v.State == facts.Stated && v.Exact() {
		a.JudgedOn = facts.FormatDate(v.Low)
	}
	return a
}
