package briefing

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"loosecell/rules/facts"
)

// Blank is the line that is left to fill in by hand.
const Blank = "________________"

// places are the placeholders and the facts of the shop file that fill them.
var places = map[string]string{
	"shop_name": "shop.name", "shop_address": "shop.address", "emergency_number": "shop.emergency_number",
	"poison_line": "shop.poison_line", "meeting_point": "shop.meeting_point", "referral": "shop.referral",
	"collector": "shop.collector", "night_place": "shop.night_place",
}

var placeholder = regexp.MustCompile(`\{[a-z_]+\}`)

// Fill puts the shop's own words into a text; what the shop has not stated is
// left as a blank to fill in. A nil shop leaves all of them blank. Words of the
// shop's that open a sentence get a capital.
func Fill(text string, shop *facts.Case) string {
	var out strings.Builder
	last := 0
	for _, at := range placeholder.FindAllStringIndex(text, -1) {
		before := text[:at[0]]
		out.WriteString(text[last:at[0]])
		word := Place(strings.Trim(text[at[0]:at[1]], "{}"), shop)
		if before == "" || strings.HasSuffix(before, ". ") {
			first, size := utf8.DecodeRuneInString(word)
			word = string(unicode.ToUpper(first)) + word[size:]
		}
		out.WriteString(word)
		last = at[1]
	}
	out.WriteString(text[last:])
	return out.String()
}

// Place is one placeholder filled, without its braces.
func Place(name string, shop *facts.Case) string {
	v := shop.Get(places[name])
	if v.State != facts.Stated || strings.TrimSpace(v.Text) == "" {
		return Blank
	}
	return strings.TrimRight(strings.TrimSpace(v.Text), ".")
}

// Has tells what the shop says of a thing it may have: yes, no, or "" where it
// says nothing.
func Has(fact string, shop *facts.Case) string {
	v := shop.Get(fact)
	f, ok := shop.Catalogue().Lookup(fact)
	if !ok || v.State != facts.Stated {
		return ""
	}
	if names := f.Names(v.Words); len(names) == 1 {
		return names[0]
	}
	return ""
}
