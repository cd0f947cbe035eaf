package ui

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// guard is the last look at a line before the terminal gets it. Colours and
// weights pass; any other sequence or character that a terminal acts on can
// only have come from a file, its name, or what was typed, and is shown as U+FFFD.
func guard(line string) string {
	var b strings.Builder
	kept := 0 // bytes of line that are in b, or need not be
	for i := 0; i < len(line); {
		if c := line[i]; c >= ' ' && c <= '~' {
			i++
			continue
		}
		if n := colour(line[i:]); n > 0 {
			i += n
			continue
		}
		r, n := utf8.DecodeRuneInString(line[i:])
		if unicode.IsGraphic(r) && !(r == utf8.RuneError && n == 1) || r == 0x200c || r == 0x200d {
			i += n
			continue
		}
		b.WriteString(line[kept:i])
		b.WriteRune(utf8.RuneError)
		i += n
		kept = i
	}
	if kept == 0 {
		return line
	}
	return b.String() + line[kept:]
}

// colour is the length of the sequence that sets colour and weight (SGR, ECMA-48
// 8.3.117) at the start of s, 0 if there is none.
func colour(s string) int {
	if !strings.HasPrefix(s, "\x1b[") {
		return 0
	}
	for i := 2; i < len(s); i++ {
		switch c := s[i]; {
		case c == 'm':
			return i + 1
		case c != ';' && c != ':' && (c < '0' || c > '9'):
			return 0
		}
	}
	return 0
}
