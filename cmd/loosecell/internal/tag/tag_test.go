package tag

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/compact"
	"loosecell/rules/facts"
	"loosecell/rules/labels"
)

// drawn paints the path of a code as a browser does, so that what is decoded
// is what is printed.
func drawn(t *testing.T, svg string) image.Image {
	t.Helper()
	view := regexp.MustCompile(`viewBox="0 0 (\d+) \d+"`).FindStringSubmatch(svg)
	if view == nil {
		t.Fatal("the code has no size")
	}
	side, _ := strconv.Atoi(view[1])
	const dots = 6
	img := image.NewGray(image.Rect(0, 0, side*dots, side*dots))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for _, run := range regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-\d+z`).FindAllStringSubmatch(svg, -1) {
		x, _ := strconv.Atoi(run[1])
		y, _ := strconv.Atoi(run[2])
		n, _ := strconv.Atoi(run[3])
		for px := x * dots; px < (x+n)*dots; px++ {
			for py := y * dots; py < (y+1)*dots; py++ {
				img.SetGray(px, py, color.Gray{})
			}
		}
	}
	return img
}

// The code on a label, read by a decoder that shares nothing with the encoder,
// is a case with the same advice.
func TestAnIndependentDecoderReadsTheSameAdvice(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	names, err := filepath.Glob("../../../../testdata/cases/[0-9]*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatal("no cases", err)
	}
	options := advice.Options{On: "2026-11-24", Now: time.Now()}
	read := 0
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		c, err := facts.ParseCase(facts.Shipped(), "case", data)
		if err != nil {
			t.Fatal(err)
		}
		l, err := labels.Make(b, c, nil, labels.Request{Kind: labels.Bag, On: options.On, Now: options.Now})
		var refused *labels.Refused
		if errors.As(err, &refused) {
			continue
		} else if err != nil {
			t.Fatal(err)
		}
		code, ok := newCode(l.Code, codeMost[labels.Bag])
		if !ok {
			t.Errorf("%s has no code", name)
			continue
		}
		bitmap, err := gozxing.NewBinaryBitmapFromImage(drawn(t, string(code.SVG)))
		if err != nil {
			t.Fatal(err)
		}
		// The picture is the code and nothing else, straight and square.
		result, err := qrcode.NewQRCodeReader().Decode(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_PURE_BARCODE: true})
		if err != nil {
			t.Errorf("%s cannot be read: %v", name, err)
			continue
		}
		back, err := compact.Decode(facts.Shipped(), "case", result.GetText())
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		want, err := advice.Advise(b, c, options)
		if err != nil {
			t.Fatal(err)
		}
		got, err := advice.Advise(b, back, options)
		if err != nil {
			t.Fatal(err)
		}
		if got.Verdict != want.Verdict || got.Because != want.Because || got.Condition != want.Condition || got.Removal.Pick != want.Removal.Pick {
			t.Errorf("%s: read as %s, %s; want %s, %s", name, got.Verdict, got.Because, want.Verdict, want.Because)
		}
		read++
	}
	if read < 20 {
		t.Errorf("only %d codes were read", read)
	}
}

func TestACodeTooFineToReadIsLeftOff(t *testing.T) {
	if _, ok := newCode(strings.Repeat("A", 3000), 36); ok {
		t.Error("a code with modules under 0.36 mm was drawn")
	}
	l := &labels.Label{Kind: labels.Bag, Code: strings.Repeat("A", 5000)}
	var out bytes.Buffer
	if err := HTML(&out, []*labels.Label{l}, Papers[0]); err != nil || !strings.Contains(out.String(), "No code:") {
		t.Errorf("nothing says that the code is missing: %v", err)
	}
}

// hostile is text that would be markup, script or an escape sequence.
const hostile = `"><script>alert(1)</script><img src=x onerror=alert(1)> ${7*7} {{.}} ]]> &amp; ` + "\x1b[31m\u202e"

func hostileLabel(kind string) *labels.Label {
	return &labels.Label{Kind: kind, ID: hostile, Ticket: hostile, Device: hostile, Chemistry: hostile, Energy: hostile, Volts: hostile,
		Condition: "damaged", Heading: hostile, Handling: hostile, Store: hostile, Date: hostile, LookAgain: hostile, LookText: hostile,
		Law: []string{hostile}, Marks: []labels.Mark{{Sentence: hostile, Words: hostile, HeightMM: 12}, {Sentence: hostile, Place: hostile, WideMM: 100, HighMM: 100, Size: hostile, Source: hostile}},
		Mode: hostile, Packing: []string{hostile}, Documents: []string{hostile}, Basis: hostile, Code: compact.Prefix + "AE", From: hostile, Call: hostile}
}

func TestHostileTextStaysText(t *testing.T) {
	for _, kind := range labels.Kinds {
		var out bytes.Buffer
		if err := HTML(&out, []*labels.Label{hostileLabel(kind)}, Papers[1]); err != nil {
			t.Fatal(err)
		}
		html := out.String()
		for _, never := range []string{"<script", "<img", "\x1b", "\u202e"} {
			if strings.Contains(html, never) {
				t.Errorf("%s: %q got through", kind, never)
			}
		}
		if strings.Contains(html, "http") {
			t.Errorf("%s: the page refers to somewhere else", kind)
		}
		out.Reset()
		if err := Text(&out, []*labels.Label{hostileLabel(kind)}); err != nil || strings.ContainsAny(out.String(), "\x1b\u202e") {
			t.Errorf("%s: as text: %v", kind, err)
		}
	}
}

// Letters of 12 mm: a capital takes at least 0.66 of the size of its font, so
// the size is at least 18.2 mm, and no line runs over the sheet.
func TestLettersHaveTheirLegalHeight(t *testing.T) {
	for _, c := range []struct {
		words string
		mm    float64
	}{
		{"DAMAGED/DEFECTIVE LITHIUM ION BATTERY", 12}, {"DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES", 12}, {"UN 3480", 12},
		{"LITHIUM BATTERIES-FORBIDDEN FOR TRANSPORT ABOARD AIRCRAFT AND VESSEL", 12}, {"A<B&C", 6},
	} {
		svg := string(bigWords(c.words, c.mm, 186))
		var joined strings.Builder
		dec := xml.NewDecoder(strings.NewReader(svg))
		for {
			token, err := dec.Token()
			if errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%q is no XML: %v", svg, err)
			}
			switch x := token.(type) {
			case xml.CharData:
				joined.Write(x)
			case xml.StartElement:
				for _, a := range x.Attr {
					if size, _ := strconv.ParseFloat(a.Value, 64); a.Name.Local == "font-size" && size*0.66 < c.mm-0.01 {
						t.Errorf("%q at %s mm: capitals may be under %g mm", c.words, a.Value, c.mm)
					}
				}
			}
		}
		if got, want := strings.ReplaceAll(joined.String(), " ", ""), strings.ReplaceAll(c.words, " ", ""); got != want {
			t.Errorf("printed %q, want %q", got, want)
		}
	}
}

func TestSheetsHoldTheirLabels(t *testing.T) {
	var list []*labels.Label
	for range 9 {
		list = append(list, &labels.Label{Kind: labels.Bag, ID: "HL-1", Heading: "USED BATTERY: SOUND", Code: compact.Prefix + "AE"})
	}
	for _, paper := range Papers {
		wide, high := cell(paper, labels.Bag)
		if 2*wide > paper.Wide || 3*high > paper.High {
			t.Errorf("%s: %g x %g mm do not fit", paper.Name, wide, high)
		}
		var out bytes.Buffer
		if err := HTML(&out, list, paper); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(out.String(), `class="sheet"`); n != 2 {
			t.Errorf("%s: 9 labels on %d sheets, want 2", paper.Name, n)
		}
	}
	if err := HTML(io.Discard, nil, Papers[0]); err == nil {
		t.Error("a sheet of nothing was printed")
	}
}
