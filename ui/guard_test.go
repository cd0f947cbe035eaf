package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGuard(t *testing.T) {
	for _, s := range []string{"", "plain", "64 °F · R-410A ✓ ▲ ⣿ é", "\x1b[1;96mu\x1b[0m undo", "\x1b[38;5;12mx\x1b[m", "\x1b[4:3mx", "a\u00a0b", "👩\u200d🔧"} {
		assert.Equal(t, s, guard(s))
	}
	for _, s := range []string{"\x1b]0;title\x07", "\x1b[2J", "\x1b[31", "\x1bc", "\x1b", "\u009b31m", "\u202etfel", "\x7f", "\x00", "a\tb", "\xff", "\u200b", "\U000e0041", "\r", "\x1b[?25h", "\x1b[6n"} {
		got := guard("see " + s + " now")
		assert.Contains(t, got, "\ufffd", "%q", s)
		assert.True(t, strings.HasPrefix(got, "see ") && strings.HasSuffix(got, " now"))
		for _, r := range got {
			assert.False(t, r < ' ' || r >= 0x7f && r <= 0x9f || r == 0x202e, "%q: %q", s, got)
		}
	}
}
