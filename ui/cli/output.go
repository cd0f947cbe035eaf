package cli

import (
	"bytes"
	"fmt"
	"io"
	"unicode"
	"unicode/utf8"
)

// visible is a writer for messages. They quote what was typed, file names and
// what the system says of them, so whatever a terminal would act on is written
// as its code instead.
type visible struct{ w io.Writer }

// longest is how much of a message is shown at most.
const longest = 8 << 10

func (v visible) Write(p []byte) (int, error) {
	var b bytes.Buffer
	for rest := p; len(rest) > 0; {
		if b.Len() > longest {
			b.WriteString("…\n")
			break
		}
		r, n := utf8.DecodeRune(rest)
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, `\x%02x`, rest[0])
		case r == '\n', r == '\t', unicode.IsPrint(r):
			b.WriteRune(r)
		default:
			q := fmt.Sprintf("%+q", string(r))
			b.WriteString(q[1 : len(q)-1])
		}
		rest = rest[n:]
	}
	if _, err := v.w.Write(b.Bytes()); err != nil {
		return 0, err
	}
	return len(p), nil
}
