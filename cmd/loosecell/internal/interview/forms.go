package interview

import (
	"errors"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/x/term"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/facts"
	"loosecell/rules/inquiry"
)

// Forms asks on a terminal, one form a question. It never runs in the form
// library's accessible mode, which loses answers that come through a pipe and
// takes defaults for them; Lines is for that.
type Forms struct {
	in     io.Reader
	out    *os.File
	colour bool
	told   []string
}

// NewForms asks on a terminal.
func NewForms(in io.Reader, out *os.File, colour bool) *Forms {
	return &Forms{in: in, out: out, colour: colour}
}

// What stands below the answers of every form.
const (
	pickUnknown = "\x00unknown"
	pickNone    = "\x00none"
	pickHelp    = "\x00help"
	pickShow    = "\x00show"
	pickBack    = "\x00back"
	pickCorrect = "\x00correct"
	pickEnough  = "\x00enough"
)

var besides = []huh.Option[string]{
	huh.NewOption("? I do not know", pickUnknown),
	huh.NewOption("? how do I find out", pickHelp),
	huh.NewOption("! what is settled so far", pickShow),
	huh.NewOption("< back", pickBack),
	huh.NewOption("= correct an earlier answer", pickCorrect),
	huh.NewOption(". enough, show the sheet", pickEnough),
}

// Ask shows one form and brings back what was chosen.
func (f *Forms) Ask(p Prompt) (Reply, error) {
	var reply Reply
	var err error
	switch fact := p.Fact; {
	case fact == nil:
		reply, err = f.ticks(p)
	case fact.Kind == facts.Members:
		reply, err = f.members(p)
	case fact.Kind == facts.Words:
		reply, err = f.choose(p)
	default:
		reply, err = f.write(p)
	}
	if err == nil && reply.Act == Correct && reply.Fact == "" {
		return f.correct()
	}
	return reply, err
}

// Tell keeps lines for the next form, above its question.
func (f *Forms) Tell(lines []string) { f.told = append(f.told, lines...) }

// above is what stands between the question and its answers; what was told
// stands there once.
func (f *Forms) above(p Prompt) string {
	text := f.peek(p)
	f.told = nil
	return text
}

func (f *Forms) peek(p Prompt) string {
	var lines []string
	if p.Wrong != "" {
		lines = append(lines, "! "+p.Wrong)
	}
	if p.Settled != "" && len(f.told) == 0 {
		lines = append(lines, "So far: "+p.Settled)
	}
	for _, l := range f.told {
		lines = append(lines, page.Clean(l))
	}
	for i, l := range lines {
		lines[i] = f.wrapped(l)
	}
	return strings.Join(lines, "\n")
}

func (f *Forms) title(p Prompt) string {
	return f.wrapped(strconv.Itoa(p.Number) + ". " + p.Text + " (" + strconv.Itoa(p.Left) + " open)")
}

// wrapped breaks a text to the width of the terminal, which the form library
// does too, but without counting the lines it makes.
func (f *Forms) wrapped(text string) string {
	indent := text[:len(text)-len(strings.TrimLeft(text, " "))]
	lines := page.Wrap(text, f.width()-len(indent))
	return indent + strings.Join(lines, "\n"+indent)
}

// fit shortens options to one line each.
func (f *Forms) fit(options []huh.Option[string]) []huh.Option[string] {
	for i, o := range options {
		width := f.width() - 6 // the cursor and the box
		options[i].Key = page.Clip(page.Wrap(o.Key, width), 1, width)[0]
	}
	return options
}

// width is what a line has beside the rule at its left.
func (f *Forms) width() int {
	width, _ := f.size()
	return min(width-3, page.Width)
}

// size is the terminal's, or a common one where it does not tell.
func (f *Forms) size() (width, height int) {
	width, height, err := term.GetSize(f.out.Fd())
	if err != nil || width < 20 || height < 8 {
		return max(width, 20), max(height, 8)
	}
	return width, height
}

// room is the height of a list with its question: all of it, or what the
// terminal has beside the line of keys.
func (f *Forms) room(p Prompt, options int) int {
	_, height := f.size()
	above := strings.Count(f.title(p), "\n") + 1
	if text := f.peek(p); text != "" {
		above += strings.Count(text, "\n") + 1
	}
	return min(above+options, height-3)
}

// run shows a form of one field.
func (f *Forms) run(field huh.Field) error {
	theme := huh.ThemeBase()
	if f.colour {
		theme = huh.ThemeBase16()
	}
	form := huh.NewForm(huh.NewGroup(field)).WithInput(f.in).WithOutput(f.out).WithTheme(theme).
		WithAccessible(false).WithWidth(f.width() + 2)
	err := form.Run()
	if errors.Is(err, huh.ErrUserAborted) {
		return ErrBreak
	}
	return err
}

