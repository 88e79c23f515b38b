package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// printed are the cases whose printed sheets are kept: a torn tab, a warming, a
// stop, an evacuation and a case of which nothing is known.
var printed = []string{"02-phone-one-tab-torn", "34-phone-tape-warm", "05-laptop-swollen-glued", "40-hissing", "92-nothing"}

// TestGoldenPapers keeps the printed sheets as a reader last approved them. After
// a wanted change: go test ./cmd/loosecell -run GoldenPapers -update, then look
// at them in a browser before committing.
func TestGoldenPapers(t *testing.T) {
	t.Setenv("LOOSECELL_SHOP", "")
	for _, name := range printed {
		for format, ending := range map[string]string{"html": ".html", "markdown": ".md"} {
			t.Run(name+ending, func(t *testing.T) {
				holdAgainst(t, name+ending, advise(t, testdata("cases", name+".yaml"), "--on", goldenDate, "--shop", testdata("shops", "harbour-lane.yaml"), "--format", format))
			})
		}
	}
	for name, h := range handouts {
		t.Run(name+".html", func(t *testing.T) {
			holdAgainst(t, name+".html", printedBy(t, append(h.args, "--format", "html")...))
		})
	}
}

// holdAgainst compares a printed file with the one a reader last approved.
func holdAgainst(t *testing.T, name, got string) {
	t.Helper()
	golden := testdata("golden", name)
	if *update {
		writeFile(t, golden, got)
		return
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatalf("%v; run with -update to write it", err)
	}
	if got != string(want) {
		t.Errorf("the sheet differs from %s at %s", golden, firstDifference(got, string(want)))
	}
}

// handouts are the papers that are no sheet of a case, and between how many pages
// each takes; 0: the browser is not asked, as another one is laid out alike.
var handouts = map[string]struct {
	args  []string
	pages [2]int
}{
	"briefing":     {[]string{"brief", "--shop", testdata("shops", "harbour-lane.yaml")}, [2]int{9, 11}},
	"wall":         {[]string{"brief", "--wall", "--shop", testdata("shops", "harbour-lane.yaml")}, [2]int{1, 1}},
	"counter":      {[]string{"brief", "--counter"}, [2]int{}},
	"act-smoke":    {[]string{"act", "smoke", "--shop", testdata("shops", "harbour-lane.yaml")}, [2]int{1, 1}},
	"act-torn-tab": {[]string{"act", "torn-tab"}, [2]int{}},
	"label-bag":    {[]string{"label", testdata("cases", "35-already-out.yaml"), "--on", goldenDate}, [2]int{1, 1}},
}

// TestHostileTextStaysText: whatever a case or a shop says, the file holds no
// script, no handler and nothing that reaches out.
func TestHostileTextStaysText(t *testing.T) {
	t.Setenv("LOOSECELL_SHOP", "")
	file := filepath.Join(t.TempDir(), "hostile.yaml")
	writeFile(t, file, hostileCase)
	for _, extra := range []string{"", "\n  venting: yes\n", "\n  odour: yes\n"} {
		if extra != "" {
			writeFile(t, file, strings.Replace(hostileCase, "swelling: slight", "swelling: slight, "+strings.TrimSpace(extra), 1))
		}
		got := advise(t, file, "--on", goldenDate, "--format", "html")
		for _, tag := range regexp.MustCompile(`<[^>]*>`).FindAllString(got, -1) {
			for _, bad := range []string{"<script", "<img", "<iframe", "<form", "<input", "<base", "<link", "<b>", "onload", "onerror", "onfocus", "javascript:", "example.invalid"} {
				if strings.Contains(strings.ToLower(tag), bad) {
					t.Errorf("%q stands in the tag %s", bad, tag)
				}
			}
		}
		if n := strings.Count(got, "<style"); n != 1 {
			t.Errorf("%d style elements, want the sheet's own", n)
		}
		if n := strings.Count(got, "</title>") - strings.Count(got, "<svg"); n != 1 {
			t.Errorf("titles beside those of the pictures: %d, want 1", n)
		}
		if !strings.Contains(got, "&lt;iframe") {
			t.Error("the meeting point is not on the sheet as text")
		}
	}
}

