package triage

import (
	"encoding/json"
	"strconv"
	"strings"
)

// Format is how rows are written.
type Format string

// The formats.
const (
	CSV       Format = "csv"
	JSONLines Format = "jsonl"
)

// writer writes rows of answers in one format.
type writer struct {
	format    Format
	separator byte
	names     []string // what is copied, then the answers
}

// heading is the first line; nil if the format has none.
func (w *writer) heading() []byte {
	if w.format != CSV {
		return nil
	}
	out := []byte("line")
	for _, n := range w.names {
		out = appendField(append(out, w.separator), n, w.separator)
	}
	return append(out, '\n')
}

// row appends a row: the line it was read from, what is copied, the answers.
func (w *writer) row(to []byte, line int, echo, answers []string) []byte {
	if w.format == CSV {
		to = strconv.AppendInt(to, int64(line), 10)
		for _, list := range [2][]string{echo, answers} {
			for _, text := range list {
				to = appendField(append(to, w.separator), text, w.separator)
			}
		}
		return append(to, '\n')
	}
	to = strconv.AppendInt(append(to, `{"line":`...), int64(line), 10)
	for i, text := range echo {
		if text != "" {
			to = appendMember(to, w.names[i], text)
		}
	}
	for i, text := range answers {
		to = appendMember(to, w.names[len(echo)+i], text)
	}
	return append(to, '}', '\n')
}

func appendMember(to []byte, key, text string) []byte {
	to = appendString(append(to, ','), key)
	return appendString(append(to, ':'), text)
}

// appendString appends a JSON string.
func appendString(to []byte, text string) []byte {
	if plain(text) {
		to = append(to, '"')
		to = append(to, text...)
		return append(to, '"')
	}
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(text) // a string always encodes
	return append(to, strings.TrimSuffix(b.String(), "\n")...)
}

func plain(text string) bool {
	for i := range len(text) {
		if c := text[i]; c < 0x20 || c == '"' || c == '\\' || c >= 0x7F {
			return false
		}
	}
	return true
}

// BadHeading is the first line of a table of bad rows.
const BadHeading = "line,column,code,reason\n"

// AppendBad appends one problem to a table of bad rows or to JSON lines.
func AppendBad(to []byte, f Format, b Bad) []byte {
	if f == CSV {
		to = strconv.AppendInt(to, int64(b.Line), 10)
		for _, text := range []string{b.Column, b.Code, b.Reason} {
			to = appendField(append(to, ','), text, ',')
		}
		return append(to, '\n')
	}
	to = strconv.AppendInt(append(to, `{"line":`...), int64(b.Line), 10)
	to = appendMember(to, "column", b.Column)
	to = appendMember(to, "code", b.Code)
	return append(appendMember(to, "reason", b.Reason), '}', '\n')
}
