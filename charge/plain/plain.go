// Package plain makes text from outside fit to be shown: on a terminal, in a
// message, in a cell of a spreadsheet. What a journal or a lesson says was
// checked when it was entered, but a file can hold anything.
//
// It knows nothing of charge and imports nothing of the project.
package plain

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Line is s on one line without anything that steers a terminal or turns the
// direction of reading: line breaks and tabs become spaces, all else that is not
// printable becomes U+FFFD.
func Line(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case !unicode.IsPrint(r):
			return '\uFFFD'
		}
		return r
	}, s)
}

// Clip is Line of at most n characters, the last one … where something was cut.
func Clip(s string, n int) string {
	s = Line(s)
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return string([]rune(s)[:n-1]) + "…"
}

// Cell is Line with an apostrophe in front where a spreadsheet would take the
// text for a formula.
func Cell(s string) string {
	s = Line(s)
	if s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
		return "'" + s
	}
	return s
}

// Wrap breaks text at its spaces into lines no wider than width where its words
// allow, each ended by a line break. The first line begins with first, the
// others with rest.
func Wrap(text, first, rest string, width int) string {
	var b strings.Builder
	b.WriteString(first)
	at := utf8.RuneCountInString(first)
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case at+1+n > width:
			b.WriteString("\n" + rest)
			at = utf8.RuneCountInString(rest)
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(word)
		at += n
	}
	b.WriteByte('\n')
	return b.String()
}
