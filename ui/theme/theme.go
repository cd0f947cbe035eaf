// Package theme holds the looks a screen may have: dark, light, high contrast
// and none. Every one uses the terminal's own sixteen colours, bold, reverse
// and faint, and nothing else, so that the user's palette decides and no
// question is put to the terminal. No meaning rests on them: take every style
// away and the same words and shapes remain (the theme None does just that).
package theme

import (
	"os"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// Style wraps text in the escape sequences of one look. The zero Style leaves
// text as it is. Text must be one line.
type Style struct{ on, off string }

// Render returns s in the style.
func (s Style) Render(text string) string {
	if s.on == "" || text == "" {
		return text
	}
	return s.on + text + s.off
}

// Theme is one look.
type Theme struct {
	Name   string
	Loud   Style // what to do now
	Strong Style // figures that matter
	Faint  Style // axes, rules, what can be skipped
	Label  Style // names of figures
	Key    Style // a key to press
	Cursor Style // the cell being typed in, the entry picked
	Mind   Style // doubts, cautions
	A, B   Style // the orifice fan and the valve fan
	Band   Style // the target band
	Point  Style // the newest point
	// ASCII asks for drawing without box and block characters, where the font
	// has none.
	ASCII bool
}

// Names lists the themes in the order a key steps through them.
func Names() []string { return []string{"dark", "light", "contrast", "none"} }

// Named returns the theme of that name; "" and unknown names give dark.
// NO_COLOR, and a terminal without colours, make None of any of them.
func Named(name string) Theme {
	if name == "none" || lipgloss.ColorProfile() == termenv.Ascii || os.Getenv("NO_COLOR") != "" {
		return Theme{Name: "none"}
	}
	fg := func(c string) lipgloss.Style { return lipgloss.NewStyle().Foreground(lipgloss.Color(c)) }
	none := lipgloss.NewStyle()
	switch name {
	case "light":
		return Theme{
			Name: "light", Loud: style(none.Bold(true).Reverse(true)), Strong: style(none.Bold(true)),
			Faint: style(fg("8")), Label: style(fg("4")), Key: style(fg("4").Bold(true)),
			Cursor: style(none.Reverse(true)), Mind: style(fg("1")), A: style(fg("4")), B: style(fg("5")),
			Band: style(fg("8")), Point: style(none.Bold(true)),
		}
	case "contrast":
		// In sunlight faint text is lost: nothing here is faint.
		return Theme{
			Name: "contrast", Loud: style(none.Bold(true).Reverse(true)), Strong: style(none.Bold(true)),
			Label: style(none), Key: style(none.Bold(true).Underline(true)),
			Cursor: style(none.Reverse(true).Bold(true)), Mind: style(none.Bold(true)),
			A: style(none.Bold(true)), B: style(none.Bold(true)), Point: style(none.Bold(true).Reverse(true)),
		}
	default:
		return Theme{
			Name: "dark", Loud: style(none.Bold(true).Reverse(true)), Strong: style(fg("15").Bold(true)),
			Faint: style(fg("8")), Label: style(fg("6")), Key: style(fg("14").Bold(true)),
			Cursor: style(none.Reverse(true)), Mind: style(fg("11")), A: style(fg("14")), B: style(fg("13")),
			Band: style(fg("8")), Point: style(fg("15").Bold(true)),
		}
	}
}

// Next is the name after the given one, for a key that steps through them.
func Next(name string) string {
	names := Names()
	for i, n := range names {
		if n == name {
			return names[(i+1)%len(names)]
		}
	}
	return names[0]
}

// style takes the escape sequences off a rendered mark, once, so that a frame
// of many cells costs no more than joining strings.
func style(s lipgloss.Style) Style {
	const mark = "x"
	on, off, ok := strings.Cut(s.Render(mark), mark)
	if !ok {
		return Style{}
	}
	return Style{on, off}
}

// DefaultASCII reports whether the environment promises only plain characters:
// a dumb terminal, the Linux console, or a locale that is not UTF-8.
func DefaultASCII() bool {
	switch os.Getenv("TERM") {
	case "dumb", "linux", "vt100", "vt220":
		return true
	}
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := strings.ToLower(os.Getenv(name)); v != "" {
			return !strings.Contains(v, "utf-8") && !strings.Contains(v, "utf8")
		}
	}
	return false
}
