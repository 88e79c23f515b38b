package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"loosecell/cmd/loosecell/internal/drawing"
	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// paper is an advice laid out for printing: the same words as the text sheet, cut
// into a front to work from and a back to look things up in. HTML and Markdown
// are two ways of writing it down.
type paper struct {
	ID          string // keeps ids apart in a file of several sheets
	Verdict     string
	Means       string
	Because     string
	About       []page.Row
	Time, How   string
	First       []string
	Front, Back []block
	Tables      []block           // on the back, across the page
	Pictures    []drawing.Picture // of the work
	Charts      []drawing.Picture // behind the numbers
	Sources     []string
	Deference   string
	Lines       []string // an evacuation, which has nothing else
}

// Letters that fit one printed front of Letter, the shorter of the two papers
// in use, at the usual size of type and at the next smaller one (measured).
const (
	usualLetters = 3150
	smallLetters = 3700
)

// Density is how small the front is set so that it stays one page.
func (out *paper) Density() string {
	n := 0
	for _, b := range out.Front {
		n += utf8.RuneCountInString(b.Intro)
		for _, text := range slices.Concat(b.Numbered, b.Bullets, b.After) {
			n += utf8.RuneCountInString(text) + 12 // a started line is a line
		}
		for _, r := range b.Rows {
			n += utf8.RuneCountInString(r[1]) + 20
		}
	}
	switch {
	case n > smallLetters:
		return "packed"
	case n > usualLetters:
		return "full"
	}
	return ""
}

// block is one section of a paper.
type block struct {
	Heading  string
	Class    string // stop, call or empty: what the eye must find
	Intro    string
	Numbered []string
	Bullets  []string
	Rows     []page.Row // labelled lines
	Head     []string   // of the table
	Table    [][]string
	After    []string // bullets below rows or table
}

func (b block) empty() bool {
	return b.Intro == "" && len(b.Numbered)+len(b.Bullets)+len(b.Rows)+len(b.Table)+len(b.After) == 0
}

// kept drops empty rows and empty blocks.
func kept(blocks ...block) []block {
	var out []block
	for _, b := range blocks {
		var rows []page.Row
		for _, r := range b.Rows {
			if r[1] != "" {
				rows = append(rows, r)
			}
		}
		b.Rows = rows
		if !b.empty() {
			out = append(out, b)
		}
	}
	return out
}

// Sheet is one advice to print, with what its pictures show; without pictures it
// is all words.
type Sheet struct {
	Advice   *advice.Advice
	Pictures *advice.Pictures
	Place    Place
}

// layOut turns one sheet into a paper.
func layOut(id string, s Sheet) (*paper, error) {
	a := s.Advice
	if a.Verdict == "evacuate" {
		return evacuationPaper(id, s), nil
	}
	n := &notes{}
	out := &paper{ID: id, Verdict: strings.ToUpper(page.Clean(a.Verdict)), Because: sentence(a.Because), About: about(a)}
	var err error
	if a.Verdict == "stop" {
		out.refusal(s, n)
		out.Charts, err = charts(s, false)
	} else {
		out.instructions(s, n)
		out.Pictures = drawings(s)
		out.Charts, err = charts(s, true)
	}
	out.Sources = n.order
	out.Deference = deference
	if said := sentence(a.Deference.Text); said != "" {
		out.Deference = said
	}
	return out, err
}

// about tells which job the sheet is of.
func about(a *advice.Advice) []page.Row {
	job := strings.TrimPrefix(subject(a), "  |  ")
	rows := []page.Row{{"Job", strings.ReplaceAll(job, "  |  ", ", ")}, {"Date", page.Clean(a.Date)}, {"To", plain(a.Goal)}, {"Grade", plain(a.Condition)}}
	return kept(block{Rows: rows})[0].Rows
}

