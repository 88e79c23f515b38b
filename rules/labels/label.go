package labels

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/compact"
	"loosecell/rules/facts"
)

// The kinds of labels.
const (
	Bag       = "bag"
	Container = "container"
	Parcel    = "parcel"
)

// Kinds lists the kinds of labels.
var Kinds = []string{Bag, Container, Parcel}

// Request is what the labels are for.
type Request struct {
	Kind string
	Mode string // of carriage, for a parcel: road, rail, sea, air-cargo, …
	On   string // ISO date on the label and at which the law is read
	Now  time.Time
}

// Label is one label.
type Label struct {
	Kind      string
	ID        string
	Ticket    string
	Device    string
	Chemistry string
	Energy    string
	Volts     string
	Condition string // the grade, as an advice words it
	Heading   string
	Handling  string
	Store     string
	Date      string
	LookAgain string   // ISO date
	LookText  string   // how often after that
	Law       []string // words that waste law asks for, and dates it sets
	Marks     []Mark   // of a parcel
	Mode      string
	Packing   []string
	Documents []string
	Basis     string
	Code      string // the case in compact form
	From      string // who sends it
	Call      string // emergency number
}

// Refused tells why there is no label.
type Refused struct{ Why string }

func (r *Refused) Error() string { return r.Why }

// Make makes the label of a case. c is the case by itself and shop what it lies
// over, nil if nothing; the code on the label holds only the case. The error is
// of type *Refused where a label would be wrong.
func Make(b *rules.Book, c, shop *facts.Case, q Request) (*Label, error) {
	if !slices.Contains(Kinds, q.Kind) {
		return nil, fmt.Errorf("there is no label for a %q; there are %s", q.Kind, strings.Join(Kinds, ", "))
	}
	over := c.Over(shop)
	if q.Kind == Parcel && over.Get("job.goal").State != facts.Stated {
		// A parcel is made to be sent: without a stated goal its carriage is asked about.
		if err := over.SetText(c.Catalogue(), "job.goal", "ship"); err != nil {
			return nil, err
		}
	}
	a, err := advice.Advise(b, over, advice.Options{On: q.On, Now: q.Now})
	if err != nil {
		return nil, err
	}
	rows, err := conditions()
	if err != nil {
		return nil, err
	}
	about, ok := rows[a.Condition]
	if !ok || a.Verdict == "evacuate" || a.Storage == nil {
		return nil, &Refused{"this cell is failing now: leave it where it is, everyone out and call; nobody labels it"}
	}
	l := &Label{Kind: q.Kind, ID: a.JobID, Ticket: a.Ticket, Condition: a.Condition, Heading: about.heading, Handling: about.handling,
		Store: strings.ReplaceAll(a.Storage.Class, "-", " "), LookText: a.Storage.LookAgain, Date: a.Date,
		From: joined(over.Get("shop.name").Text, over.Get("shop.address").Text), Call: over.Get("shop.emergency_number").Text}
	if l.LookAgain, err = daysAfter(a.Date, about.lookAgainDays); err != nil {
		return nil, err
	}
	if l.Code, err = compact.Encode(c); err != nil {
		return nil, err
	}
	if err := l.identity(b, over, q); err != nil {
		return nil, err
	}
	l.waste(a)
	if q.Kind == Parcel {
		if err := unpackable(a, over); err != nil {
			return nil, err
		}
		return l, l.parcel(a, q.Mode)
	}
	return l, nil
}

// unpackable refuses the label of a parcel for a cell that is critical for the
// hands and that nobody competent has judged, whatever a mode would allow: the
// label of a bag or a container shows where it waits.
func unpackable(a *advice.Advice, c *facts.Case) error {
	on, err := time.Parse(time.DateOnly, a.Date)
	if err != nil || a.Condition != "critical" || advice.Judged(c, on) {
		return err
	}
	return &Refused{"this cell is critical, so it goes into no parcel before a competent person has judged in writing that it is not: " + a.Because}
}

func joined(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return strings.TrimSpace(p) == "" }), ", ")
}

