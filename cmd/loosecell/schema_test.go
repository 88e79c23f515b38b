package main

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"loosecell/rules/advice"
)

// adviceSchema compiles the JSON Schema that the tree ships.
func adviceSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(advice.JSONSchema()))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("advice.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("advice.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// TestEveryCaseMatchesTheSchema checks real output, not a made-up value.
func TestEveryCaseMatchesTheSchema(t *testing.T) {
	schema := adviceSchema(t)
	for _, c := range caseFiles(t) {
		t.Run(c.name, func(t *testing.T) {
			out := advise(t, append(c.args, "--format", "json")...)
			doc, err := jsonschema.UnmarshalJSON(strings.NewReader(out))
			if err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(doc); err != nil {
				t.Errorf("%#v", err)
			}
		})
	}
}

// TestSchemaIsStrict checks that the schema refuses what the contract has not.
func TestSchemaIsStrict(t *testing.T) {
	schema := adviceSchema(t)
	base := advise(t, append(caseFiles(t)[0].args, "--format", "json")...)
	for name, spoil := range map[string]func(map[string]any){
		"unknown key":     func(a map[string]any) { a["extra"] = 1 },
		"unknown verdict": func(a map[string]any) { a["verdict"] = "maybe" },
		"missing grade":   func(a map[string]any) { delete(a, "condition") },
		"null list":       func(a map[string]any) { a["unknowns"] = nil },
		"unknown pick":    func(a map[string]any) { a["removal"].(map[string]any)["pick"] = "pry" },
		"bare heat":       func(a map[string]any) { a["heat"] = map[string]any{} },
		"not a date":      func(a map[string]any) { a["date"] = "24 Nov 2026" },
	} {
		var doc map[string]any
		if err := json.Unmarshal([]byte(base), &doc); err != nil {
			t.Fatal(err)
		}
		spoil(doc)
		if schema.Validate(doc) == nil {
			t.Errorf("%s: the schema lets it pass", name)
		}
	}
}

// TestSchemaHasEveryKey compares the schema with the Go type, key by key, so
// that neither grows alone.
func TestSchemaHasEveryKey(t *testing.T) {
	var root map[string]any
	if err := json.Unmarshal(advice.JSONSchema(), &root); err != nil {
		t.Fatal(err)
	}
	compareKeys(t, root, root, reflect.TypeFor[advice.Advice](), "advice")
}

func compareKeys(t *testing.T, root, node map[string]any, typ reflect.Type, at string) {
	t.Helper()
	node = resolve(root, node)
	switch typ.Kind() {
	case reflect.Pointer:
		compareKeys(t, root, node, typ.Elem(), at)
	case reflect.Slice:
		items, _ := node["items"].(map[string]any)
		if node["type"] != "array" || items == nil {
			t.Errorf("%s: the schema has no array", at)
			return
		}
		compareKeys(t, root, items, typ.Elem(), at+"[]")
	case reflect.Struct:
		compareObject(t, root, node, typ, at)
	}
}

func compareObject(t *testing.T, root, node map[string]any, typ reflect.Type, at string) {
	t.Helper()
	properties, _ := node["properties"].(map[string]any)
	if node["additionalProperties"] != false {
		t.Errorf("%s: the schema lets other keys pass", at)
	}
	var required []string
	for _, key := range node["required"].([]any) {
		required = append(required, key.(string))
	}
	known := map[string]bool{}
	for i := range typ.NumField() {
		key, option, _ := strings.Cut(typ.Field(i).Tag.Get("json"), ",")
		known[key] = true
		child, ok := properties[key].(map[string]any)
		if !ok {
			t.Errorf("%s.%s: not in the schema", at, key)
			continue
		}
		if always := option != "omitempty"; always != slices.Contains(required, key) {
			t.Errorf("%s.%s: required by the schema is %v, always written is %v", at, key, !always, always)
		}
		compareKeys(t, root, child, typ.Field(i).Type, at+"."+key)
	}
	for key := range properties {
		if !known[key] {
			t.Errorf("%s.%s: in the schema, but never written", at, key)
		}
	}
}

func resolve(root, node map[string]any) map[string]any {
	ref, ok := node["$ref"].(string)
	if !ok {
		return node
	}
	defs := root["$defs"].(map[string]any)
	return defs[strings.TrimPrefix(ref, "#/$defs/")].(map[string]any)
}
