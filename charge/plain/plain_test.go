package plain_test

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"chargehand/charge/plain"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestLine(t *testing.T) {
	for in, want := range map[string]string{
		"roof 2":             "roof 2",
		"two\nlines\tand":    "two lines and",
		"\x1b[2Jgone":        "\uFFFD[2Jgone",
		"exe\u202etxt.jsonl": "exe\uFFFDtxt.jsonl", // right-to-left override
		"58 °F – “so”":       "58 °F – “so”",
		"\xff":               "\uFFFD",
	} {
		assert.Equal(t, want, plain.Line(in), "%q", in)
	}
}

func TestClip(t *testing.T) {
	assert.Equal(t, "condenser", plain.Clip("condenser", 9))
	assert.Equal(t, "condens…", plain.Clip("condenser", 8))
	assert.Equal(t, "°°…", plain.Clip("°°°°", 3))
}

// The four characters a spreadsheet takes for the start of a formula (OWASP,
// CSV injection).
func TestCell(t *testing.T) {
	for _, s := range []string{"=HYPERLINK(0)", "+1", "-4 oz", "@SUM(A1)"} {
		assert.Equal(t, "'"+s, plain.Cell(s))
	}
	assert.Equal(t, "R-410A", plain.Cell("R-410A"))
	assert.Empty(t, plain.Cell(""))
}

func TestWrap(t *testing.T) {
	assert.Equal(t, "- Clean first,\n  then weigh.\n", plain.Wrap("Clean first, then weigh.", "- ", "  ", 15))
	assert.Equal(t, "\n", plain.Wrap("", "", "  ", 15))
}

// Words come out as they went in, and lines keep their width wherever the words
// do.
func TestWrapKeepsWordsAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune("ab° ")), 0, 200, -1).Draw(t, "text")
		width := rapid.IntRange(8, 40).Draw(t, "width")
		out := plain.Wrap(text, "  ", "    ", width)
		assert.Equal(t, strings.Fields(text), strings.Fields(out))
		for _, line := range strings.Split(out, "\n") {
			if utf8.RuneCountInString(line) > width {
				assert.Len(t, strings.Fields(line), 1, "only a single word may stand out: %q", line)
			}
		}
	})
}

func TestLineNeverSteers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, r := range plain.Line(rapid.String().Draw(t, "text")) {
			assert.True(t, unicode.IsPrint(r) || r == '\uFFFD', "%U", r)
		}
	})
}
