package facts

import (
	"fmt"
	"io"
	"os"
)

// MaxBytes is the largest case or shop file that is read.
const MaxBytes = 1 << 20

// ReadFile returns the contents of a case or shop file, "-" being standard
// input. A file of more than MaxBytes is a Problem, not a reason to read it.
func ReadFile(path string) ([]byte, error) {
	if path == "-" {
		return Read("standard input", os.Stdin)
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return Read(path, file)
}

// Read returns all of r, which is called name in messages, if it is no more
// than MaxBytes.
func Read(name string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(data) > MaxBytes {
		return nil, Problems{tooLarge(name)}
	}
	return data, nil
}

func tooLarge(name string) Problem {
	return Problem{At: Position{File: name, Line: 1, Column: 1}, Code: CodeTooLarge,
		Message: fmt.Sprintf("the file has more than %d bytes, and a case is a page of text", MaxBytes),
		Fix:     "check that it is the file you meant"}
}
