package source

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"
)

//go:embed shipped/*.yaml
var shipped embed.FS

// A Table is a set of documents by key.
type Table struct {
	documents []*Document
	index     map[string]*Document
}

var loadShipped = sync.OnceValue(func() *Table {
	t, err := Load(shipped, "shipped")
	if err != nil {
		panic(fmt.Sprintf("source: the built-in table is broken: %v", err))
	}
	return t
})

// Shipped returns the built-in table, loaded once. It panics only if the
// program was built with a broken one.
func Shipped() *Table { return loadShipped() }

// Load merges all YAML files of a folder into one table. Each file is a list of
// documents. The error names every bad entry with file and line; a key that is
// given twice is one.
func Load(files fs.FS, dir string) (*Table, error) {
	names, err := fs.Glob(files, dir+"/*.yaml")
	if err != nil {
		return nil, err
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("source: no .yaml files in %s", dir)
	}
	t := &Table{index: map[string]*Document{}}
	var problems []error
	for _, name := range names {
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		problems = append(problems, t.add(name, data)...)
	}
	return t, errors.Join(problems...)
}

// add reads one file into the table.
func (t *Table) add(file string, data []byte) []error {
	var entries []yaml.Node
	if err := yaml.Unmarshal(data, &entries); err != nil {
		return []error{fmt.Errorf("%s: a list of documents is due: %w", file, err)}
	}
	var problems []error
	for i := range entries {
		node := &entries[i]
		d := &Document{File: file, Line: node.Line}
		fail := func(format string, args ...any) {
			problems = append(problems, fmt.Errorf("%s:%d: %s", file, node.Line, fmt.Sprintf(format, args...)))
		}
		if wrong := unknownField(node); wrong != "" {
			fail("%q is no field of a document", wrong)
			continue
		}
		if err := node.Decode(d); err != nil {
			fail("%v", err)
			continue
		}
		if wrong := d.check(); wrong != "" {
			fail("%s", wrong)
			continue
		}
		if first, twice := t.index[d.Key]; twice {
			fail("%s is already in %s:%d", d.Key, first.File, first.Line)
			continue
		}
		t.index[d.Key] = d
		t.documents = append(t.documents, d)
	}
	return problems
}

// unknownField returns a field no document has, "" if there is none: a
// misspelt until would otherwise let an edition hold for ever.
func unknownField(n *yaml.Node) string {
	if n.Kind != yaml.MappingNode {
		return n.Value
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		switch n.Content[i].Value {
		case "key", "title", "edition", "date", "known", "kind", "until", "note":
		default:
			return n.Content[i].Value
		}
	}
	return ""
}

// Documents returns the documents of the table, in the order of the files.
func (t *Table) Documents() []*Document { return append([]*Document(nil), t.documents...) }

// Lookup returns the document of that key.
func (t *Table) Lookup(key string) (*Document, bool) {
	d, ok := t.index[key]
	return d, ok
}

// Resolve turns "key" or "key: clause" into a citation. It is an error if the
// key is not in the table.
func (t *Table) Resolve(cite string) (Citation, error) {
	key, clause, _ := strings.Cut(cite, ":")
	key, clause = strings.TrimSpace(key), strings.TrimSpace(clause)
	d, ok := t.index[key]
	if !ok {
		return Citation{}, fmt.Errorf("source: %q is not in the table of documents%s", key, t.hint(key))
	}
	return Citation{Document: d, Clause: clause}, nil
}

// hint names a key that shares its words with the one that was not found.
func (t *Table) hint(key string) string {
	best, most := "", 0
	for _, d := range t.documents {
		shared := 0
		for word := range strings.SplitSeq(key, "-") {
			if len(word) > 2 && strings.Contains("-"+d.Key+"-", "-"+word+"-") {
				shared++
			}
		}
		if shared > most {
			best, most = d.Key, shared
		}
	}
	if best == "" {
		return ""
	}
	return "; did you mean " + best + "?"
}