// act turns what stands below the answers into a reply; ok is false if an
// answer was chosen.
func act(choice string) (Reply, bool) {
	switch choice {
	case pickUnknown:
		return Reply{Act: Unknown}, true
	case pickHelp:
		return Reply{Act: Help}, true
	case pickShow:
		return Reply{Act: Show}, true
	case pickBack:
		return Reply{Act: Back}, true
	case pickCorrect:
		return Reply{Act: Correct}, true
	case pickEnough:
		return Reply{Act: Enough}, true
	}
	return Reply{}, false
}

// choose asks for one word.
func (f *Forms) choose(p Prompt) (Reply, error) {
	var options []huh.Option[string]
	for _, w := range menu(p.Fact) {
		options = append(options, huh.NewOption(plain(w), w))
	}
	choice := pickUnknown // so that enter alone states nothing
	options = append(options, besides...)
	height := f.room(p, len(options))
	err := f.run(huh.NewSelect[string]().Title(f.title(p)).Description(f.above(p)).
		Options(f.fit(options)...).Value(&choice).Height(height))
	if err != nil {
		return Reply{}, err
	}
	if reply, ok := act(choice); ok {
		return reply, nil
	}
	return Reply{Text: choice}, nil
}

// ticks asks for what is so of a list. Pressing enter on nothing denies
// nothing: "none of these" is ticked like the rest.
func (f *Forms) ticks(p Prompt) (Reply, error) {
	labels := make([]string, len(p.Ticks))
	for i, t := range p.Ticks {
		labels[i] = t.Text
	}
	chosen, reply, err := f.many(p, labels)
	if err != nil || reply.Act != Answer {
		return reply, err
	}
	marks := make([]inquiry.Mark, len(labels))
	for _, i := range chosen {
		marks[i] = inquiry.So
	}
	return Reply{Marks: marks}, nil
}

// members asks which of several are there.
func (f *Forms) members(p Prompt) (Reply, error) {
	chosen, reply, err := f.many(p, p.Fact.Words)
	if err != nil || reply.Act != Answer {
		return reply, err
	}
	var words []string
	for _, i := range chosen {
		words = append(words, p.Fact.Words[i])
	}
	return Reply{Text: "[" + strings.Join(words, ", ") + "]"}, nil
}

// many shows a list to tick and what stands below it.
func (f *Forms) many(p Prompt, labels []string) (chosen []int, reply Reply, err error) {
	var options []huh.Option[string]
	for i, label := range labels {
		options = append(options, huh.NewOption(label, strconv.Itoa(i)))
	}
	options = append(append(options, huh.NewOption("none of these", pickNone)), besides...)
	var picked []string
	for {
		picked = nil
		height := f.room(p, len(options))
		if err = f.run(huh.NewMultiSelect[string]().Title(f.title(p)).Description(f.above(p)).
			Options(f.fit(options)...).Filterable(false).Value(&picked).Height(height)); err != nil {
			return nil, Reply{}, err
		}
		if err = oneKind(picked); err == nil {
			break
		}
		p.Wrong = err.Error()
	}
	for _, choice := range picked {
		if r, ok := act(choice); ok {
			return nil, r, nil
		}
		if i, err := strconv.Atoi(choice); err == nil {
			chosen = append(chosen, i)
		}
	}
	return chosen, Reply{}, nil
}

// oneKind refuses an empty choice, and one that contradicts itself.
func oneKind(picked []string) error {
	ticked, besides := 0, 0
	for _, choice := range picked {
		if strings.HasPrefix(choice, "\x00") {
			besides++
		} else {
			ticked++
		}
	}
	switch {
	case ticked+besides == 0:
		return errors.New("tick with x or space: what is so, or none of these, or I do not know")
	case besides > 1 || besides == 1 && ticked > 0:
		return errors.New("tick what is so, or one of the lines below, not both")
	}
	return nil
}

// write asks for a number, a date or a text; the signs of Lines work here too.
func (f *Forms) write(p Prompt) (Reply, error) {
	help := "Write " + format(p.Fact) + " Empty: I do not know.  ? how  < back  ! so far  . enough  = correct"
	for {
		above := f.wrapped(help)
		if lines := f.above(p); lines != "" {
			above = lines + "\n" + above
		}
		var line string
		if err := f.run(huh.NewInput().Title(f.title(p)).Description(above).Value(&line)); err != nil {
			return Reply{}, err
		}
		if strings.TrimSpace(line) == "=" {
			return Reply{Act: Correct}, nil
		}
		reply, err := Read(p.Question, line)
		if err == nil {
			return reply, nil
		}
		p.Wrong = page.Clean(err.Error())
	}
}

// correct asks which fact to state anew, and its value.
func (f *Forms) correct() (Reply, error) {
	var line string
	err := f.run(huh.NewInput().Title("Which fact, and what is right?").
		Description("As in the case file: battery.odour no\nWithout a value it is asked again. Empty: leave all as it is.").Value(&line))
	if err != nil {
		return Reply{}, err
	}
	if strings.TrimSpace(line) == "" {
		return Reply{Act: Show}, nil
	}
	return readCorrection(line)
}
