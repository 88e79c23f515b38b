package facts

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gopkg.in/yaml.v3"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(JSONSchema(Shipped())))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("case.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("case.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// asEditorsDo turns YAML into what a JSON schema sees, by the core schema of
// YAML 1.2 (10.3.2): a date is a string, true is a boolean, yes is a string.
func asEditorsDo(n *yaml.Node) any {
	switch n.Kind {
	case yaml.DocumentNode:
		return asEditorsDo(n.Content[0])
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i < len(n.Content); i += 2 {
			m[n.Content[i].Value] = asEditorsDo(n.Content[i+1])
		}
		return m
	case yaml.SequenceNode:
		list := []any{}
		for _, c := range n.Content {
			list = append(list, asEditorsDo(c))
		}
		return list
	}
	switch n.ShortTag() {
	case "!!null":
		return nil
	case "!!bool":
		return n.Value == "true"
	case "!!int", "!!float":
		if _, err := strconv.ParseFloat(n.Value, 64); err == nil {
			return json.Number(n.Value)
		}
	}
	return n.Value
}

func validate(t *testing.T, schema *jsonschema.Schema, data []byte) error {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Kind == 0 {
		return schema.Validate(nil)
	}
	return schema.Validate(asEditorsDo(&doc))
}

func TestSchemaAcceptsStartersAndGoodCases(t *testing.T) {
	schema := compiled(t)
	for _, kind := range StarterKinds {
		data, err := Starter(Shipped(), kind)
		if err != nil {
			t.Fatal(err)
		}
		for name, text := range map[string][]byte{"as it stands": data, "uncommented": commented.ReplaceAll(data, []byte("  $1"))} {
			if err := validate(t, schema, text); err != nil {
				t.Errorf("%s %s: %v", kind, name, err)
			}
		}
	}
	good := strings.NewReplacer("chemistry: lipo", "chemistry: lco | nmc", "Yes", "yes").Replace(example1)
	if err := validate(t, schema, []byte(good)); err != nil {
		t.Error(err)
	}
	if err := validate(t, schema, nil); err != nil {
		t.Errorf("an empty case: %v", err)
	}
}

func TestSchemaRefusesWhatTheReaderRefuses(t *testing.T) {
	schema := compiled(t)
	// Slips of one line, which an editor can mark; contradictions and physical
	// ranges are left to the reader.
	for _, name := range []string{
		"bare-number", "wrong-unit", "unknown-key", "unknown-word", "chemistry-never-guessed", "decimal-comma",
		"not-a-mapping", "one-word", "group-is-a-word", "list-for-one", "set-for-list", "not-statable",
		"empty-value", "dates", "counts", "layers",
	} {
		data, err := os.ReadFile(filepath.Join("../../testdata/bad", name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		if err := validate(t, schema, data); err == nil {
			t.Errorf("%s is accepted", name)
		}
	}
}

func TestSchemaAcceptsWhatCasesWrite(t *testing.T) {
	schema, cat := compiled(t), Shipped()
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if !f.Statable() {
			continue
		}
		var values []string
		switch f.Kind {
		case Words:
			values = append(f.Words, strings.Join(f.Words, " | "))
			for s := range f.Synonyms {
				values = append(values, strconv.Quote(s))
			}
		case Members:
			values = []string{"[]", "none", "[" + strings.Join(f.Words, ", ") + "]"}
		case Number:
			values = []string{FormatQuantity(f.Min, f.Max, f.Unit), FormatQuantity(f.Max, f.Max, f.Unit), "2 " + f.Unit + "..", ".. 0.5e1 " + f.Unit}
		case Count:
			values = []string{"2", "1..2", "1..", "..3"}
		case Date:
			values = []string{"2026-11-24", "2026-11-24..2026-12-01"}
		case Text:
			values = []string{"112", "Harbour Lane bench"}
		}
		for _, v := range append(values, "unknown") {
			text := f.Group() + ":\n  " + f.Key() + ": " + v + "\n"
			if _, err := ParseCase(cat, "x.yaml", []byte(text)); err != nil {
				t.Errorf("the reader: %v", err)
			}
			if err := validate(t, schema, []byte(text)); err != nil {
				t.Errorf("the schema on %s: %v", text, err)
			}
			if err := validate(t, schema, []byte(f.Name+": "+v+"\n")); err != nil {
				t.Errorf("the schema on %s, dotted: %v", text, err)
			}
		}
	}
}
