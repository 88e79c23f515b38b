package proof_test

import (
	"testing"

	"loosecell/rules"
	"loosecell/rules/advice/carriagetest"
	"loosecell/rules/facts"
)

// carriageJudge holds the tables of carriage against the cases that were
// published and against the law written down a second time.
type carriageJudge struct {
	published []publishedParcel
	sample    []ruledParcel
}

type publishedParcel struct {
	parcel *facts.Case
	row    carriagetest.Row
}

type ruledParcel struct {
	parcel *facts.Case
	law    map[string]carriagetest.Answer
}

func newCarriageJudge(t *testing.T) *carriageJudge {
	t.Helper()
	parcel := func(changes string) *facts.Case {
		c, err := carriagetest.Parcel(changes)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	rows, err := carriagetest.Published("../../testdata/published")
	if err != nil {
		t.Fatal(err)
	}
	j := &carriageJudge{}
	for _, row := range rows {
		j.published = append(j.published, publishedParcel{parcel(row.Facts), row})
	}
	for _, changes := range carriagetest.Sample(carriagetest.Usual) {
		c := parcel(changes)
		j.sample = append(j.sample, ruledParcel{c, carriagetest.Law(c)})
	}
	return j
}

func (j *carriageJudge) judge(b *rules.Book, _ mutant) string {
	for i := range j.published {
		p := &j.published[i]
		got, err := carriagetest.Carried(b, p.parcel)
		if err != nil || len(p.row.Misses(got[p.row.Mode])) > 0 {
			return "published carriage"
		}
	}
	for i := range j.sample {
		p := &j.sample[i]
		got, err := carriagetest.Carried(b, p.parcel)
		if err != nil || len(carriagetest.Misses(p.law, got)) > 0 {
			return "law of carriage"
		}
	}
	return ""
}