// TestMarkdownStaysText: in CommonMark 0.31.2 a backslash before a mark makes it
// text, so no unescaped < and no table bar of a case may stand in the file.
func TestMarkdownStaysText(t *testing.T) {
	t.Setenv("LOOSECELL_SHOP", "")
	file := filepath.Join(t.TempDir(), "hostile.yaml")
	writeFile(t, file, hostileCase)
	got := advise(t, file, "--on", goldenDate, "--format", "markdown")
	if found := regexp.MustCompile(`(^|[^\\])[<\[]`).FindString(got); found != "" {
		t.Errorf("an unescaped mark: %q", found)
	}
	if !strings.Contains(got, `\<iframe`) {
		t.Error("the meeting point is not on the sheet as text")
	}
}

// TestPapersAreReadByEars: what a screen reader needs (WCAG 2.2: 1.1.1, 1.3.1,
// 2.4.2, 2.4.6, 3.1.1): language, title, one main heading a sheet, headings in
// order, table headers with scope, and a name for every picture.
func TestPapersAreReadByEars(t *testing.T) {
	t.Setenv("LOOSECELL_SHOP", "")
	for _, name := range append([]string{"61-ship-loose-cell-by-air"}, printed...) {
		got := advise(t, testdata("cases", name+".yaml"), "--on", goldenDate, "--format", "html")
		count := func(what string) int { return strings.Count(got, what) }
		if count(`<html lang="en">`) != 1 || count("<h1") != 1 || count("<main") != 1 || !strings.Contains(got, "<title>Battery removal") {
			t.Errorf("%s: language, title, main and one main heading are wanted", name)
		}
		if count("<th ") != count("<th scope=") || count("<table") != count("<caption") {
			t.Errorf("%s: a table lacks the scope of a header or its caption", name)
		}
		if count("<svg ") != count(`role="img"`) || count("<svg ") != count("<figcaption") {
			t.Errorf("%s: a picture lacks its role or its caption", name)
		}
		ids := map[string]bool{}
		for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(got, -1) {
			if ids[m[1]] {
				t.Errorf("%s: the id %q stands twice", name, m[1])
			}
			ids[m[1]] = true
		}
		for _, m := range regexp.MustCompile(`aria-labelledby="([^"]*)"`).FindAllStringSubmatch(got, -1) {
			for id := range strings.FieldsSeq(m[1]) {
				if !ids[id] {
					t.Errorf("%s: nothing has the id %q", name, id)
				}
			}
		}
	}
}

// TestEvacuationPaperIsShort: ten lines and nothing of methods.
func TestEvacuationPaperIsShort(t *testing.T) {
	t.Setenv("LOOSECELL_SHOP", "")
	got := advise(t, testdata("cases", "40-hissing.yaml"), "--shop", testdata("shops", "harbour-lane.yaml"), "--format", "html")
	if n := strings.Count(got, "<li>"); n > 8 { // with the heading and the reason: ten
		t.Errorf("%d lines below the heading and the reason, want 8 at most", n)
	}
	for _, want := range []string{"Leave", "112", "12 Harbour Lane", "lamp post"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q on the sheet", want)
		}
	}
	if strings.Contains(got, "<svg") || strings.Contains(got, "<h2") {
		t.Error("an evacuation has pictures or sections")
	}
}

// TestPapersAreTheSameEachTime, pictures and all.
func TestPapersAreTheSameEachTime(t *testing.T) {
	t.Setenv("LOOSECELL_SHOP", "")
	args := []string{testdata("cases", "34-phone-tape-warm.yaml"), "--on", goldenDate, "--format", "html"}
	first, again := advise(t, args...), advise(t, args...)
	if first != again {
		t.Error("the same case gave two different files")
	}
}
