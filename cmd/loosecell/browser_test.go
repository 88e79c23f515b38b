package main

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// browserCheck says why the browser cannot be asked, or nothing.
func browserCheck() error {
	browser := os.Getenv("CHROMIUM")
	if browser == "" {
		browser = "/usr/bin/chromium"
	}
	if _, err := os.Stat(browser); err != nil {
		return errors.New("no chromium at " + browser)
	}
	if _, err := exec.LookPath("node"); err != nil {
		return errors.New("no node to drive the browser")
	}
	if _, err := os.Stat(filepath.Join("..", "..", ".ci", "browser", "node_modules", "playwright-core")); err != nil {
		return errors.New("the packages of .ci/browser are not installed (npm ci --prefix .ci/browser)")
	}
	return nil
}

// looked is what the browser expects of one printed file.
type looked struct {
	Pages      [2]int `json:"pages"`
	FrontPages int    `json:"frontPages,omitempty"`
}

// TestBrowserSheets has a real browser look at printed sheets: pages counted on
// A4 and Letter, nothing wider than a phone, nothing asked of the network, no
// error on the console, and no finding of axe-core (W3C WCAG 2.2, A and AA).
func TestBrowserSheets(t *testing.T) {
	if testing.Short() {
		t.Skip("left out: a browser takes its time, and .ci/run asks it in a step of its own")
	}
	if err := browserCheck(); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("left out, which is a failure where CI=true: %v", err)
		}
		t.Skipf("left out: %v", err)
	}
	t.Setenv("LOOSECELL_SHOP", "")
	folder := t.TempDir()
	shop := testdata("shops", "harbour-lane.yaml")
	expect := map[string]looked{}
	for name, want := range map[string]looked{
		"01-phone-strips-whole": {[2]int{2, 3}, 1}, "02-phone-one-tab-torn": {[2]int{2, 3}, 1},
		"07-earbud-case-foam": {[2]int{2, 4}, 1}, "34-phone-tape-warm": {[2]int{2, 4}, 1},
		"39-phone-swollen-tape-low": {[2]int{2, 4}, 1}, "40-hissing": {[2]int{1, 1}, 1},
		"52-resistor": {[2]int{2, 3}, 1}, "63-ship-us-earbud-swollen": {[2]int{2, 4}, 1}, "92-nothing": {[2]int{2, 3}, 1},
	} {
		page := advise(t, testdata("cases", name+".yaml"), "--on", goldenDate, "--shop", shop, "--format", "html")
		writeFile(t, filepath.Join(folder, name+".html"), page)
		expect[name+".html"] = want
	}
	several := advise(t, testdata("cases", "02-phone-one-tab-torn.yaml"), testdata("cases", "40-hissing.yaml"), "--on", goldenDate, "--shop", shop, "--format", "html")
	writeFile(t, filepath.Join(folder, "several.html"), several)
	expect["several.html"] = looked{Pages: [2]int{3, 4}}
	for name, h := range handouts {
		if h.pages[1] == 0 {
			continue
		}
		writeFile(t, filepath.Join(folder, name+".html"), printedBy(t, append(h.args, "--format", "html")...))
		expect[name+".html"] = looked{Pages: h.pages}
	}
	hostile := filepath.Join(folder, "hostile.yaml")
	writeFile(t, hostile, hostileCase)
	writeFile(t, filepath.Join(folder, "hostile.html"), advise(t, hostile, "--on", goldenDate, "--format", "html"))
	expect["hostile.html"] = looked{Pages: [2]int{2, 4}}
	shopOfMarkup := filepath.Join(folder, "hostile-shop.yaml")
	writeFile(t, shopOfMarkup, hostileShop)
	writeFile(t, filepath.Join(folder, "hostile-wall.html"), printedBy(t, "brief", "--wall", "--shop", shopOfMarkup, "--format", "html"))
	expect["hostile-wall.html"] = looked{Pages: [2]int{1, 2}}

	data, err := json.Marshal(expect)
	if err != nil {
		t.Fatal(err)
	}
	writeFile(t, filepath.Join(folder, "expect.json"), string(data))
	ctx, cancel := context.WithTimeout(t.Context(), 15*time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, "node", filepath.Join("..", "..", ".ci", "browser", "check.mjs"), folder).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	t.Logf("%s", out)
}

// hostileCase puts markup into every text that a person may write.
const hostileCase = `
job: {id: '<script>alert(1)</script>', ticket: '"><img src=x onerror=alert(2)>'}
` + hostileShop + `
device: {kind: phone}
battery: {place: in-open-device, swelling: slight}
`

const hostileShop = `
shop:
  name: '</title><script>alert(3)</script>'
  address: '<svg onload=alert(4)> &amp; <b>bold</b> {{.}} ${7*7}'
  emergency_number: '<a href="javascript:alert(5)">112</a>'
  poison_line: '</style><style>*{display:none}</style>'
  meeting_point: '<iframe src="https://example.invalid/"></iframe>'
  referral: '<form action=//example.invalid><input autofocus onfocus=alert(6)>'
  collector: '<!-- --><base href=//example.invalid>'
  night_place: '<link rel=stylesheet href=//example.invalid/x.css>'
`

func writeFile(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
