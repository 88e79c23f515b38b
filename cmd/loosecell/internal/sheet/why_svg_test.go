package sheet

import (
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"

	"loosecell/rules/why"
)

var sample = &why.Why{
	Case: "<a> & b", Answer: "verdict", Is: "stop",
	Reasons: []why.Reason{
		{Rule: "stop-when-critical", Effect: "alarm", Part: why.Needed, Certain: true, Because: "No tool touches it.",
			Facts: []why.Seen{{Fact: "battery.puncture", Value: "suspected", Why: "stated"}}},
		{Rule: "critical-pierced", Effect: "grade", Part: why.Behind, For: "stop-when-critical", Certain: false,
			Because: strings.Repeat("An open foil may short inside. ", 20),
			Facts:   []why.Seen{{Fact: "battery.puncture", Value: "suspected", Why: "stated"}, {Fact: "battery.odour", Value: "unknown", Why: "not known"}}},
	},
}

func drawn(t *testing.T, x *why.Why) string {
	t.Helper()
	var out strings.Builder
	if err := WhySVG(&out, x); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestDrawingIsWellFormedAndTheSameEachTime(t *testing.T) {
	text := drawn(t, sample)
	if again := drawn(t, sample); again != text {
		t.Error("the same explanation is drawn in two ways")
	}
	dec := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := dec.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"battery puncture = suspected", "stop-when-critical", "stroke-dasharray", "&lt;a&gt; &amp; b"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in the drawing", want)
		}
	}
	if strings.Count(text, "battery puncture") != 1 {
		t.Error("a fact that two rules saw is drawn once")
	}
}

// Every colour of the drawing is a grey, so that it reads the same in print.
func TestDrawingIsGrey(t *testing.T) {
	for _, c := range regexp.MustCompile(`#[0-9a-fA-F]+`).FindAllString(drawn(t, sample), -1) {
		if len(c) != 7 || c[1:3] != c[3:5] || c[3:5] != c[5:7] {
			t.Errorf("%s is no grey", c)
		}
	}
}

func TestDrawingOfNothingStillAnswers(t *testing.T) {
	if text := drawn(t, &why.Why{Answer: "heat", Is: "yes"}); !strings.Contains(text, "Heat: yes") {
		t.Errorf("no answer in %s", text)
	}
}