func daysAfter(date string, days int) (string, error) {
	at, err := time.Parse(time.DateOnly, date)
	return at.AddDate(0, 0, days).Format(time.DateOnly), err
}

// identity is what the cell is, as far as the case tells.
func (l *Label) identity(b *rules.Book, c *facts.Case, q Request) error {
	energy, err := advice.FindAnswer("derived.rated_energy")
	if err != nil {
		return err
	}
	got, err := advice.NewDesk(b, advice.Options{On: q.On, Now: q.Now}, energy).Answers(c, nil)
	if err != nil {
		return err
	}
	l.Energy = orUnknown(got[0])
	l.Chemistry = chemistry(c)
	l.Volts = orUnknown(stated(c, "battery.rest_voltage"))
	l.Device = strings.ReplaceAll(stated(c, "device.kind"), "-", " ")
	return nil
}

// chemistry is the one that is stated, "lithium ion" where only that is known.
func chemistry(c *facts.Case) string {
	v := c.Get("battery.chemistry")
	f, ok := c.Catalogue().Lookup("battery.chemistry")
	if !ok || v.State != facts.Stated {
		return "not known"
	}
	names := f.Names(v.Words)
	ion := slices.ContainsFunc(names, func(n string) bool { return n != "li-metal" && n != "na-ion" })
	other := slices.ContainsFunc(names, func(n string) bool { return n == "li-metal" || n == "na-ion" })
	switch {
	case len(names) == 1:
		return map[bool]string{true: "lithium ion, ", false: ""}[ion] + names[0]
	case ion && !other:
		return "lithium ion"
	}
	return strings.Join(names, " or ")
}

func orUnknown(text string) string {
	if text == "" || text == "unknown" {
		return "not known"
	}
	return text
}

func stated(c *facts.Case, name string) string {
	v := c.Get(name)
	f, ok := c.Catalogue().Lookup(name)
	if !ok || v.State != facts.Stated {
		return ""
	}
	return f.FormatValue(v)
}

var (
	quotedWords = regexp.MustCompile(`"([^"]+)"`)
	wasteCode   = regexp.MustCompile(`(?i)waste code [0-9]{2} [0-9]{2} [0-9]{2}\*?`)
)

// waste adds the words and the dates that waste law asks for on the label.
// Where two codes are still open none is printed: a guess on a label is a lie.
func (l *Label) waste(a *advice.Advice) {
	var codes []string
	for _, line := range a.Storage.Waste {
		switch line.Rule {
		case "us-label-words":
			if words := quotedWords.FindStringSubmatch(line.Text); words != nil {
				l.Law = append(l.Law, words[1])
			}
		case "us-year-clock":
			// By hand: a label that is printed again must not start the year anew.
			l.Law = append(l.Law, "Discarded on ____________. Out of the house within one year of that day.")
		}
		if code := wasteCode.FindString(line.Text); code != "" {
			codes = append(codes, code)
		}
	}
	if len(codes) == 1 {
		l.Law = append(l.Law, codes[0])
	}
}

// parcel adds the marks of one mode of carriage.
func (l *Label) parcel(a *advice.Advice, mode string) error {
	for _, s := range a.Shipping {
		if s.Mode != mode {
			continue
		}
		if s.Allowed != "yes" {
			why := s.Why
			if len(s.AllowedIf) > 0 {
				why = append([]string{"it may if " + strings.Join(s.AllowedIf, "; ")}, why...)
			}
			return &Refused{fmt.Sprintf("as it is now it may not go by %s: %s", strings.ReplaceAll(mode, "-", " "), strings.Join(why, " "))}
		}
		l.Mode, l.Packing, l.Documents, l.Basis = mode, s.Packing, s.Documents, joined(strings.Join(s.Basis, ", "), s.Edition)
		for _, sentence := range s.Marks {
			m, err := readMark(sentence)
			if err != nil {
				return err
			}
			l.Marks = append(l.Marks, m)
		}
		return nil
	}
	return &Refused{fmt.Sprintf("the advice says nothing about carriage by %q; state dispatch.purpose and how it is packed", mode)}
}