// evacuationPaper is the ten lines of the text sheet, large.
func evacuationPaper(id string, s Sheet) *paper {
	a := s.Advice
	out := &paper{ID: id, Verdict: "EVACUATE", Means: "Leave now. Take everyone with you.", About: about(a)[:1]}
	room := evacuationLines - 2
	for _, l := range lines(sentence(a.Because), 2) {
		room--
		out.Because = strings.TrimSpace(out.Because + " " + strings.TrimSpace(l))
	}
	for _, l := range wayOutOfTheRoom(a.Emergency, s.Place, room) {
		out.Lines = append(out.Lines, strings.TrimSpace(l))
	}
	return out
}

// instructions lays out a proceed or prepare sheet.
func (out *paper) instructions(s Sheet, n *notes) {
	a := s.Advice
	out.Means = meaning(a)
	out.Time, out.How = capital(duration(a)), capital(wayOut(a))
	ready, opening, steps := preparations(a, n), openingSteps(a, n), stepTexts(a.Removal.Steps, n)
	todo := append(append(append([]string{}, ready...), opening...), steps...)
	out.First = todo[:min(2, len(todo))]
	limits := []page.Row{{"Charge", charge(a.Discharge, n)}}
	if !isOut(a) {
		limits = append(limits, page.Row{"Heat", heatCaps(a.Heat, n)}, page.Row{"Solvent", solventDose(a.Solvent, n)})
	}
	open := block{Heading: "Open the device", Numbered: opening}
	if a.Opening != nil && a.Opening.Needed {
		open.Intro = openingIntro(a.Opening)
	}
	out.Front = kept(
		relaxedBlock(a.Relaxations),
		block{Heading: "Before you start", Numbered: ready},
		open,
		block{Heading: "Take it out", Numbered: steps},
		block{Heading: "Limits", Rows: limits},
		block{Heading: "Wear", Bullets: citeAll(n, a.PPE)},
		block{Heading: "Stop at once if", Class: "stop", Bullets: citeAll(n, a.StopSigns)},
		block{Heading: "If it goes wrong", Class: "call", Rows: callRows(s.Place), After: citeAll(n, a.Emergency)},
	)
	once := block{Heading: "Once it is out", Bullets: citeAll(n, a.AfterCare)}
	var same block
	if a.Goal == "refit" {
		same = block{Heading: "Refit", Rows: []page.Row{{"Same cell", n.withReasons(may(a.Refit.May), a.Refit.Why)}}}
	}
	care := block{Heading: "Take care", Bullets: citeAll(n, a.Cautions)}
	out.Back = kept(
		once, same, storageBlock(n, a.Storage), moreOnLimits(n, a), otherWaysBlock(a, n), care,
		consequenceBlock(n, a.Consequence), assumedBlock(a.Assumed),
	)
	out.Tables = kept(numbersBlock(n, a.Numbers), shippingBlock(n, a.Shipping), unknownsBlock(notKnown(a)))
}

// refusal lays out a stop: it names no way of taking the cell out.
func (out *paper) refusal(s Sheet, n *notes) {
	a := s.Advice
	now := stepTexts(a.Removal.Steps, n)
	if len(now) == 0 {
		now = citeAll(n, a.Cautions)
	}
	out.Means = "Do not work on this cell."
	out.First = now[:min(2, len(now))]
	out.Front = kept(
		block{Heading: "Why", Bullets: reasons(a, n)},
		relaxedBlock(a.Relaxations),
		block{Heading: "What now", Numbered: now},
		block{Heading: "Who takes over", Bullets: []string{referral(s.Place)}},
		block{Heading: "Wear", Bullets: citeAll(n, a.PPE)},
		block{Heading: "Leave at once if", Class: "stop", Bullets: citeAll(n, a.StopSigns)},
		block{Heading: "If it turns worse", Class: "call", Rows: callRows(s.Place), After: citeAll(n, a.Emergency)},
	)
	out.Back = kept(storageBlock(n, a.Storage), consequenceBlock(n, a.Consequence))
	out.Tables = kept(shippingBlock(n, a.Shipping), unknownsBlock(notKnown(a)))
}

