package main

import (
	"bytes"
	"strings"
	"testing"
)

// A terminal keeps one line, and nothing of an older one shows through.
func TestProgressClearsItsLine(t *testing.T) {
	var out bytes.Buffer
	tell := progressOn(&out, true, "questions settled")
	tell(1000, 1000)
	tell(1, 1000)
	tell(10, 10)
	if want := "1000 of 1000 questions settled\n\r\x1b[K10 of 10 questions settled\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}

// Elsewhere there is one line, at the end.
func TestProgressInAFileIsOneLine(t *testing.T) {
	var out bytes.Buffer
	tell := progressOn(&out, false, "questions settled")
	for done := range 10 {
		tell(done+1, 10)
	}
	if want := "10 of 10 questions settled\n"; out.String() != want || strings.Contains(out.String(), "\r") {
		t.Errorf("%q, want %q", out.String(), want)
	}
}
