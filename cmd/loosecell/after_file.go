package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"loosecell/rules/events"
)

// rewritten is the case file as it is written back: the comments at the top of
// the old one, a line that says what happened, and the case. lost tells that
// the old file had comments elsewhere.
func rewritten(old []byte, r *events.Report, happened []events.Occurrence) (text []byte, lost bool) {
	var out bytes.Buffer
	top := true
	for line := range strings.Lines(string(old)) {
		plain := strings.TrimSpace(line)
		top = top && (plain == "" || strings.HasPrefix(plain, "#"))
		switch {
		case top && plain != "":
			out.WriteString(plain + "\n")
		case !top && (strings.HasPrefix(plain, "#") || strings.Contains(plain, " #")):
			lost = true
		}
	}
	var words []string
	for _, x := range happened {
		words = append(words, x.String())
	}
	out.WriteString("# after: " + strings.Join(words, " ") + "\n")
	out.Write(r.After.YAML())
	return out.Bytes(), lost
}

// writeOver puts data in the place of a file, whole or not at all: it is written
// beside it and renamed over it.
func writeOver(name string, data []byte) (err error) {
	if real, linkErr := filepath.EvalSymlinks(name); linkErr == nil {
		name = real
	}
	mode := os.FileMode(0o644)
	if info, statErr := os.Stat(name); statErr == nil {
		mode = info.Mode().Perm()
	}
	temp, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(temp.Name()))
		}
	}()
	_, err = temp.Write(data)
	if err = errors.Join(err, temp.Chmod(mode), temp.Sync(), temp.Close()); err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return os.Rename(temp.Name(), name)
}
