package sheet

import (
	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

const relaxedHeading = "Relaxed by this shop"

// relaxedTexts say what the shop loosened, for how long, and who answers for it.
func relaxedTexts(all []advice.Relaxation) []string {
	var out []string
	for _, r := range all {
		is := " is relaxed here"
		if !r.Certain {
			is = " would be relaxed here, if what is not known turned out so, and forbids until then; it may be"
		}
		out = append(out, "The shipped rule "+page.Clean(r.ShippedRule)+is+" until "+page.Clean(r.Until)+
			" by "+page.Clean(r.Who)+" (rule "+page.Clean(r.Rule)+"): "+stopped(page.Clean(r.Why)))
	}
	return out
}

// relaxed prints them on a text sheet.
func relaxed(p *page.Page, all []advice.Relaxation) {
	p.Bullets("RELAXED BY THIS SHOP", relaxedTexts(all))
}

// relaxedBlock prints them on paper.
func relaxedBlock(all []advice.Relaxation) block {
	return block{Heading: relaxedHeading, Bullets: relaxedTexts(all)}
}
