package sheet

import (
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// evacuationLines is the most an evacuation sheet may be: nobody reads an
// eleventh line on the way out.
const evacuationLines = 10

// evacuation prints leave, call, the address and the meeting point, and
// nothing about methods. The rulebook's lines come first, as many as there is
// room for; what they leave unsaid of the four is added in words of our own.
func evacuation(a *advice.Advice, place Place) *page.Page {
	p := &page.Page{}
	p.Put(page.Banner, page.Clip(page.Wrap("EVACUATE  Leave now. Take everyone with you."+subject(a), page.Width), 1, page.Width)[0])
	for _, l := range lines(sentence(a.Because), 2) {
		p.Put(page.Plain, l)
	}
	for _, l := range wayOutOfTheRoom(a.Emergency, place, evacuationLines-p.Len()) {
		p.Put(page.Strong, l)
	}
	return p
}

// wayOutOfTheRoom is the longest run of the rulebook's lines that, with what
// then is missing, fits the room on the sheet.
func wayOutOfTheRoom(emergency []advice.Line, place Place, room int) []string {
	for n := len(emergency); ; n-- {
		var shown []string
		for _, l := range emergency[:n] {
			shown = append(shown, lines(sentence(l.Text), evacuationLines)...)
		}
		for _, text := range missing(strings.ToLower(strings.Join(shown, " ")), place) {
			shown = append(shown, lines(text, 2)...)
		}
		if len(shown) <= room || n == 0 {
			return shown
		}
	}
}

// lines wraps a text into at most n indented lines.
func lines(text string, n int) []string {
	width := page.Width - page.Indent
	wrapped := page.Clip(page.Wrap(text, width), n, width)
	for i := range wrapped {
		wrapped[i] = strings.Repeat(" ", page.Indent) + wrapped[i]
	}
	return wrapped
}

// missing is what the rulebook's own emergency lines do not say of calling,
// the address and the meeting point.
func missing(said string, place Place) []string {
	said = strings.Join(strings.Fields(said), " ") // as if never wrapped
	var out []string
	has := func(text string) bool { return text != "" && strings.Contains(said, strings.ToLower(text)) }
	number, address, meet := page.Clean(place.EmergencyNumber), page.Clean(place.Address), page.Clean(place.MeetingPoint)
	switch {
	case number != "" && !has(number):
		out = append(out, "From outside, call "+number+".")
	case number == "" && !strings.Contains(said, "call"):
		out = append(out, "From outside, call the fire service on your emergency number.")
	}
	switch {
	case address != "" && !has(address):
		out = append(out, "Address: "+address+". Say: lithium battery, toxic smoke possible.")
	case address == "" && !strings.Contains(said, "address"):
		out = append(out, "Give the address of this building. Say: lithium battery.")
	}
	switch {
	case meet != "" && !has(meet):
		out = append(out, "Meet at: "+meet+".")
	case meet == "" && !strings.Contains(said, "meet"):
		out = append(out, "Meet upwind, well away from doors and windows, and count heads.")
	}
	return out
}
