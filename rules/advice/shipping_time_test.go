package advice
import ("testing";"time";"fmt";"loosecell/rules/facts";"loosecell/rules/book")
func TestTmpTime(t *testing.T){
 b,_:=book.Shipped()
 for _, ch := range []string{"job.goal=ship","job.goal=ship; dispatch.purpose=return; battery.rated_energy=15 Wh","job.goal=ship; battery.looked=both-faces; battery.place=removed; battery.series_cells=unknown;battery.chemistry=unknown"} {
 c:=facts.NewCase(facts.Shipped(),"x")
 for _,p:=range split2(ch){ if err:=c.SetText(facts.Shipped(),p[0],p[1]);err!=nil{t.Fatal(err)} }
 s:=time.Now(); m:=shippedBy(t,b,c); fmt.Println(time.Since(s))
 for k,v:=range m {fmt.Println(k,v.Allowed,v.Basis,v.Unsettled,v.AllowedIf)}
 }
}
func split2(s string)(out [][2]string){ for _,p:=range splitc(s,";"){ kv:=splitc(p,"="); out=append(out,[2]string{kv[0],kv[1]})};return}
func splitc(s,sep string)(out []string){ cur:=""; for _,r:=range s { if string(r)==sep {out=append(out,trim(cur));cur="";continue}; cur+=string(r)}; return append(out,trim(cur))}
func trim(s string)string{ for len(s)>0&&s[0]==' '{s=s[1:]};return s}
