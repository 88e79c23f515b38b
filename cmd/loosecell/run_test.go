package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"unicode"
)

// faultyReader stands for a fault of the program in the middle of a command.
type faultyReader struct{}

func (faultyReader) Read([]byte) (int, error) { panic("a fault \x1b[31mhere") }

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestHowARunEnds(t *testing.T) {
	t.Setenv("LOOSECELL_SHOP", "")
	var out bytes.Buffer
	for name, c := range map[string]struct {
		args   []string
		stdin  io.Reader
		stdout io.Writer
		code   int
		says   string
	}{
		"version":                  {[]string{"version"}, nil, &out, exitAdvice, ""},
		"a panic":                  {[]string{"advise", "-"}, faultyReader{}, &out, exitFailed, "Take no advice"},
		"standard input breaks":    {[]string{"advise", "-"}, iotest.ErrReader(errors.New("unplugged")), &out, exitFailed, "unplugged"},
		"output cannot be written": {[]string{"facts"}, nil, fullDisk{}, exitFailed, "no space left"},
		"not YAML":                 {[]string{"advise", "-"}, strings.NewReader("\x00"), &out, exitBadInput, ""},
		"no command":               {nil, nil, &out, exitBadInput, "no command"},
	} {
		t.Run(name, func(t *testing.T) {
			out.Reset()
			var errs bytes.Buffer
			if code := run(context.Background(), c.args, c.stdin, c.stdout, &errs); code != c.code {
				t.Errorf("exit code %d, want %d; it said: %s", code, c.code, errs.String())
			}
			if c.code != exitAdvice && out.Len() > 0 {
				t.Errorf("standard output is not empty: %s", out.String())
			}
			if !strings.Contains(errs.String(), c.says) {
				t.Errorf("it said %q, want %q in it", errs.String(), c.says)
			}
			if strings.ContainsRune(errs.String(), '\x1b') {
				t.Errorf("an escape sequence reached the terminal: %q", errs.String())
			}
		})
	}
}

func TestJSONCannotSteerATerminal(t *testing.T) {
	text := "a\x1b[31m\u009b2J\x7f\u202eb\u200b<&>\U000E0041漢"
	data, err := encode(map[string]string{"text": text})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range strings.ReplaceAll(string(data), "\n", "") {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			t.Errorf("%U is written as it is: %q", r, data)
		}
	}
	var back map[string]string
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if back["text"] != text {
		t.Errorf("reading it back gives %q, want %q", back["text"], text)
	}
	if !bytes.Contains(data, []byte("<&>")) {
		t.Errorf("HTML escapes in %s", data)
	}
}

func TestFormatNamesWhatIsSupported(t *testing.T) {
	f := &format{value: "text", supported: []string{"text", "json"}}
	if err := f.Set("json"); err != nil || !f.json() {
		t.Errorf("json: %v", err)
	}
	if err := f.Set("pdf"); err == nil || !strings.Contains(err.Error(), "text, json") {
		t.Errorf("pdf: %v, want the supported formats named", err)
	}
}
