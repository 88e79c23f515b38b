package proof

import "time"

// The laws a rulebook is held to.
const (
	LawMonotone  = "monotone"
	LawUnknown   = "unknown"
	LawDead      = "dead"
	LawMasked    = "masked"
	LawDates     = "dates"
	LawInvariant = "invariant"
)

// Laws lists them in the order of a report.
var Laws = []string{LawMonotone, LawUnknown, LawDead, LawMasked, LawDates, LawInvariant}

// Status is how far a question was settled.
type Status string

// What a question can end as.
const (
	Proved  Status = "proved"
	Refuted Status = "refuted"
	Open    Status = "open"
)

// Finding is the answer to one question about a rulebook.
type Finding struct {
	Law     string   `json:"law"`
	What    string   `json:"what"` // the permission, rule, table or statement
	Status  Status   `json:"status"`
	How     string   `json:"how"`
	At      string   `json:"at,omitempty"` // file:line of what is to be looked at
	Regions int      `json:"regions"`
	Millis  float64  `json:"millis"`
	Because string   `json:"because,omitempty"`
	By      []string `json:"by,omitempty"`   // rules of a shop that break it
	Case    string   `json:"case,omitempty"` // a ready case file
	On      string   `json:"on,omitempty"`   // the date to run it on
	Run     string   `json:"run,omitempty"`  // what the run of that case answered
}

// Report is what was found about a rulebook.
type Report struct {
	Schema    string    `json:"schema"`
	Rules     int       `json:"rules"`
	ShopRules int       `json:"shop_rules"`
	From      string    `json:"from"` // the dates over which the law was read
	To        string    `json:"to"`
	Findings  []Finding `json:"findings"`
	Regions   int       `json:"regions"`
	Millis    float64   `json:"millis"`
	Workers   int       `json:"workers"`
}

// Schema names the shape of the JSON form of a Report.
const Schema = "loosecell.proof/1"

// Count tells how many findings of a law ended so; "" counts all laws.
func (r *Report) Count(law string, s Status) int {
	n := 0
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Status == s && (law == "" || f.Law == law) {
			n++
		}
	}
	return n
}

// Status is the worst of all findings: refuted, open, proved.
func (r *Report) Status() Status {
	switch {
	case r.Count("", Refuted) > 0:
		return Refuted
	case r.Count("", Open) > 0:
		return Open
	}
	return Proved
}

func millis(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
