package facts

import (
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// object is a piece of a JSON schema.
type object = map[string]any

// JSONSchema returns a schema (draft 2020-12) of case files, with which an
// editor completes words, shows what a fact means, and marks slips while one
// types. It is a little wider than the reader, which has the last word: it does
// not see physical ranges in every spelling, nor contradictions.
func JSONSchema(cat *Catalogue) []byte {
	top, defs := object{}, object{}
	for _, group := range cat.Groups() {
		members := object{}
		for _, f := range cat.Of(group) {
			if !f.Statable() {
				continue
			}
			defs[f.Name] = f.schema()
			ref := object{"$ref": "#/$defs/" + f.Name}
			members[f.Key()] = ref
			top[f.Name] = ref
		}
		top[group] = object{"type": []string{"object", "null"}, "properties": members, "additionalProperties": false}
	}
	out, err := json.MarshalIndent(object{
		"$schema":              "https://json-schema.org/draft/2020-12/schema",
		"title":                "A loosecell case",
		"description":          "What is known of one job. What is left out is unknown.",
		"type":                 []string{"object", "null"},
		"properties":           top,
		"additionalProperties": false,
		"$defs":                defs,
	}, "", "  ")
	if err != nil {
		panic("facts: a schema of maps and strings cannot fail to encode: " + err.Error())
	}
	return append(out, '\n')
}

func (f *Fact) schema() object {
	options := append(f.schemaOptions(), object{"const": "unknown"})
	s := object{"anyOf": options}
	text := f.Ask
	if f.Find != "" {
		text += "\n" + f.Find
	}
	if f.Ordered {
		text += "\nFrom least to most hazardous: " + strings.Join(f.Words, ", ") + "."
	}
	if text != "" {
		s["description"] = text
	}
	return s
}

const (
	numberPattern = `[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?`
	wholePattern  = `[0-9]+`
	datePattern   = `[0-9]{4}-[0-9]{2}-[0-9]{2}`
)

func (f *Fact) schemaOptions() []object {
	switch f.Kind {
	case Words:
		return f.wordOptions()
	case Members:
		words := f.spellings()
		return []object{
			{"type": "array", "items": object{"enum": words}},
			{"enum": append([]any{"none"}, words...)},
		}
	case Number:
		n, u := numberPattern, "("+strings.Join(spelledUnits(f.Unit), "|")+")"
		one, lent := n+` *`+u, n+` *`+u+`?`
		return []object{{"type": "string", "pattern": whole(one, lent+` *\.\. *`+one, one+` *\.\.`, `\.\. *`+one,
			lent+` *(\+-|\+/-|±) *`+one)}}
	case Count:
		return []object{
			{"type": "integer", "minimum": f.Min, "maximum": f.Max},
			{"type": "string", "pattern": rangePattern(wholePattern)},
		}
	case Date:
		return []object{{"type": "string", "pattern": rangePattern(datePattern)}}
	case Layers:
		return append(f.wordOptions(), object{
			"type": "array", "minItems": 1, "maxItems": maxLayers,
			"items": object{
				"type": "object", "additionalProperties": false, "required": []string{"material", "thickness"},
				"properties": object{
					"material":  object{"enum": f.Materials},
					"thickness": object{"type": "string", "pattern": whole(numberPattern + ` *(` + strings.Join(spelledUnits("mm"), "|") + `)`)},
				},
			},
		})
	default:
		return []object{{"type": "string", "maxLength": MaxText, "minLength": 1}, {"type": "integer"}}
	}
}

// wordOptions lists the words for completion, and a pattern for "lco | nmc".
func (f *Fact) wordOptions() []object {
	words := f.spellings()
	list := slices.Clone(words)
	if f.YesNo() {
		list = append(list, true, false)
	}
	var parts []string
	for _, w := range words {
		parts = append(parts, regexp.QuoteMeta(w.(string)))
	}
	one := "(" + strings.Join(parts, "|") + ")"
	return []object{{"enum": list}, {"type": "string", "pattern": whole(one + `( *\| *` + one + `)*`)}}
}

// spellings are the words of the fact and, after them, their synonyms.
func (f *Fact) spellings() []any {
	var list []any
	for _, w := range f.Words {
		list = append(list, w)
	}
	for _, s := range slices.Sorted(maps.Keys(f.Synonyms)) {
		if !slices.Contains(f.Words, s) {
			list = append(list, s)
		}
	}
	return list
}

// spelledUnits are the ways to write a unit of the same dimension, as patterns.
func spelledUnits(canonical string) []string {
	var list []string
	for _, u := range units {
		if u.dimension != canonicalDimension(canonical) {
			continue
		}
		for _, s := range append([]string{u.name}, u.aliases...) {
			list = append(list, regexp.QuoteMeta(s))
		}
	}
	return list
}

func rangePattern(one string) string {
	return whole(one, one+` *\.\. *`+one, one+` *\.\.`, `\.\. *`+one)
}

// whole makes a pattern that matches a whole string as one of the alternatives.
func whole(alternatives ...string) string {
	return `^ *(` + strings.Join(alternatives, "|") + `) *$`
}
