package examine

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
)

// Schema names the shape of a line of the training file.
const Schema = "loosecell.training/1"

// Record is one line of the training file that a shop keeps.
type Record struct {
	Schema   string   `json:"schema"`
	Name     string   `json:"name"`
	Date     string   `json:"date"` // 2026-11-24
	Material string   `json:"material"`
	Shop     string   `json:"shop,omitempty"`
	Seed     uint64   `json:"seed"`
	Level    string   `json:"level"`
	Cards    int      `json:"cards"`
	Right    int      `json:"right"`
	Bold     int      `json:"too_bold"`
	Passed   bool     `json:"passed"`
	Wrong    []string `json:"wrong"` // scenes
}

// Book is an open training file. It is only ever added to: each record is one
// line, written at once and brought to the disk before anybody is told so.
type Book struct {
	file *os.File
}

// Open opens a training file, or starts one.
func Open(name string) (*Book, error) {
	file, err := os.OpenFile(name, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o644)
	if err != nil {
		return nil, err
	}
	return &Book{file}, nil
}

// Add appends a record. Where a line before it was cut off, it starts a new one.
func (b *Book) Add(r Record) error {
	r.Schema = Schema
	if r.Wrong == nil {
		r.Wrong = []string{}
	}
	var line bytes.Buffer
	if cut, err := b.cutOff(); err != nil {
		return err
	} else if cut {
		line.WriteByte('\n')
	}
	data, err := json.Marshal(r)
	if err != nil {
		return err
	}
	line.Write(data)
	line.WriteByte('\n')
	n, err := b.file.Write(line.Bytes())
	if err == nil && n < line.Len() {
		err = io.ErrShortWrite
	}
	if err = errors.Join(err, b.file.Sync()); err != nil {
		return fmt.Errorf("the record is not safely written: %w", err)
	}
	return nil
}

// cutOff tells that the file does not end with the end of a line.
func (b *Book) cutOff() (bool, error) {
	info, err := b.file.Stat()
	if err != nil || info.Size() == 0 || !info.Mode().IsRegular() {
		return false, err
	}
	last := []byte{0}
	_, err = b.file.ReadAt(last, info.Size()-1)
	return last[0] != '\n', err
}

// Close closes the file.
func (b *Book) Close() error { return b.file.Close() }
