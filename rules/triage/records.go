package triage

import (
	"bytes"
	"errors"
	"io"
)

// maxRecord is the longest row that is read, in bytes: many times what a case
// says. A longer one is a bad row, and is skipped without being held.
const maxRecord = 1 << 16

// records parts a stream into rows. A row is a line; in a table, several lines
// where a quoted field holds line ends and all of them make one sound row. So a
// quote that never closes costs its own line and not those after it.
type records struct {
	in        io.Reader
	idle      func() // called before waiting for input
	buf       []byte
	start     int // of what was not taken yet
	end       int // of what was read
	line      int // lines taken
	taken     int64
	over      bool // the input has ended
	separator byte // 0: every line is a row
	fields    int  // in a row of several lines
}

func newRecords(in io.Reader) *records {
	return &records{in: in, idle: func() {}, buf: make([]byte, 4*maxRecord)}
}

// record is one row as it stands in the stream.
type record struct {
	text   []byte // lent until the next one is taken
	line   int    // on which it starts, from 1
	broken string // why there is no text; "" if there is
}

// What makes a record broken.
const (
	tooLong    = "too long"
	openQuote  = "open quote"
	mostWindow = maxRecord + 2 // a row with its line end
	mostLines  = 100           // of one row
)

// next takes a row that is not blank; io.EOF after the last.
func (r *records) next() (record, error) {
	for {
		end, after, err := r.lineEnd(0)
		switch {
		case errors.Is(err, errTooLong):
			return r.skip()
		case err != nil:
			return record{}, err
		}
		text := line(r.window(end))
		switch {
		case len(bytes.TrimSpace(text)) == 0:
			r.take(after, 1)
			continue
		case r.separator == 0 || bytes.IndexByte(text, '"') < 0:
			return r.taking(text, after, 1), nil
		}
		if _, state := scan(text, r.separator); state != stillOpen {
			return r.taking(text, after, 1), nil
		}
		return r.joined(after), nil
	}
}

// joined takes a row whose first line leaves a quote open: with the lines after
// it if together they are a sound row, else alone and broken.
func (r *records) joined(first int) record {
	for from, lines := first, 2; lines <= mostLines; lines++ {
		end, after, err := r.lineEnd(from)
		if err != nil {
			break
		}
		if bytes.IndexByte(r.window(end)[from:], '"') < 0 {
			from = after
			continue // still open
		}
		text := line(r.window(end))
		n, state := scan(text, r.separator)
		if state == sound && (n == r.fields || r.fields == 0) {
			return r.taking(text, after, lines)
		}
		if state != stillOpen {
			break
		}
		from = after
	}
	out := record{line: r.line + 1, broken: openQuote}
	r.take(first, 1)
	return out
}

// window is the first n bytes of what was not taken yet.
func (r *records) window(n int) []byte { return r.buf[r.start : r.start+n] }

// line is a row without the carriage return of its line end.
func line(text []byte) []byte { return bytes.TrimSuffix(text, []byte{'\r'}) }

func (r *records) take(n, lines int) {
	r.start += n
	r.taken += int64(n)
	r.line += lines
}

func (r *records) taking(text []byte, n, lines int) record {
	out := record{text: text, line: r.line + 1}
	r.take(n, lines)
	return out
}

var errTooLong = errors.New("triage: the row is too long")

// lineEnd finds the first line end at or after an offset of the window: where
// the line ends and where the next one starts.
func (r *records) lineEnd(from int) (end, after int, err error) {
	for {
		held := r.buf[r.start:r.end]
		if i := bytes.IndexByte(held[from:], '\n'); i >= 0 {
			if from+i > mostWindow {
				return 0, 0, errTooLong
			}
			return from + i, from + i + 1, nil
		}
		switch {
		case len(held) > mostWindow:
			return 0, 0, errTooLong
		case r.over && len(held) == from:
			return 0, 0, io.EOF
		case r.over:
			return len(held), len(held), nil
		}
		if err := r.read(); err != nil {
			return 0, 0, err
		}
	}
}

// read reads more.
func (r *records) read() error {
	if r.start > 0 && len(r.buf)-r.end < maxRecord {
		copy(r.buf, r.buf[r.start:r.end])
		r.start, r.end = 0, r.end-r.start
	}
	r.idle()
	n, err := r.in.Read(r.buf[r.end:])
	r.end += n
	if errors.Is(err, io.EOF) {
		r.over = true
		return nil
	}
	return err
}

// skip passes over a line that is too long, holding none of it.
func (r *records) skip() (record, error) {
	out := record{line: r.line + 1, broken: tooLong}
	for {
		if i := bytes.IndexByte(r.buf[r.start:r.end], '\n'); i >= 0 {
			r.take(i+1, 1)
			return out, nil
		}
		r.take(r.end-r.start, 0)
		if r.over {
			r.line++
			return out, nil
		}
		if err := r.read(); err != nil {
			return out, err
		}
	}
}

// prefix skips a byte order mark and tells the first byte that is no space; 0
// if there is none in reach.
func (r *records) prefix() (first byte, err error) {
	for mark := false; ; {
		held := r.buf[r.start:r.end]
		if !mark && (len(held) >= 3 || r.over) {
			mark = true
			if bytes.HasPrefix(held, []byte("\xEF\xBB\xBF")) {
				r.take(3, 0)
				held = held[3:]
			}
		}
		if text := bytes.TrimLeft(held, " \t\r\n"); mark && len(text) > 0 {
			return text[0], nil
		}
		if r.over || len(held) > mostWindow {
			return 0, nil
		}
		if err := r.read(); err != nil {
			return 0, err
		}
	}
}
