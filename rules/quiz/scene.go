package quiz

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

//go:embed data
var files embed.FS

// scene is a story with one fact to vary and others that are shown beside it.
type scene struct {
	ID, Question, Story string
	base                *facts.Case
	vary                scale
	shows               []scale
}

// scale is the values that a fact takes in a scene, from one end to the other.
type scale struct {
	fact   *facts.Fact
	values []facts.Value
	span   float64 // of a number, in its unit; 0 for words
}

// question is how an answer is asked for and what its words say to a person.
type question struct {
	text  string
	words []string // in the order of the file
	says  map[string]string
}

type shelf struct {
	scenes    []scene
	questions map[string]*question
}

var loadShelf = sync.OnceValues(readShelf)

func readShelf() (*shelf, error) {
	cat := facts.Shipped()
	data, err := files.ReadFile("data/base.yaml")
	if err != nil {
		return nil, err
	}
	base, err := facts.ParseCase(cat, "quiz", data)
	if err != nil {
		return nil, err
	}
	s := &shelf{questions: map[string]*question{}}
	if err := s.readWords(); err != nil {
		return nil, err
	}
	rows, err := table("data/scenes.csv", 6)
	if err != nil {
		return nil, err
	}
	for _, r := range rows {
		one, err := readScene(cat, base, r)
		if err != nil {
			return nil, fmt.Errorf("data/scenes.csv: %s: %w", r[0], err)
		}
		if s.questions[one.Question] == nil {
			return nil, fmt.Errorf("data/scenes.csv: %s: nothing in words.csv asks for %s", r[0], one.Question)
		}
		s.scenes = append(s.scenes, one)
	}
	return s, nil
}

// table reads a CSV file without its head.
func table(name string, fields int) ([][]string, error) {
	data, err := files.ReadFile(name)
	if err != nil {
		return nil, err
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = fields
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return rows[1:], nil
}

func (s *shelf) readWords() error {
	rows, err := table("data/words.csv", 3)
	if err != nil {
		return err
	}
	for _, r := range rows {
		if _, err := advice.FindAnswer(r[0]); err != nil {
			return fmt.Errorf("data/words.csv: %w", err)
		}
		q := s.questions[r[0]]
		if q == nil {
			q = &question{says: map[string]string{}}
			s.questions[r[0]] = q
		}
		if r[1] == "" {
			q.text = r[2]
			continue
		}
		q.words = append(q.words, r[1])
		q.says[r[1]] = r[2]
	}
	return nil
}

func readScene(cat *facts.Catalogue, base *facts.Case, r []string) (scene, error) {
	s := scene{ID: r[0], Question: r[1], Story: r[2], base: base.Clone()}
	for change := range strings.SplitSeq(r[3], ";") {
		name, text, ok := strings.Cut(change, "=")
		name, text = strings.TrimSpace(name), strings.TrimSpace(text)
		switch {
		case !ok && name == "":
		case text == "":
			s.base.Unset(name)
		default:
			if err := s.base.SetText(cat, name, text); err != nil {
				return s, err
			}
		}
	}
	var err error
	if s.vary, err = readScale(cat, r[4]); err != nil {
		return s, err
	}
	for part := range strings.SplitSeq(r[5], ";") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		one, err := readScale(cat, part)
		if err != nil {
			return s, err
		}
		s.shows = append(s.shows, one)
	}
	return s, nil
}

// readScale reads "fact=5..95 % by 1" or "fact=no|yes|unknown".
func readScale(cat *facts.Catalogue, text string) (scale, error) {
	name, values, _ := strings.Cut(text, "=")
	f, ok := cat.Lookup(strings.TrimSpace(name))
	if !ok {
		return scale{}, fmt.Errorf("there is no fact %q", name)
	}
	s := scale{fact: f}
	if reach, by, ok := strings.Cut(values, " by "); ok {
		return s.steps(cat, reach, by)
	}
	for word := range strings.SplitSeq(values, "|") {
		v, err := valueOf(cat, f, word)
		if err != nil {
			return s, err
		}
		s.values = append(s.values, v)
	}
	return s, nil
}

// steps fills a scale of numbers or days from a range and a step.
func (s scale) steps(cat *facts.Catalogue, reach, by string) (scale, error) {
	v, err := valueOf(cat, s.fact, reach)
	if err != nil {
		return s, err
	}
	step, err := strconv.ParseFloat(strings.TrimSpace(by), 64)
	if err != nil || !(step > 0) || math.IsInf(v.High-v.Low, 0) {
		return s, fmt.Errorf("%q by %q is no scale", reach, by)
	}
	s.span = v.High - v.Low
	// Decimal steps are counted, not added up, so that 0.05 V stays 0.05 V.
	for i := range int(math.Round(s.span/step)) + 1 {
		x := math.Round((v.Low+float64(i)*step)*1e6) / 1e6
		s.values = append(s.values, facts.Value{State: facts.Stated, Low: x, High: x})
	}
	return s, nil
}

func valueOf(cat *facts.Catalogue, f *facts.Fact, text string) (facts.Value, error) {
	c := facts.NewCase(cat, "")
	if err := c.SetText(cat, f.Name, strings.TrimSpace(text)); err != nil {
		return facts.Value{}, err
	}
	return c.Get(f.Name), nil
}

// at is the place of a case's value on the scale, or the one nearest to it.
func (s *scale) at(c *facts.Case) int {
	v := c.Get(s.fact.Name)
	best, least := -1, math.Inf(1)
	for i, x := range s.values {
		if x.State == v.State && x.Words == v.Words && x.Low == v.Low && x.High == v.High {
			return i
		}
		if d := math.Abs(x.Low - v.Low); s.span > 0 && v.State == facts.Stated && x.State == facts.Stated && d < least {
			best, least = i, d
		}
	}
	return best
}

// far is how large a change is, between 0 and 1 over the whole scale. Forgetting
// what is known is a larger change than any reading.
func (s *scale) far(i, j int) float64 {
	a, b := s.values[i], s.values[j]
	if a.State != b.State {
		return 1
	}
	if s.span > 0 {
		return math.Abs(a.Low-b.Low) / s.span
	}
	return math.Abs(float64(i-j)) / float64(max(len(s.values)-1, 1))
}

// wordIn is the order of a word among the answers, 99 if it is none of them.
func (q *question) wordIn(word string) int {
	if i := slices.Index(q.words, word); i >= 0 {
		return i
	}
	return 99
}
