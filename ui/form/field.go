package form

import (
	"strings"

	"github.com/charmbracelet/bubbles/cursor"
	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
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

	spaced  bool   // a space led here, and nothing had been typed yet
	letters string // the letter that picked a choice then
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
func (f *Field) Reset() { f.in, f.used, f.spaced, f.letters = nil, false, false, "" }

// pick takes the next choice that begins with the letter.
func (fd *Field) pick(r rune) bool {
	at := fd.chosen()
	n := len(fd.Choices)
	for i := 1; i <= n; i++ {
		c := fd.Choices[((at+i)%n+n)%n]
		if strings.HasPrefix(strings.ToLower(c), strings.ToLower(string(r))) {
			fd.Set(c)
			fd.letters = string(r)
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
