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

	tea "github.com/charmbracelet/bubbletea"
)

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

	arrived bool // the key before was a space that led here
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
	if k.Type != tea.KeySpace && k.Type != tea.KeyRunes {
		f.arrived = false
	}
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

// past puts a number that was typed at a choice into the next field that takes one: typed on in the row, it was meant
// for that field, and would be lost here.
func (f *Form) past(r rune, paste bool) bool {
	if !unicode.IsDigit(r) && !strings.ContainsRune(".+-−", r) {
		return false
	}
	for i := f.At + 1; i < len(f.Fields); i++ {
		if f.Fields[i].Type == Number {
			f.At = i
			return f.rune(r, paste)
		}
	}
	return false
}

// rune takes one typed or pasted character.
func (f *Form) rune(r rune, paste bool) bool {
	arrived := f.arrived
	f.arrived = false
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
			f.goOn()
			return true
		}
		return fd.pick(r) || fd.spaced && f.backWith(fd.letters+string(r)) || f.past(r, paste)
	case Number:
		if r == ' ' {
			// Space goes on. Two in a row, as in a pasted table, are one.
			if fd.used || !paste {
				f.goOn()
			}
			return true
		}
		if !strings.ContainsRune("0123456789.,+-−/%°'\"", r) && !unitLetter(r) {
			return false
		}
		if arrived && fd.used && unitLetter(r) && f.backWith(string(r)) {
			return true
		}
	case Free:
		if r == ' ' && fd.empty() {
			if f.List {
				f.goOn()
			}
			return true
		}
	}
	fd.used = true
	fd.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	f.back()
	return true
}

// unitLetter reports the letters that units are written with. No unit has an
// x or a q: they stay free as keys.
func unitLetter(r rune) bool {
	return (r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z') && !strings.ContainsRune("xXqQ", r)
}

// goOn moves on for a space.
func (f *Form) goOn() {
	from := f.At
	f.move(1)
	if f.arrived = f.At > from; f.arrived && !f.Fields[f.At].used {
		f.Fields[f.At].spaced = true
	}
}

func (f *Form) move(by int) {
	f.At = min(max(f.At+by, 0), len(f.Fields)-1)
	if fd := &f.Fields[f.At]; fd.in != nil {
		fd.in.CursorEnd()
	}
}
