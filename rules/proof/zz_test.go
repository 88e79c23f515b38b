package proof_test
import ("testing";"loosecell/rules/facts";"loosecell/rules/advice")
func TestZZ(t *testing.T){
 b:=withShop(t,jig)
 c,err:=facts.ParseCase(facts.Shipped(),"x",[]byte(`
battery:
  looked: opened
  history_asked: yes
  chemistry: lco
  series_cells: 1
  rest_voltage: 3.7 V
  rest_drop: 0 V
  off_time: 1 h
  temperature: 20 degC
  temperature_rate: 0 K/min
  assessed: none
device: {kind: tablet, under_cell: display}
bench: {thermometer: yes, air_temperature: 20 degC}
`)); if err!=nil{t.Fatal(err)}
 d,_:=advice.Decide(b,c,advice.Options{On:"2026-11-24"})
 for _,g:=range d.Graded.By { t.Log(g.Rule.ID,g.Truth) }
 for i:=range b.Rules(){ r:=&b.Rules()[i]; if r.Grade!=nil && r.Grade.Condition>=4 { if x:=b.Ask(d.Full,d.Alarm).Explore(r.Holds); x.Possible(){t.Log(r.ID,x)} } ; if r.Relaxes!=nil { t.Log(b.Ask(d.Full,d.Alarm).Explore(r.Holds),b.Ask(d.Full,d.Alarm).Explore(r.Acts)) } }
 for _,l:=range b.Ask(d.Full,d.Alarm).Against("heat"){ t.Log(l.Rule.ID,l.Truth)}
}
