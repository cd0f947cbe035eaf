package part

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestClipAndPadCountCells(t *testing.T) {
	assert.Equal(t, "58 °F", Clip("58 °F", 5))
	assert.Equal(t, "58 …", Clip("58 °F!", 4))
	assert.Equal(t, "°F  ", Pad("°F", 4))
	assert.Equal(t, "  °F", Right("°F", 4))
	assert.Empty(t, Clip("x", 0))
	assert.Equal(t, "left    right", Ends("left", "right", 13))
	assert.Equal(t, "left", Ends("left", "right", 10), "the right end goes where both do not fit")
}

func TestCutLeft(t *testing.T) {
	assert.Equal(t, "8 °F", CutLeft("118.8 °F", 4))
	assert.Equal(t, "118", CutLeft("118", 4))
	assert.Empty(t, CutLeft("118", 0))
}

func TestBar(t *testing.T) {
	assert.Equal(t, "━━━━──", Bar(0.66, 6, false))
	assert.Equal(t, "##----", Bar(0.33, 6, true))
	assert.Equal(t, "━━━━━━", Bar(7, 6, false))
	assert.Equal(t, "──────", Bar(-1, 6, false))
}

func TestTableDropsTheDearestLast(t *testing.T) {
	cols := []Column{{Head: "when", Left: true}, {Head: "SH", Rank: 1}, {Head: "evap", Rank: 3}, {Head: "told", Left: true}}
	rows := [][]string{{"13:41", "42.0", "33.0", "add 8 oz, then wait"}, {"13:58", "9.7", "35.3", "stop"}}
	head, lines := Table(60, cols, rows)
	assert.Equal(t, "when     SH  evap  told", head)
	assert.Equal(t, "13:58   9.7  35.3  stop", lines[1])
	head, lines = Table(24, cols, rows)
	assert.Equal(t, "when     SH  told", head)
	assert.Equal(t, "13:41  42.0  add 8 oz, …", lines[0])
}

func TestStackKeepsWhatMatters(t *testing.T) {
	b := func(rank, least int, s ...string) Block { return Block{Lines: s, Rank: rank, Least: least} }
	got := Stack(10, 3, b(0, 1, "do"), b(3, 0, "a", "b", "c"), b(2, 1, "x", "y"))
	assert.Equal(t, []string{"do", "x", "y"}, got)
	tail := Block{Lines: []string{"1", "2", "3"}, Rank: 2, Least: 1, Tail: true}
	assert.Equal(t, []string{"do", "2", "3"}, Stack(10, 3, b(0, 1, "do"), tail))
	gap := Block{Lines: []string{"x"}, Rank: 1, Gap: true}
	assert.Equal(t, []string{"do", "", "x"}, Stack(10, 3, b(0, 1, "do"), gap))
	assert.Equal(t, []string{"do", "x"}, Stack(10, 2, b(0, 1, "do"), gap))
}

// Whatever is put in, nothing comes out wider or taller than asked for.
func TestNothingOverflows(t *testing.T) {
	text := rapid.StringMatching(`[a-z0-9 °µ│●…]{0,40}`)
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(0, 60).Draw(t, "w"), rapid.IntRange(0, 20).Draw(t, "h")
		var blocks []Block
		for range rapid.IntRange(0, 5).Draw(t, "blocks") {
			blocks = append(blocks, Block{
				Lines: rapid.SliceOfN(text, 0, 8).Draw(t, "lines"), Rank: rapid.IntRange(0, 4).Draw(t, "rank"),
				Least: rapid.IntRange(0, 3).Draw(t, "least"), Gap: rapid.Bool().Draw(t, "gap"), Tail: rapid.Bool().Draw(t, "tail"),
			})
		}
		out := Stack(w, h, blocks...)
		require.LessOrEqual(t, len(out), h)
		for _, l := range out {
			require.LessOrEqual(t, Width(l), w)
		}
		cols := []Column{{Head: "a", Left: true}, {Head: "bb", Rank: 2}, {Head: "c", Left: true, Rank: 1}}
		head, lines := Table(w, cols, [][]string{{text.Draw(t, "1"), text.Draw(t, "2"), text.Draw(t, "3")}})
		for _, l := range append(lines, head) {
			require.LessOrEqual(t, Width(l), w)
			require.NotContains(t, l, "\n")
		}
		for _, l := range Wrap(text.Draw(t, "wrap"), w) {
			require.LessOrEqual(t, Width(l), w)
		}
	})
}

func TestBigLetters(t *testing.T) {
	assert.Equal(t, []string{"▄▀▀▄ █▀▀▄ █▀▀▄    █ █", "█▀▀█ █  █ █  █    ▀▀█", "▀  ▀ ▀▀▀  ▀▀▀       ▀"}, Big("ADD 4", 40))
	assert.Nil(t, Big("ADD 4", 10), "too wide")
	assert.Nil(t, Big("ADD ½", 40), "no shape")
	for r, s := range shapes {
		for _, row := range s {
			assert.Len(t, row, len(s[0]), "%q", r)
		}
	}
}
