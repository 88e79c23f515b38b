package inquiry
import ("testing";"loosecell/rules/expression";"loosecell/rules/facts")
func TestDbg(t *testing.T){
	b := shipped(t)
	for _, sc := range scenarios(t) {
		if sc.name != "22-torn-tab-solvent-used" { continue }
		q := New(b, facts.NewCase(facts.Shipped(), ""), Options{Now: today})
		p := person{sc.full, facts.Shipped()}
		for { question, _, _, _ := q.Next(); if question==nil {break}; p.answer(t,q,question)  }
		s,_:=q.Settled()
		q.ask.About(s.Full,s.Alarm)
		t.Log(s.Solvent, q.ask.May("solvent"), q.explore.Undecided(b.May("solvent"), s.Full), string(q.Case().YAML()))
		for _, f := range q.ask.Against("solvent") { t.Log("against", f.Rule.ID, f.Truth) }
		for _, f := range q.ask.For("solvent") { t.Log("for", f.Rule.ID, f.Truth) }
		for i, v := range q.gradeRules { _ = i; if tt := q.ask.Explore(v.Holds); tt != 1 { t.Log(v.ID, tt) } }
		fresh := s.Full.Clone()
		for i := range b.Layout.Slots { if b.Layout.Slots[i].Fact.Stage != "" { fresh.Set(i, b.Layout.Slots[i].Domain) } }
		q.ask.About(fresh, s.Alarm)
		t.Log("fresh", q.ask.May("solvent"))
		x := expression.NewExplorer(b.Arena)
		tr, ex := x.Decide(b.May("solvent"), fresh); t.Log(tr, ex, x.Leaves)
		s2,_ := q.reckon.Standing(q.Whole())
		t.Log(s2.Solvent)
	}
}
