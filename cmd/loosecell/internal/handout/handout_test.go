package handout

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/book"
	"loosecell/rules/briefing"
	"loosecell/rules/facts"
	"loosecell/rules/quiz"
)

// hostile is text that would be markup, script, a table cell or a link.
const hostile = "\"><script>alert(1)</script> [x](javascript:alert(1)) | `a` **b** <http://e.org> {{.}} \x1b[31m\u202e # 1. - _x_ ~~y~~"

func teacher(t *testing.T, text string) *Teacher {
	t.Helper()
	m, err := briefing.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	shop, err := facts.ParseShop(facts.Shipped(), "shop", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return &Teacher{Material: m, Book: b, Shop: shop}
}

func hostileShop(t *testing.T) *Teacher {
	t.Helper()
	c := teacher(t, "")
	for _, name := range []string{"name", "address", "emergency_number", "poison_line", "meeting_point", "referral", "collector", "night_place"} {
		c.Shop.Set("shop."+name, facts.Value{State: facts.Stated, Text: hostile})
	}
	return c
}

func documents(t *testing.T, c *Teacher) map[string]*Document {
	t.Helper()
	cards, err := quiz.Draw(c.Book, quiz.Options{Seed: 1, Cards: 3, Level: quiz.Hard})
	if err != nil {
		t.Fatal(err)
	}
	return map[string]*Document{"briefing": c.Briefing(""), "wall": c.WallSheet(), "counter": c.CounterCard(),
		"quiz": c.Quiz(cards, "Seed 1."), "key": c.QuizKey(cards, "Seed 1.")}
}

func html(t *testing.T, d *Document) string {
	t.Helper()
	var out bytes.Buffer
	if err := HTML(&out, d); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestHostileTextStaysText(t *testing.T) {
	for name, d := range documents(t, hostileShop(t)) {
		page := html(t, d)
		for _, never := range []string{"<script", "\x1b", "\u202e", "href=\"javascript", "href=\"http"} {
			if strings.Contains(page, never) {
				t.Errorf("%s: %q got through", name, never)
			}
		}
		var out bytes.Buffer
		if err := Markdown(&out, d); err != nil {
			t.Fatal(err)
		}
		for _, never := range []string{"<script", "](javascript", "\n# 1.", "\x1b", "\u202e"} {
			if strings.Contains(strings.NewReplacer(`\<`, "", `\]`, "").Replace(out.String()), never) {
				t.Errorf("%s: %q is live in the Markdown", name, never)
			}
		}
		// A bar in a text does not open another column.
		for line := range strings.Lines(out.String()) {
			if strings.HasPrefix(line, "|") {
				bars := strings.Count(line, "|") - strings.Count(line, `\|`)
				if bars != 4 && bars != 5 {
					t.Errorf("%s: %d bars in %q", name, bars, line)
				}
			}
		}
	}
}

func TestPagesAreWellFormedAndSelfContained(t *testing.T) {
	for name, d := range documents(t, teacher(t, "shop: {name: Harbour Lane bench}")) {
		text := html(t, d)
		body := text[strings.Index(text, "<body"):strings.Index(text, "</html>")]
		dec := xml.NewDecoder(strings.NewReader(strings.ReplaceAll(strings.ReplaceAll(body, "&nbsp;", " "), "<br>", "")))
		for {
			if _, err := dec.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		for _, never := range []string{"<script", "src=", "http:", "https:", "url(", "@import"} {
			if strings.Contains(text, never) {
				t.Errorf("%s: %q asks for something from elsewhere", name, never)
			}
		}
		for _, always := range []string{`<html lang="en">`, "<h1>", "<main>", `name="viewport"`} {
			if !strings.Contains(text, always) {
				t.Errorf("%s: no %s", name, always)
			}
		}
		if strings.Contains(text, "<table") && !strings.Contains(text, `scope="col"`) {
			t.Errorf("%s: a table without headers", name)
		}
		if headings := regexp.MustCompile(`<h([1-6])`).FindAllStringSubmatch(text, -1); len(headings) > 1 {
			last := "1"
			for _, h := range headings {
				if h[1] > last && h[1][0] != last[0]+1 {
					t.Errorf("%s: heading %s follows %s", name, h[1], last)
				}
				last = h[1]
			}
		}
		ids := map[string]bool{}
		for _, id := range regexp.MustCompile(`id="([^"]+)"`).FindAllStringSubmatch(text, -1) {
			if ids[id[1]] {
				t.Errorf("%s: id %s twice", name, id[1])
			}
			ids[id[1]] = true
		}
		for _, to := range regexp.MustCompile(`href="#([^"]+)"`).FindAllStringSubmatch(text, -1) {
			if !ids[to[1]] {
				t.Errorf("%s: nothing is at #%s", name, to[1])
			}
		}
	}
}

func TestTextFitsATerminal(t *testing.T) {
	for name, d := range documents(t, hostileShop(t)) {
		var out bytes.Buffer
		if err := Text(&out, d); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(out.String()) {
			line = strings.TrimSuffix(line, "\n")
			if page.Cells(line) > page.Width {
				t.Errorf("%s: %d cells: %q", name, page.Cells(line), line)
			}
		}
		if strings.ContainsAny(out.String(), "\x1b\u202e") {
			t.Errorf("%s: an escape got through", name)
		}
	}
}

func TestTheShopsOwnWordsAreThereAndGapsAreLines(t *testing.T) {
	c := teacher(t, "shop: {emergency_number: \"112\", meeting_point: the lamp post}\nbench: {hf_gel: no}\ndispatch: {jurisdiction: uk}\n")
	wall := html(t, c.WallSheet())
	for _, want := range []string{"<dd>112</dd>", "<dd>the lamp post</dd>", "We have none. Get one."} {
		if !strings.Contains(wall, want) {
			t.Errorf("the wall sheet lacks %q", want)
		}
	}
	if !strings.Contains(wall, `<dt>Address</dt><dd><span class="line">`) {
		t.Error("an address that nobody stated is not a line to fill in")
	}
	brief := html(t, c.Briefing("uk"))
	if !strings.Contains(brief, "United Kingdom") || strings.Contains(brief, "United States") {
		t.Error("the training of another place is told")
	}
	if !strings.Contains(brief, briefing.Blank) {
		t.Error("what the shop did not state is not left blank")
	}
}

// A key is no part of the cards.
func TestCardsDoNotGiveTheAnswersAway(t *testing.T) {
	c := teacher(t, "")
	cards, err := quiz.Draw(c.Book, quiz.Options{Seed: 2, Cards: 5, Level: quiz.Hard})
	if err != nil {
		t.Fatal(err)
	}
	sheet, key := html(t, c.Quiz(cards, "")), html(t, c.QuizKey(cards, ""))
	for i := range cards {
		for _, l := range cards[i].Because {
			if l.Source != "" && strings.Contains(sheet, escapedHTML(l.Text)) {
				t.Errorf("the sheet says why: %q", l.Text)
			}
		}
		if !strings.Contains(key, escapedHTML(cards[i].Right())) {
			t.Errorf("the key lacks %q", cards[i].Right())
		}
	}
}

func escapedHTML(text string) string { return strings.ReplaceAll(text, "'", "&#39;") }

func TestNotesAreWrittenShort(t *testing.T) {
	for want, numbers := range map[string][]int{"": nil, "[1]": {1}, "[1, 2]": {1, 2}, "[1-3]": {1, 2, 3}, "[1, 3-5, 9]": {1, 3, 4, 5, 9}} {
		if got := bracket(numbers); got != want {
			t.Errorf("%v: %q, want %q", numbers, got, want)
		}
	}
}
