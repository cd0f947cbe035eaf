// Package part holds the small pieces every screen is put together from: lines
// cut and filled to a width, columns side by side, blocks fitted to a height,
// tables with computed columns, a clock bar. All of it works on plain lines;
// a styled line keeps its escape sequences.
package part

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Width is the number of cells s takes on one line.
func Width(s string) int {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c > '~' {
			return ansi.StringWidth(s)
		}
	}
	return len(s) // plain characters, as most of a screen is
}

// CutLeft takes cells off the left until w are left.
func CutLeft(s string, w int) string {
	if n := Width(s); n > w {
		return ansi.TruncateLeft(s, n-max(w, 0), "")
	}
	return s
}

// Clip cuts s to at most w cells, with an ellipsis where something was lost.
func Clip(s string, w int) string {
	if w <= 0 {
		return ""
	}
	if len(s) <= w { // bytes are never fewer than cells
		return s
	}
	return ansi.Truncate(s, w, "…")
}

// Pad clips s and fills it with spaces to exactly w cells.
func Pad(s string, w int) string {
	s = Clip(s, w)
	if n := w - Width(s); n > 0 {
		return s + strings.Repeat(" ", n)
	}
	return s
}

// Right is Pad with the text at the right.
func Right(s string, w int) string {
	s = Clip(s, w)
	if n := w - Width(s); n > 0 {
		return strings.Repeat(" ", n) + s
	}
	return s
}

// Wrap breaks plain text into lines of at most w cells, at spaces where it can.
func Wrap(text string, w int) []string {
	if w <= 0 {
		return nil
	}
	if len(text) <= w && !strings.ContainsAny(text, "\n\t") {
		if text == "" {
			return nil
		}
		return []string{text}
	}
	var out []string
	line, n := "", 0
	// A no-break space keeps a number and its unit on one line.
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' }) {
		k := Width(word)
		if n > 0 && n+1+k <= w {
			line, n = line+" "+word, n+1+k
			continue
		}
		if n > 0 {
			out = append(out, line)
		}
		for k > w { // a word longer than the line
			head := ansi.Truncate(word, w, "")
			if head == "" { // a character wider than the line
				word, k = "", 0
				break
			}
			out = append(out, head)
			word = word[len(head):]
			k = Width(word)
		}
		line, n = word, k
	}
	if n > 0 {
		out = append(out, line)
	}
	return out
}

// Ends puts left and right at the two ends of a line of w cells. Where both do
// not fit, the right one goes first.
func Ends(left, right string, w int) string {
	l, r := Width(left), Width(right)
	switch {
	case r == 0 || l+r+2 > w:
		return Clip(left, w)
	default:
		return left + strings.Repeat(" ", w-l-r) + right
	}
}

// Columns lays blocks side by side, each padded to its width, gap cells apart.
func Columns(gap int, widths []int, blocks ...[]string) []string {
	n := 0
	for _, b := range blocks {
		n = max(n, len(b))
	}
	out := make([]string, n)
	var line strings.Builder
	for i := range out {
		line.Reset()
		for j, b := range blocks {
			s := ""
			if i < len(b) {
				s = b[i]
			}
			if j > 0 {
				line.WriteString(strings.Repeat(" ", gap))
			}
			line.WriteString(Pad(s, widths[j]))
		}
		out[i] = strings.TrimRight(line.String(), " ")
	}
	return out
}

// Pairs lays out name and value lines with the values in one column. Names are
// rendered by name, so that they can be styled.
func Pairs(w int, name func(string) string, pairs ...[2]string) []string {
	k := 0
	for _, p := range pairs {
		k = max(k, Width(p[0]))
	}
	var out []string
	for _, p := range pairs {
		for i, v := range wrapAll(p[1], w-k-2) {
			if i == 0 {
				out = append(out, name(Pad(p[0], k))+"  "+v)
			} else {
				out = append(out, strings.Repeat(" ", k+2)+v)
			}
		}
	}
	return out
}

// wrapAll is Wrap that keeps an empty text as one empty line.
func wrapAll(s string, w int) []string {
	if lines := Wrap(s, w); len(lines) > 0 {
		return lines
	}
	return []string{""}
}

// Bar draws how much of a span is done in w cells.
func Bar(done float64, w int, ascii bool) string {
	if w <= 0 {
		return ""
	}
	if !(done > 0) { // NaN too
		done = 0
	}
	n := int(min(done, 1)*float64(w) + 0.5)
	full, empty := "━", "─"
	if ascii {
		full, empty = "#", "-"
	}
	return strings.Repeat(full, n) + strings.Repeat(empty, w-n)
}
