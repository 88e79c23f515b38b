package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"loosecell/rules/triage"
)

// badRows takes what is wrong with rows, as lines for a person or in a file for
// a program.
type badRows struct {
	say    func(format string, args ...any)
	name   string // of the input
	format triage.Format
	file   *os.File
	out    *bufio.Writer
	line   []byte
}

// badRows opens the file that --bad names; "" is standard error.
func (p *program) badRows(file, input string, in io.Reader) (*badRows, error) {
	b := &badRows{say: p.say, name: input, format: triage.CSV}
	if file == "" {
		return b, nil
	}
	if strings.EqualFold(filepath.Ext(file), ".jsonl") {
		b.format = triage.JSONLines
	}
	if from, ok := in.(*os.File); ok {
		there, err := os.Stat(file)
		here, err2 := from.Stat()
		if err == nil && err2 == nil && os.SameFile(there, here) {
			return nil, badf("--bad names the list of cells itself; name another file")
		}
	}
	var err error
	if b.file, err = os.Create(file); err != nil {
		return nil, badInput{fmt.Errorf("--bad: %w", err)}
	}
	b.out = bufio.NewWriter(b.file)
	if b.format == triage.CSV {
		b.out.WriteString(triage.BadHeading) // an error shows at the end
	}
	return b, nil
}

func (b *badRows) write(bad triage.Bad) error {
	if b.out != nil {
		b.line = triage.AppendBad(b.line[:0], b.format, bad)
		if b.out.Available() < len(b.line) { // the file ends with a whole line, however the run ends
			if err := b.out.Flush(); err != nil {
				return err
			}
		}
		_, err := b.out.Write(b.line)
		return err
	}
	b.say("%s", badLine(b.name, bad))
	return nil
}

// badLine tells a person what is wrong with a row of a list.
func badLine(list string, bad triage.Bad) string {
	place := fmt.Sprintf("%s:%d:", list, bad.Line)
	if bad.Column != "" {
		place += " " + bad.Column + ":"
	}
	return fmt.Sprintf("%s %s [%s]", place, bad.Reason, bad.Code)
}

func (b *badRows) close() error {
	if b.out == nil {
		return nil
	}
	err := b.out.Flush()
	if closing := b.file.Close(); err == nil {
		err = closing
	}
	return err
}

// meter shows on a terminal how far a run is.
type meter struct {
	to    io.Writer
	size  int64 // of the input; 0 if nobody knows
	live  bool
	start time.Time
	last  time.Time
	shown bool
}

// show shows progress at most five times a second.
func (m *meter) show(rows, bad int, bytes int64) {
	now := time.Now()
	if !m.live || now.Sub(m.last) < 200*time.Millisecond {
		return
	}
	m.last = now
	took := now.Sub(m.start)
	text := fmt.Sprintf("%s rows, %s a second", grouped(rows), grouped(int(float64(rows)/max(took.Seconds(), 1e-3))))
	if bad > 0 {
		text += ", " + grouped(bad) + " bad"
	}
	if m.size > 0 && bytes > 0 {
		left := time.Duration(float64(took) * (float64(m.size)/float64(bytes) - 1))
		text += fmt.Sprintf(", %.0f %% done, %s left", 100*float64(bytes)/float64(m.size), tookText(max(0, left)))
	}
	m.clear()
	fmt.Fprint(m.to, text)
	m.shown = true
}

// clear takes the progress off the line.
func (m *meter) clear() {
	if m.shown {
		fmt.Fprint(m.to, "\r\x1b[K")
		m.shown = false
	}
}
