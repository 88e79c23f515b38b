package facts

import (
	"maps"
	"slices"
	"strings"
)

// Nearest returns the name of the fact that name was most likely meant to be,
// or "" if none is near. It is a hint for a message, never a value.
func (c *Catalogue) Nearest(name string) string {
	group, key, dotted := strings.Cut(name, ".")
	if !dotted {
		group, key = "", name
	}
	inGroup, elsewhere := map[string]string{}, map[string]string{}
	for i := range c.Facts {
		f := &c.Facts[i]
		if !f.Statable() {
			continue
		}
		if f.Group() == group {
			inGroup[f.Key()] = f.Name
		}
		if _, taken := elsewhere[f.Key()]; !taken {
			elsewhere[f.Key()] = f.Name
		}
	}
	// The right key in the wrong group is as common a slip as a wrong letter.
	if full, ok := elsewhere[key]; ok {
		return full
	}
	for _, facts := range []map[string]string{inGroup, elsewhere} {
		if best := nearest(key, slices.Sorted(maps.Keys(facts))); best != "" {
			return facts[best]
		}
	}
	if near := nearest(group, c.Groups()); near != "" && near != group {
		return c.Nearest(near + "." + key)
	}
	return ""
}

// NearestWord returns the word of a list that s was most likely meant to be, ""
// if none is near. It is a hint for a message, never a value.
func NearestWord(s string, list []string) string {
	return nearest(s, sorted(slices.Clone(list)))
}

// nearest returns the word of list within a third of the length of s in
// edits, the first of the closest; "" if there is none.
func nearest(s string, list []string) string {
	if len(s) > 100 {
		return ""
	}
	best, limit := "", max(1, (len(s)+1)/3)
	for _, w := range list {
		if d := editDistance(s, w); d <= limit {
			best, limit = w, d-1
		}
	}
	return best
}

// editDistance counts the insertions, deletions, replacements and swaps of
// neighbours that turn a into b (optimal string alignment).
func editDistance(a, b string) int {
	prev2, prev := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			replace := prev[j-1]
			if a[i-1] != b[j-1] {
				replace++
			}
			row[j] = min(replace, prev[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], prev2[j-2]+1)
			}
		}
		prev2, prev = prev, row
	}
	return prev[len(b)]
}

// sorted returns the words in order, so that messages do not change from run
// to run.
func sorted(words []string) []string {
	slices.Sort(words)
	return words
}
