package facts

import (
	"bytes"
	"encoding/json"
	"strings"
)

// YAML writes the case as a case file, in catalogue order. ParseCase reads the
// same values back.
func (c *Case) YAML() []byte {
	var b bytes.Buffer
	group := ""
	for _, name := range c.Names() {
		f, ok := c.Catalogue().Lookup(name)
		v := c.Values[name]
		if !ok || !f.Statable() || v.State == Missing {
			continue
		}
		if f.Group() != group {
			group = f.Group()
			b.WriteString(group + ":\n")
		}
		b.WriteString("  " + f.Key() + ": " + f.FormatValue(v) + "\n")
	}
	return b.Bytes()
}

// FormatValue writes a value of the fact as a case file states it; "" if the
// value is missing.
func (f *Fact) FormatValue(v Value) string {
	switch {
	case v.State == Missing:
		return ""
	case v.State == Unknown:
		return "unknown"
	}
	switch f.Kind {
	case Words:
		return strings.Join(f.Names(v.Words), " | ")
	case Members:
		return "[" + strings.Join(f.Names(v.Words), ", ") + "]"
	case Layers:
		return f.formatLayers(v)
	case Text:
		return quoted(v.Text)
	case Count:
		return FormatQuantity(v.Low, v.High, "")
	default:
		return f.format(v.Low, v.High)
	}
}

// Names returns the words of a set, in the order of the fact.
func (f *Fact) Names(set uint64) []string {
	names := []string{}
	for i, w := range f.Words {
		if set>>i&1 == 1 {
			names = append(names, w)
		}
	}
	return names
}

func (f *Fact) formatLayers(v Value) string {
	if v.Layers == nil {
		return strings.Join(f.Names(v.Words), " | ")
	}
	layers := make([]string, len(v.Layers))
	for i, l := range v.Layers {
		layers[i] = "{material: " + l.Material + ", thickness: " + FormatQuantity(l.ThicknessMM, l.ThicknessMM, "mm") + "}"
	}
	return "[" + strings.Join(layers, ", ") + "]"
}

// quoted writes a text so that no YAML reader takes it for anything else: a
// JSON string is a YAML string.
func quoted(text string) string {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(text); err != nil {
		return `""`
	}
	return strings.TrimSpace(b.String())
}
