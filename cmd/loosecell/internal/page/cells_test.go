package page

import (
	"reflect"
	"strings"
	"testing"
)

func TestClean(t *testing.T) {
	for name, c := range map[string]struct{ in, want string }{
		"plain":                     {"two words", "two words"},
		"line breaks and tabs":      {" a\r\n\tb ", "a b"},
		"escape sequence":           {"\x1b[31mred", "?[31mred"},
		"eight-bit control":         {"\u009b31m", "?31m"},
		"bell and null":             {"a\a\x00b", "a??b"},
		"direction override":        {"a\u202eb", "ab"},
		"zero-width space":          {"a\u200bb", "ab"},
		"accents stay":              {"e\u0301", "e\u0301"},
		"a tower of accents":        {"e\u0301\u0301\u0301\u0301\u0301\u0301", "e\u0301\u0301\u0301"},
		"broken UTF-8":              {"a\xffb", "a?b"},
		"no-break space":            {"3\u00a0V", "3 V"},
		"accent with nothing below": {"\u0301a", "a"},
	} {
		if got := Clean(c.in); got != c.want {
			t.Errorf("%s: Clean(%q) = %q, want %q", name, c.in, got, c.want)
		}
	}
}

func TestWrap(t *testing.T) {
	for name, c := range map[string]struct {
		text  string
		width int
		want  []string
	}{
		"nothing":              {"", 10, nil},
		"fits":                 {"one two", 7, []string{"one two"}},
		"breaks at a space":    {"one two", 6, []string{"one", "two"}},
		"breaks a long word":   {"abcdefghij", 4, []string{"abcd", "efgh", "ij"}},
		"long word after text": {"a bcdefghij k", 4, []string{"a", "bcde", "fghi", "j k"}},
		"wide characters":      {"漢字漢字", 5, []string{"漢字", "漢字"}},
		"Glue holds":           {"at 60\u00a0V", 5, []string{"at", "60 V"}},
	} {
		if got := Wrap(c.text, c.width); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: Wrap(%q, %d) = %q, want %q", name, c.text, c.width, got, c.want)
		}
	}
}

func TestClipSaysThatMoreWasThere(t *testing.T) {
	got := Clip([]string{strings.Repeat("a", 10), "b"}, 1, 10)
	if want := []string{"aaaaaa ..."}; !reflect.DeepEqual(got, want) {
		t.Errorf("clip = %q, want %q", got, want)
	}
}