// callRows are whom to call and where to go, from the shop's own file.
func callRows(p Place) []page.Row {
	number := page.Clean(p.EmergencyNumber)
	if number == "" {
		number = "your emergency number (not in the shop file)"
	}
	address := page.Clean(p.Address)
	if address == "" {
		address = "the full address of this bench (not in the shop file)"
	}
	if name := page.Clean(p.Name); name != "" {
		address = name + ", " + address
	}
	return []page.Row{{"Call", number}, {"Say", "lithium battery, toxic smoke possible"}, {"Address", address},
		{"Meet at", page.Clean(p.MeetingPoint)}, {"Poison line", page.Clean(p.PoisonLine)}}
}

// drawings are the pictures of the work.
func drawings(s Sheet) []drawing.Picture {
	if s.Pictures == nil || s.Pictures.Scene.Place == "removed" {
		return nil
	}
	a, scene := s.Advice, s.Pictures.Scene
	// A drop on the sheet is an invitation: it is drawn where liquid is the way
	// out or, while that is open, may become it.
	liquid := a.Solvent.May != "no" && (way(a.Removal) == "solvent" || a.Removal.Pick == "undecided")
	out := []drawing.Picture{drawing.Plan(scene, liquid)}
	if w := way(a.Removal); w != "undecided" && w != "cut-leads" && w != "already-out" {
		steady := a.Condition == "sound" || a.Condition == "worn"
		out = append(out, drawing.Section(scene, steady))
	}
	return out
}

// charts are the courses behind the numbers and, where there is work to do, the
// rungs in their order.
func charts(s Sheet, working bool) ([]drawing.Picture, error) {
	if s.Pictures == nil {
		return nil, nil
	}
	var out []drawing.Picture
	var failed error
	keep := func(p drawing.Picture, err error) {
		if err != nil && failed == nil {
			failed = err
		}
		if err == nil {
			out = append(out, p)
		}
	}
	if working {
		if rungs := ladder(s.Advice); len(rungs) > 1 && s.Pictures.Scene.Adhesive != "" && s.Advice.Removal.Pick != "already-out" {
			keep(drawing.Ladder(rungs), nil)
		}
		if h := s.Pictures.Heat; h != nil && !isOut(s.Advice) {
			keep(drawing.Heat(h))
		}
		if d := s.Pictures.Discharge; d != nil {
			keep(drawing.Charge(d))
			if p, ok, err := drawing.Volts(d); ok || err != nil {
				keep(p, err)
			}
		}
	}
	if g := s.Pictures.Gas; g != nil {
		keep(drawing.Gas(g))
	}
	if failed != nil {
		return nil, fmt.Errorf("%s: %w", s.Advice.Case, failed)
	}
	return out, nil
}

// ladder is the rungs that apply or may apply.
func ladder(a *advice.Advice) []drawing.Rung {
	var out []drawing.Rung
	for _, r := range a.Removal.Rungs {
		if r.Fits == "no" && !r.Tried {
			continue
		}
		note := ""
		state := drawing.StateOf(r, a.Removal.Pick, a.Removal.Likely)
		if r.Minutes > 0 && state != drawing.Barred && state != drawing.Tried {
			note = "about " + strings.ReplaceAll(minutes(r.Minutes), string(page.Glue), " ")
		}
		out = append(out, drawing.Rung{Name: rungTitle(r.Rung), State: state, Note: note})
	}
	return out
}

// rungTitles fit a box of the ladder.
var rungTitles = map[string]string{
	"fasteners": "Undo screws or clips", "lift-film": "Lift by the film", "pull-cord": "Pull the cord", "stretch-strips": "Stretch the strips out",
	"strip-stub": "Get hold of the torn strip's stub", "other-tab": "Pull by a tab that is whole", "voltage-release": "Release by low voltage",
	"warm": "Warm the adhesive gently", "solvent": "Let a little solvent creep in", "card": "Slide in a thin card or thread", "cut-leads": "Cut the leads, one at a time",
}

func rungTitle(word string) string {
	if t := rungTitles[word]; t != "" {
		return t
	}
	return capital(plain(word))
}
