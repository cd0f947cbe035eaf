// Package form is a row, or a list, of fields to type in, made for one hand:
// the keys that move and accept are large ones, the last values stand as
// defaults, and what was typed is never lost.
//
// Space or Tab goes on, Shift-Tab goes back, Enter accepts. In a list of
// fields Enter goes on too, and accepts where nothing was typed. A pasted row
// of numbers fills one field after the other and never accepts by itself.
package form

import (
	"strings"
	"unicode"

	"github.com/charmbracelet/bubbles/cursor"
	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"chargehand/ui/part"
	"chargehand/ui/theme"
)

// Type is what a field takes.
type Type int

// Types of field.
const (
	Number Type = iota // digits, decimal signs, and the letters of a unit
	Free               // any text, spaces too
	Choice             // one of Choices, picked by its first letter or by arrows
)

// Field is one thing to type.
type Field struct {
	Name    string // of the event field
	Label   string
	Unit    string // shown behind
	Default string // stands while nothing is typed, "" for none
	Hint    string // said while the field has the cursor
	Type    Type
	Choices []string // words of a Choice
	Break   bool     // begins a new line in a row

	in   *textinput.Model // the editing, nil until something is typed
	used bool             // something was typed
}

// edit is the field's editor. It takes keys one character at a time and is
// drawn by us: Bubbles' own drawing has no brackets and counts its width
// without prompt and cursor.
func (f *Field) edit() *textinput.Model {
	if f.in == nil {
		in := textinput.New()
		in.Cursor.SetMode(cursor.CursorStatic)
		in.CharLimit = 400
		if f.Type == Number {
			in.CharLimit = 24
		}
		in.Focus()
		f.in = &in
	}
	return f.in
}

// send lets the editor take a key.
func (f *Field) send(k tea.KeyMsg) {
	in, _ := f.edit().Update(k) // its command would blink a cursor we draw ourselves
	*f.in = in
}

// text is what was typed, before and after the cursor.
func (f *Field) text() (before, after string) {
	if f.in == nil {
		return "", ""
	}
	r := []rune(f.in.Value())
	at := min(max(f.in.Position(), 0), len(r))
	return string(r[:at]), string(r[at:])
}

func (f *Field) empty() bool { return f.in == nil || f.in.Value() == "" }

// Outcome is what a key led to.
type Outcome int

// Outcomes.
const (
	Typing  Outcome = iota // nothing else
	Ignored                // the key means nothing here
	Accept                 // the technician is done
	Back                   // leave without entering
)

// Form is some fields, one of which has the cursor.
type Form struct {
	Fields []Field
	At     int
	List   bool // fields one under the other
}

// New is a form of fields.
func New(fields ...Field) *Form { return &Form{Fields: fields} }

// Value is what stands in a field: what was typed, else the default.
func (f *Form) Value(name string) string {
	for i := range f.Fields {
		if f.Fields[i].Name == name {
			return f.Fields[i].Value()
		}
	}
	return ""
}

// Value is what stands in the field.
func (f *Field) Value() string {
	if f.used {
		if f.empty() {
			return ""
		}
		return strings.TrimSpace(f.in.Value())
	}
	return f.Default
}

// Typed reports whether the technician touched the field.
func (f *Field) Typed() bool { return f.used }

// Set fills a field as if typed.
func (f *Field) Set(s string) {
	f.edit().SetValue(s)
	f.in.CursorEnd()
	f.used = true
}

// Reset empties a field.
func (f *Field) Reset() { f.in, f.used = nil, false }

// Touched reports whether anything was typed anywhere.
func (f *Form) Touched() bool {
	for i := range f.Fields {
		if f.Fields[i].used {
			return true
		}
	}
	return false
}

// Focus moves the cursor to a field by name.
func (f *Form) Focus(name string) {
	for i := range f.Fields {
		if f.Fields[i].Name == name {
			f.At = i
		}
	}
}

// Key takes one key.
func (f *Form) Key(k tea.KeyMsg) Outcome {
	if len(f.Fields) == 0 {
		return Ignored
	}
	fd := &f.Fields[f.At]
	switch k.Type {
	case tea.KeyEsc:
		return Back
	case tea.KeyEnter:
		if f.List && fd.used && f.At < len(f.Fields)-1 {
			f.At++
			return Typing
		}
		return Accept
	case tea.KeyTab, tea.KeyDown:
		f.move(1)
	case tea.KeyShiftTab, tea.KeyUp:
		f.move(-1)
	case tea.KeyLeft, tea.KeyRight:
		switch {
		case fd.Type != Choice:
			fd.send(k)
		case k.Type == tea.KeyLeft:
			fd.step(-1)
		default:
			fd.step(1)
		}
	case tea.KeyHome, tea.KeyCtrlA, tea.KeyEnd, tea.KeyCtrlE, tea.KeyCtrlLeft, tea.KeyCtrlRight:
		fd.send(k)
	case tea.KeyBackspace, tea.KeyDelete, tea.KeyCtrlW:
		switch {
		case fd.Type == Choice || fd.empty():
			if !fd.used && k.Type == tea.KeyBackspace {
				f.move(-1) // nothing to rub out: the slip was in the field before
			}
			fd.Reset()
		default:
			fd.send(k)
			if fd.empty() {
				fd.Reset()
			}
		}
	case tea.KeyCtrlU:
		fd.Reset()
	case tea.KeySpace, tea.KeyRunes:
		if k.Alt {
			return Ignored
		}
		out := Ignored
		for _, r := range k.Runes {
			if f.rune(r, k.Paste) {
				out = Typing
			}
		}
		return out
	default:
		return Ignored
	}
	return Typing
}

