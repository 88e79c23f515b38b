package compact

import (
	"bytes"
	"compress/flate"
	_ "embed"
	"encoding/base32"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"strings"
	"unicode"

	"loosecell/rules/facts"
)

// Prefix opens every line of this version.
const Prefix = "LC1:"

// version is the first byte of the payload. A change of the dictionary or of
// the form needs a new one, and keeps the old ones readable.
const version = 1

// MaxText is the longest case in dotted form that is written or read, in bytes.
const MaxText = 1 << 16

//go:embed v1.txt
var dictionary []byte

var letters = base32.StdEncoding.WithPadding(base32.NoPadding)

// head is the version byte and the checksum.
const head = 1 + 4

// Is tells that a text looks like a case in compact form.
func Is(text string) bool {
	text = strings.TrimSpace(text)
	return len(text) >= len(Prefix) && strings.EqualFold(text[:len(Prefix)], Prefix)
}

// Encode writes the case. What the shop file says of the shop does not belong
// in it: give the case as it is before it is laid over one. The error tells of
// a case of more than MaxText bytes.
func Encode(c *facts.Case) (string, error) {
	var text bytes.Buffer
	for _, name := range c.Names() {
		f, ok := c.Catalogue().Lookup(name)
		if v := c.Get(name); ok && f.Statable() && v.State != facts.Missing {
			text.WriteString(name + ": " + f.FormatValue(v) + "\n")
		}
	}
	if text.Len() > MaxText {
		return "", fmt.Errorf("the case has %d bytes, and the compact form takes %d", text.Len(), MaxText)
	}
	out := binary.BigEndian.AppendUint32([]byte{version}, crc32.ChecksumIEEE(text.Bytes()))
	packed := bytes.NewBuffer(out)
	w, err := flate.NewWriterDict(packed, flate.BestCompression, dictionary)
	if err != nil {
		return "", err
	}
	if _, err := w.Write(text.Bytes()); err != nil {
		return "", err
	}
	if err := w.Close(); err != nil {
		return "", err
	}
	return Prefix + letters.EncodeToString(packed.Bytes()), nil
}

// The errors of a line that is no case.
var (
	ErrPrefix   = errors.New("no compact case: one begins with LC1 and a colon")
	ErrLetters  = errors.New("a compact case has only letters A to Z and digits 2 to 7; copy it again")
	ErrVersion  = errors.New("this compact case is of a version that this program does not know")
	ErrChecksum = errors.New("the compact case does not add up: a letter is wrong or missing; copy it again")
)

// Decode reads a line that Encode wrote; spaces, line breaks and the case of
// letters do not matter. The error is one of those above, or of type
// facts.Problems if the facts are not of this catalogue.
func Decode(cat *facts.Catalogue, name, text string) (*facts.Case, error) {
	plain, err := Text(text)
	if err != nil {
		return nil, err
	}
	return facts.ParseCase(cat, name, plain)
}

// Text is the dotted form inside a compact line, checked but not parsed.
func Text(text string) ([]byte, error) {
	if !Is(text) {
		return nil, ErrPrefix
	}
	joined := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, strings.ToUpper(strings.TrimSpace(text)))
	payload, err := letters.DecodeString(joined[len(Prefix):])
	switch {
	case err != nil:
		return nil, ErrLetters
	case len(payload) == 0:
		return nil, ErrChecksum
	case payload[0] != version:
		return nil, ErrVersion
	case len(payload) <= head:
		return nil, ErrChecksum
	}
	r := flate.NewReaderDict(bytes.NewReader(payload[head:]), dictionary)
	plain, err := io.ReadAll(io.LimitReader(r, MaxText+1))
	if err != nil || len(plain) > MaxText || crc32.ChecksumIEEE(plain) != binary.BigEndian.Uint32(payload[1:head]) {
		return nil, ErrChecksum
	}
	return plain, nil
}
