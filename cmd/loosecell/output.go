package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode"
	"unicode/utf16"

	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"
)

// format is the --format flag of one command, with the formats it can print.
type format struct {
	value     string
	supported []string
}

func formatFlag(cmd *cobra.Command, supported ...string) *format {
	f := &format{value: supported[0], supported: supported}
	cmd.Flags().Var(f, "format", "how to print: "+strings.Join(supported, " or "))
	return f
}

func (f *format) String() string { return f.value }

// Type is what usage texts call the value.
func (f *format) Type() string { return "FORMAT" }

// Set refuses a format that this command does not print.
func (f *format) Set(text string) error {
	for _, s := range f.supported {
		if s == text {
			f.value = text
			return nil
		}
	}
	return fmt.Errorf("not supported here; supported: %s", strings.Join(f.supported, ", "))
}

func (f *format) json() bool { return f.value == "json" }

// colour tells whether to paint: only on a terminal that can, and not where
// the user said no.
func colour(w io.Writer) bool {
	file, ok := w.(*os.File)
	return ok && isatty.IsTerminal(file.Fd()) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// encode is indented JSON without HTML escapes, in which characters that steer
// a terminal or reorder a line are written as escapes (they stand only inside
// strings, where an escape means the same).
func encode(v any) ([]byte, error) {
	var plain bytes.Buffer
	enc := json.NewEncoder(&plain)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	var safe bytes.Buffer
	for _, r := range plain.String() {
		switch {
		case r > 0xFFFF && unicode.Is(unicode.Cf, r):
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&safe, `\u%04x\u%04x`, high, low)
		case r >= 0x7F && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r)):
			fmt.Fprintf(&safe, `\u%04x`, r)
		default:
			safe.WriteRune(r)
		}
	}
	return safe.Bytes(), nil
}

// print writes all of a command's output at once, so that a command that fails
// half-way has printed nothing.
func (p *program) print(data []byte) error {
	if _, err := p.stdout.Write(data); err != nil {
		return fmt.Errorf("writing the output: %w", err)
	}
	return nil
}

func (p *program) printJSON(v any) error {
	data, err := encode(v)
	if err != nil {
		return err
	}
	return p.print(data)
}
