package book

import (
	"embed"
	"io/fs"
	"sync"

	"loosecell/rules"
	"loosecell/rules/derive"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
	"loosecell/rules/source"
)

//go:embed shipped/*.yaml
var shipped embed.FS

// File is a rule file by name and content.
type File struct {
	Name string
	Data []byte
}

// MaxBytes is the largest rule file that is read.
const MaxBytes = 1 << 20

var shippedFiles = sync.OnceValues(func() ([]File, error) {
	names, err := fs.Glob(shipped, "shipped/*.yaml")
	if err != nil {
		return nil, err
	}
	var files []File
	for _, name := range names {
		data, err := shipped.ReadFile(name)
		if err != nil {
			return nil, err
		}
		files = append(files, File{Name: name, Data: data})
	}
	return files, nil
})

// ShippedFiles lists the files of the built-in rulebook.
func ShippedFiles() ([]File, error) { return shippedFiles() }

var shippedBook = sync.OnceValues(func() (*rules.Book, error) { return With() })

// Shipped is the built-in rulebook, read once.
func Shipped() (*rules.Book, error) { return shippedBook() }

// With is the shipped rulebook with a shop's files laid over it. The error is
// facts.Problems.
func With(shop ...File) (*rules.Book, error) {
	files, err := shippedFiles()
	if err != nil {
		return nil, err
	}
	return Load(files, shop)
}

// Check reads one rule file over the shipped rulebook and reports what is wrong
// with it.
func Check(file File) error {
	_, err := With(file)
	return err
}

// Load reads a rulebook from its files; those of a shop may tighten freely, and
// loosen only what they name.
func Load(own, shop []File) (*rules.Book, error) {
	go source.Shipped() // read beside the rules
	ownYAML, shopYAML := parsing(own), parsing(shop)
	cat := facts.Shipped()
	layout, err := derive.Layout(cat)
	if err != nil {
		return nil, err
	}
	r := &reader{cat: cat, sources: source.Shipped(), defines: map[string]*definition{}, ids: map[string]facts.Position{}}
	for i, f := range own {
		r.file(f, <-ownYAML[i], false)
	}
	for i, f := range shop {
		r.file(f, <-shopYAML[i], true)
	}
	l := newLinker(r, expression.NewArena(layout))
	list := l.link()
	if len(r.problems) > 0 {
		return nil, r.sorted()
	}
	b := rules.NewBook(l.arena, list)
	b.Named = map[string]expression.Condition{}
	for name, d := range l.defines {
		b.Named[name] = d.link.cond
	}
	return b, nil
}
