package proof
import ("testing";"loosecell/rules/book";"loosecell/rules/facts";"loosecell/rules/advice";"loosecell/rules/expression";"time")
func TestZZ(t *testing.T){
 b,err:=book.With(book.File{Name:"s.yaml",Data:[]byte(`
topic: harbour-lane
rules:
  - id: our-masters-card-at-any-charge
    when: bench.worker == 'trained' and battery.looked <= 'opened'
    permit: [rung.card]
    relaxes: {rule: force-wants-low-charge, why: "Our masters are careful.", who: "the owner of the bench", until: 2027-03-01}
    because: Our masters are careful.
    source: common-practice
`)}); if err!=nil{t.Fatal(err)}
 p:=newProver(b,Options{OnlyLaws:[]string{LawInvariant}})
 st,err:=p.invariants(); if err!=nil{t.Fatal(err)}
 p.hold(st)
 for _,s:=range st { if s.ID!="heat-and-force-never-over-30"{continue}
  w:=&worker{prover:p,search:expression.NewSearch(p.arena,100000),eval:expression.NewEvaluator(p.arena),point:expression.NewBox(b.Layout)}
  for _,pt:=range p.parts(&s) { if pt.name!="rung.card is permitted" {continue}
   n:=0
   w.search.Find(pt.bad,w.domain,func(r *expression.Box)bool{ n++
    ok:=w.pointIn(r,pt.bad); t.Log("region",n,ok)
    if !ok { for _,d:=range w.derivedIn(pt.bad){ t.Log(b.Layout.Slots[d].Name, r.At(d), w.point.At(d)) } 
      for _,sl:=range w.arena.Reads(pt.bad){ if b.Layout.Slots[sl].Derive==nil { t.Log(b.Layout.Slots[sl].Name,r.At(sl)) } } }
    if ok { c:=w.caseOf(pt.bad,false); t.Log(string(c.YAML())); _,err:=facts.ParseCase(w.cat,"x",c.YAML()); t.Log(err)
      d,_:=advice.Decide(b,c,advice.Options{On:isoDay(w.point.At(w.law).Low),Now:time.Unix(0,0)})
      t.Log(d.May["rung.card"], w.certain(s.When.Ref,d.Full))
      for _,a:=range b.Ask(d.Full,d.Alarm).Against("rung.card"){ t.Log(a.Rule.ID,a.Truth)}
     }
    return n>0 })
  } }
}
