package sheet

import (
	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// refusal prints a stop: why, what now, who takes over, where the cell waits
// and what to do if it turns worse. It names no way of taking the cell out.
func refusal(a *advice.Advice, o Options) *page.Page {
	p, n := &page.Page{}, &notes{}
	now := stepTexts(a.Removal.Steps, n)
	if len(now) == 0 {
		now = citeAll(n, a.Cautions)
	}
	banner(p, a, "Do not work on this cell.")
	because(p, a)
	actions(p, "Now", now)

	p.Bullets("WHY", reasons(a, n))
	relaxed(p, a.Relaxations)
	numbered(p, "WHAT NOW", now)
	p.Bullets("WHO TAKES OVER", []string{referral(o.Place)})
	storage(p, n, a.Storage)
	p.Bullets("WEAR", citeAll(n, a.PPE))
	p.Bullets("LEAVE AT ONCE IF", citeAll(n, a.StopSigns))
	p.Bullets("IF IT TURNS WORSE", citeAll(n, a.Emergency))
	shipping(p, n, a, o)
	unknowns(p, notKnown(a))
	closing(p, a, n)
	return p
}

// reasons are the alarms and grades that are certain to hold, each sentence
// once, at most four.
func reasons(a *advice.Advice, n *notes) []string {
	said := map[string]bool{page.Clean(a.Because): true}
	var out []string
	for _, t := range a.Trace {
		if !t.Certain || (t.Effect != "alarm" && t.Effect != "grade") {
			continue
		}
		if text := page.Clean(t.Because); text != "" && !said[text] && len(out) < 4 {
			said[text] = true
			out = append(out, n.cite(t.Because, t.Source))
		}
	}
	return out
}

func referral(place Place) string {
	if who := page.Clean(place.Referral); who != "" {
		return who
	}
	return "Someone trained for damaged lithium cells. Name them in the shop file (shop: referral)."
}
