package advice

import "loosecell/rules/facts"

// LookAgain notes in a case that the cell was looked at, how being a word of
// battery.looked, and shows nothing that is not stated. After force a look alone
// does not count, so there what the look shows to be absent is stated sign by
// sign. It returns the signs that stay in doubt or as bad as they were stated.
func LookAgain(c *facts.Case, how string) (stay []string) {
	cat := c.Catalogue()
	if c.SetText(cat, "battery.looked", how) != nil {
		return nil
	}
	looked, _ := cat.Lookup("battery.looked")
	rank, ok := looked.Word(how)
	if !ok {
		return nil
	}
	forced := stale(c.Get("job.force_used")) || tried(c, "card")
	removed := couldBe(c, "battery.place", "removed")
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if !f.Sign || !shows(cat, f, rank, removed) {
			continue
		}
		switch v := c.Get(f.Name); {
		case v.State == facts.Missing && forced:
			c.Set(f.Name, facts.Value{State: facts.Stated, Words: 1})
		case v.State == facts.Unknown || v.State == facts.Stated && v.Words != 1:
			stay = append(stay, f.Name)
		}
	}
	return stay
}

// tried tells that a case says a rung was tried.
func tried(c *facts.Case, rung string) bool {
	v := c.Get("job.tried")
	return v.State == facts.Stated && couldBe(c, "job.tried", rung)
}

// couldBe tells that a case leaves a word of a fact possible.
func couldBe(c *facts.Case, name, word string) bool {
	f, _ := c.Catalogue().Lookup(name)
	i, ok := f.Word(word)
	v := c.Get(name)
	return ok && (v.State != facts.Stated || v.Has(i))
}
