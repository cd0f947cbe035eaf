package audit

import (
	"fmt"
	"io"
	"strings"

	"chargehand/charge/plain"
)

// Print writes findings as plain text for a terminal or a pipe: the serious
// ones first in each heading's count, then one paragraph a finding, wrapped at
// width (0: 80). It writes no escape sequences.
func Print(w io.Writer, fs []Finding, width int) error {
	if width <= 0 {
		width = 80
	}
	width = max(width, 24)
	const indent = "    "
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
		b.WriteString(plain.Wrap(head, "", "", width))
		b.WriteString(plain.Wrap(plain.Clip(f.Says, 2000), indent, indent, width)) // cleaned parts are bounded already
		b.WriteString(plain.Wrap("rule "+f.Rule+"; "+f.Source, indent, indent, width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
