package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "loosecell"

// rooms are the top folders in the order in which imports may run: a room
// imports itself and rooms further down, never one further up.
var rooms = []string{"cmd", "rules", "hazards", "battery"}

// fenced lists libraries that only the named packages may know, so that the
// rest never sees a syntax tree of theirs.
var fenced = map[string][]string{
	"github.com/expr-lang/expr": {"rules/expression"},
	"gonum.org/v1/plot":         {"cmd/loosecell/internal/drawing"},
	"gopkg.in/yaml.v3":          {"rules/facts", "rules/book", "rules/source", "rules/events", "rules/briefing"},
}

// importsByFolder parses every Go file of the module but its tests and returns
// what each folder imports.
func importsByFolder(t *testing.T) map[string][]string {
	t.Helper()
	root := os.DirFS(filepath.Join("..", ".."))
	found := map[string][]string{}
	err := fs.WalkDir(root, ".", func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && name != "." && (strings.HasPrefix(entry.Name(), ".") || entry.Name() == "testdata"):
			return fs.SkipDir
		case entry.IsDir() || path.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		data, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, data, parser.ImportsOnly)
		if err != nil {
			return err
		}
		folder := path.Dir(name)
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if !slices.Contains(found[folder], imported) {
				found[folder] = append(found[folder], imported)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(found) == 0 {
		t.Fatal("no Go files found: this test looks in the wrong place")
	}
	return found
}

func room(folder string) int {
	top, _, _ := strings.Cut(folder, "/")
	return slices.Index(rooms, top)
}

func TestImportsRunOneWay(t *testing.T) {
	for folder, imports := range importsByFolder(t) {
		from := room(folder)
		if from < 0 {
			t.Errorf("folder %s is in none of the rooms %v", folder, rooms)
			continue
		}
		for _, imported := range imports {
			inside, ok := strings.CutPrefix(imported, module+"/")
			if !ok {
				continue
			}
			if to := room(inside); to < from {
				t.Errorf("%s imports %s: imports run %s", folder, inside, strings.Join(rooms, " -> "))
			}
		}
	}
}

func TestLibrariesStayBehindTheirFences(t *testing.T) {
	for folder, imports := range importsByFolder(t) {
		for _, imported := range imports {
			for library, allowed := range fenced {
				known := imported == library || strings.HasPrefix(imported, library+"/")
				if known && !slices.Contains(allowed, folder) {
					t.Errorf("%s imports %s, which only %v may", folder, imported, allowed)
				}
			}
		}
	}
}

func TestModelsKnowNoScreenAndNoProcess(t *testing.T) {
	for folder, imports := range importsByFolder(t) {
		if from := room(folder); from < slices.Index(rooms, "hazards") {
			continue
		}
		for _, never := range []string{"os", "os/exec", "net/http", "github.com/spf13/cobra"} {
			if slices.Contains(imports, never) {
				t.Errorf("%s imports %s: models are pure", folder, never)
			}
		}
	}
}
