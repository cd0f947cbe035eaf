package audit

import (
	"fmt"
	"io"
	"strings"
)

// Print writes findings as plain text for a terminal or a pipe: the serious
// ones first in each heading's count, then one paragraph a finding, wrapped at
// width (0: 80). It writes no escape sequences.
func Print(w io.Writer, fs []Finding, width int) error {
	if width <= 0 {
		width = 80
	}
	width = max(width, 24)
	var b strings.Builder
	if len(fs) == 0 {
		b.WriteString("audit: nothing to look at\n")
	} else {
		fmt.Fprintf(&b, "audit: %d serious, %d to look at, %d to note\n", Count(fs, Serious), Count(fs, Look), Count(fs, Note))
	}
	for _, f := range fs {
		place := "journal"
		if f.N > 0 {
			place = fmt.Sprintf("event %d, %s", f.N, f.At.Format("15:04"))
		}
		head := fmt.Sprintf("%s: %s (%s)", strings.ToUpper(f.Severity.String()), f.Title, place)
		b.WriteByte('\n')
		wrap(&b, head, "", width)
		wrap(&b, f.Says, "    ", width)
		wrap(&b, "rule "+f.Rule+"; "+f.Source, "    ", width)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// wrap breaks text at spaces, lines indented and not wider than width where
// its words allow.
func wrap(b *strings.Builder, text, indent string, width int) {
	at := 0
	for _, word := range strings.Fields(clip(text)) {
		n := len([]rune(word))
		switch {
		case at == 0:
			b.WriteString(indent)
			at = len(indent)
		case at+1+n > width:
			b.WriteByte('\n')
			b.WriteString(indent)
			at = len(indent)
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(word)
		at += n
	}
	b.WriteByte('\n')
}

// clip bounds a sentence; cleaned parts are bounded already.
func clip(s string) string {
	if r := []rune(s); len(r) > 2000 {
		return string(r[:1999]) + "…"
	}
	return s
}