// rune takes one typed or pasted character.
func (f *Form) rune(r rune, paste bool) bool {
	fd := &f.Fields[f.At]
	if r == '\n' || r == '\r' || r == '\t' || r == ';' && paste {
		if fd.Type == Free && !f.List {
			r = ' '
		} else if fd.used && f.At < len(f.Fields)-1 {
			f.At++
			return true
		} else {
			return true
		}
	}
	if !unicode.IsPrint(r) && r != ' ' {
		return false
	}
	switch fd.Type {
	case Choice:
		if r == ' ' {
			f.move(1)
			return true
		}
		return fd.pick(r)
	case Number:
		if r == ' ' {
			// Space goes on. Two in a row, as in a pasted table, are one.
			if fd.used || !paste {
				f.move(1)
			}
			return true
		}
		if !strings.ContainsRune("0123456789.,+-−/%°'\"", r) && !unitLetter(r) {
			return false
		}
	case Free:
		if r == ' ' && fd.empty() {
			if f.List {
				f.move(1)
			}
			return true
		}
	}
	fd.used = true
	fd.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	return true
}

// unitLetter reports the letters that units are written with. No unit has an
// x or a q: they stay free as keys.
func unitLetter(r rune) bool {
	return (r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z') && !strings.ContainsRune("xXqQ", r)
}

func (f *Form) move(by int) {
	f.At = min(max(f.At+by, 0), len(f.Fields)-1)
	if fd := &f.Fields[f.At]; fd.in != nil {
		fd.in.CursorEnd()
	}
}

// pick takes the next choice that begins with the letter.
func (fd *Field) pick(r rune) bool {
	at := fd.chosen()
	n := len(fd.Choices)
	for i := 1; i <= n; i++ {
		c := fd.Choices[((at+i)%n+n)%n]
		if strings.HasPrefix(strings.ToLower(c), strings.ToLower(string(r))) {
			fd.Set(c)
			return true
		}
	}
	return false
}

func (fd *Field) step(by int) {
	if n := len(fd.Choices); n > 0 {
		fd.Set(fd.Choices[((fd.chosen()+by)%n+n)%n])
	}
}

func (fd *Field) chosen() int {
	for i, c := range fd.Choices {
		if c == fd.Value() {
			return i
		}
	}
	return -1
}

// cellText draws the value: defaults in round brackets, what was typed bare,
// the field with the cursor in square ones, with a mark where the next
// character goes. Shape tells them apart, colour only helps.
func (fd *Field) cellText(focus bool, th theme.Theme, w int) string {
	if !focus {
		switch {
		case fd.used && !fd.empty():
			return th.Strong.Render(part.Clip(fd.in.Value(), w))
		case fd.Default != "":
			return th.Faint.Render("(" + part.Clip(fd.Default, w-2) + ")")
		default:
			return th.Faint.Render("·")
		}
	}
	if fd.Type == Choice {
		v := fd.Value()
		if v == "" {
			v = " "
		}
		return "[" + th.Cursor.Render(part.Clip(v, w-2)) + "]"
	}
	if !fd.used {
		if fd.Default == "" {
			return "[" + th.Cursor.Render("_") + "]"
		}
		return "[" + th.Cursor.Render("_") + th.Faint.Render(part.Clip(fd.Default, w-3)) + "]"
	}
	before, after := fd.text()
	if w > 6 {
		before = part.CutLeft(before, w-4)
	}
	return "[" + th.Strong.Render(before) + th.Cursor.Render("_") + part.Clip(after, max(w-3-part.Width(before), 0)) + "]"
}

// Lines draws the form in at most w by h cells.
func (f *Form) Lines(w, h int, th theme.Theme) []string {
	if w <= 0 || h <= 0 {
		return nil
	}
	if f.List {
		return f.list(w, h, th)
	}
	var lines []string
	line, n, focus := "", 0, 0
	for i := range f.Fields {
		fd := &f.Fields[i]
		cell := fd.cellText(i == f.At, th, max(min(w-part.Width(fd.Label)-1, 60), 6))
		text := th.Label.Render(fd.Label) + " " + cell
		k := part.Width(text)
		if n > 0 && (n+3+k > w || fd.Break) {
			lines = append(lines, line)
			line, n = "", 0
		}
		if n > 0 {
			line, n = line+"   ", n+3
		}
		line, n = line+text, n+k
		if i == f.At {
			focus = len(lines)
		}
	}
	lines = append(lines, line)
	return window(lines, focus, h)
}

// list draws one field a line, with those above and below marked when the
// window is too low for all.
func (f *Form) list(w, h int, th theme.Theme) []string {
	k := 0
	for i := range f.Fields {
		k = max(k, part.Width(f.Fields[i].Label))
	}
	k = min(k, w/2)
	lines := make([]string, len(f.Fields))
	for i := range f.Fields {
		fd := &f.Fields[i]
		mark := "  "
		if i == f.At {
			mark = "> "
		}
		s := mark + th.Label.Render(part.Pad(fd.Label, k)) + "  " + fd.cellText(i == f.At, th, max(w-k-6, 6))
		if fd.Unit != "" && part.Width(s)+1+part.Width(fd.Unit) <= w {
			s += " " + th.Faint.Render(fd.Unit)
		}
		if i == f.At && fd.Hint != "" && part.Width(s)+3+part.Width(fd.Hint) <= w {
			s += "   " + th.Faint.Render(fd.Hint)
		}
		lines[i] = part.Clip(s, w)
	}
	return window(lines, f.At, h)
}

// window shows h lines around the one with the cursor.
func window(lines []string, at, h int) []string {
	if len(lines) <= h {
		return lines
	}
	from := min(max(at-h/2, 0), len(lines)-h)
	return lines[from : from+h]
}
