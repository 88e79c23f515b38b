package triage

import "strings"

// quoting is how the quotes of a row stand.
type quoting uint8

const (
	sound     quoting = iota
	stillOpen         // a quoted field has no end
	misplaced         // a quote inside a field that is not quoted, or text after one
)

// scan counts the fields of a row and tells how its quotes stand.
func scan[T string | []byte](row T, separator byte) (fields int, state quoting) {
	for i := 0; ; i++ {
		fields++
		i = afterSpace(row, i, separator)
		if i < len(row) && row[i] == '"' {
			for i++; ; i++ {
				if i >= len(row) {
					return fields, stillOpen
				}
				if row[i] != '"' {
					continue
				}
				if i+1 < len(row) && row[i+1] == '"' {
					i++
					continue
				}
				break
			}
			i = afterSpace(row, i+1, separator)
			if i < len(row) && row[i] != separator {
				return fields, misplaced
			}
		}
		for ; i < len(row) && row[i] != separator; i++ {
			if row[i] == '"' {
				return fields, misplaced
			}
		}
		if i >= len(row) {
			return fields, sound
		}
	}
}

func afterSpace[T string | []byte](row T, i int, separator byte) int {
	for i < len(row) && (row[i] == ' ' || row[i] == '\t') && row[i] != separator {
		i++
	}
	return i
}

// split appends the fields of a sound row to a list, without the quotes and the
// space around them.
func split(row string, separator byte, to []string) []string {
	for {
		start := afterSpace(row, 0, separator)
		if start < len(row) && row[start] == '"' {
			end := start + 1
			for row[end] != '"' || end+1 < len(row) && row[end+1] == '"' {
				if row[end] == '"' {
					end++
				}
				end++
			}
			to = append(to, unquoted(row[start+1:end]))
			row = row[afterSpace(row, end+1, separator):]
		} else {
			end := strings.IndexByte(row, separator)
			if end < 0 {
				end = len(row)
			}
			to = append(to, strings.TrimSpace(row[:end]))
			row = row[end:]
		}
		if row == "" {
			return to
		}
		row = row[1:]
	}
}

func unquoted(text string) string {
	if strings.IndexByte(text, '"') < 0 {
		return text
	}
	return strings.ReplaceAll(text, `""`, `"`)
}

// appendField appends a field to a row of a table, in quotes where it has to be.
func appendField(to []byte, text string, separator byte) []byte {
	if strings.IndexByte(text, separator) < 0 && !strings.ContainsAny(text, "\"\r\n") && strings.TrimSpace(text) == text {
		return append(to, text...)
	}
	to = append(to, '"')
	to = append(to, strings.ReplaceAll(text, `"`, `""`)...)
	return append(to, '"')
}
