package journal

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The last record cut at every byte, with and without blocks that were never
// written behind it: all records before it are there, the torn bytes are kept
// aside, and writing goes on.
func TestTornAtEveryByte(t *testing.T) {
	const n = 6
	_, data := write(t, n)
	tried := 0
	for _, c := range []struct{ start, end, whole int }{
		{bytes.LastIndexByte(data[:len(data)-1], '\n') + 1, len(data), n - 1},
		{0, bytes.IndexByte(data, '\n') + 1, 0}, // the very first record
	} {
		for cut := c.start; cut <= c.end; cut++ {
			for _, nul := range []int{0, 1, 700} {
				want, lost := c.whole, cut-c.start+nul
				if cut == c.end {
					want, lost = c.whole+1, nul
				}
				completed := cut == c.end-1 && nul == 0
				if completed {
					want, lost = c.whole+1, 0
				}
				m := newMemory()
				torn := append(bytes.Clone(data[:cut]), make([]byte, nul)...)
				m.names[memPath] = &inode{seen: bytes.Clone(torn)}
				tornOnce(t, m, memPath, want, lost, completed, func(name string) []byte {
					if m.names[name] == nil {
						return nil
					}
					return bytes.Clone(m.names[name].seen)
				})
				tried++
				if tried%40 == 0 { // the same on the real disk
					path := filepath.Join(t.TempDir(), "j.jsonl")
					put(t, path, torn)
					tornOnce(t, disk{}, path, want, lost, completed, func(name string) []byte {
						b, _ := os.ReadFile(name)
						return b
					})
				}
			}
		}
	}
	t.Logf("%d torn files tried, 0 acknowledged events lost", tried)
}

// tornOnce opens a torn journal that must keep want events and lose the given bytes.
func tornOnce(t *testing.T, fsys filesystem, path string, want, lost int, completed bool, content func(string) []byte) {
	t.Helper()
	torn := content(path)
	_, r, err := read(fsys, path)
	require.NoError(t, err)
	require.Nil(t, r.Damage)
	require.Equal(t, torn, content(path), "Read changes nothing")

	j, r, err := open(fsys, path)
	require.NoError(t, err)
	requireEvents(t, j.Lines(), want)
	require.Equal(t, lost, r.Torn)
	require.Equal(t, completed, r.Completed)
	if lost > 0 {
		require.Equal(t, path+".torn", r.SavedAs)
		require.Equal(t, torn[len(torn)-lost:], content(r.SavedAs))
		require.Contains(t, r.String(), "never acknowledged")
	}
	fill(t, j, want+2)
	require.NoError(t, j.Close())
	lines, r, err := read(fsys, path)
	require.NoError(t, err)
	require.True(t, r.Intact())
	requireEvents(t, lines, want+2)
}

// Any single byte changed in a record that has a successor is found, at that
// record or the next, and nothing is changed by finding it.
func TestEveryChangedByteIsFound(t *testing.T) {
	_, data := write(t, 5)
	last := bytes.LastIndexByte(data[:len(data)-1], '\n') + 1
	for i := range last {
		bad := bytes.Clone(data)
		bad[i] ^= 0x11
		_, r := Verify(bad)
		line := bytes.Count(data[:i], []byte("\n")) + 1
		require.NotNil(t, r.Damage, "byte %d", i)
		require.True(t, r.Damage.Line == line || r.Damage.Line == line+1, "byte %d in line %d, found at %d", i, line, r.Damage.Line)
		require.Equal(t, r.Bytes, r.Damage.Offset)
		require.Equal(t, r.Lines, r.Damage.Line-1)
	}
	t.Logf("%d changed bytes, all found", last)
}

func TestDamageIsRefusedWithItsPlace(t *testing.T) {
	_, data := write(t, 6)
	lines := bytes.SplitAfter(data, []byte("\n"))[:6]
	join := func(order ...int) []byte {
		var b []byte
		for _, i := range order {
			b = append(b, lines[i-1]...)
		}
		return b
	}
	edit := func(old, by string) []byte { return bytes.Replace(data, []byte(old), []byte(by), 1) }
	for _, c := range []struct {
		name string
		data []byte
		line int
		says string
	}{
		{"a line lost", join(1, 2, 4, 5, 6), 3, "n is 4 where 3 is due"},
		{"a line twice", join(1, 2, 3, 3, 4, 5, 6), 4, "n is 3 where 4 is due"},
		{"two lines swapped", join(1, 2, 4, 3, 5, 6), 3, "n is 4 where 3 is due"},
		{"the beginning lost", join(2, 3, 4, 5, 6), 1, "n is 2 where 1 is due"},
		{"two journals in one", join(1, 2, 3, 4, 5, 6, 1), 7, "n is 1 where 7 is due"},
		{"an amount changed", edit(`"amount":"3.5 oz"`, `"amount":"2.5 oz"`), 4, "prev does not fit line 3"},
		{"white space added", edit(`"n":2,`, `"n":2 ,`), 3, "prev does not fit line 2"},
		{"an empty line", append(append(join(1, 2), '\n'), join(3, 4, 5, 6)...), 3, "empty"},
		{"a unit lost", edit("104 psig", "104"), 4, "no unit"},
		{"an unknown kind", edit(`"kind":"weighed"`, `"kind":"guessed"`), 3, "guessed"},
		{"a carriage return", edit("\n", "\r\n"), 2, "prev does not fit line 1"},
		{"NUL in the middle", edit("3.5 oz", "3\x00\x00\x00oz"), 3, ""},
		{"not UTF-8", edit("psig", "ps\xffg"), 4, "UTF-8"},
		{"a huge line in the middle", append(append(join(1, 2), strings.Repeat("x", 1<<20)+"\n"...), join(3)...), 3, "longer than"},
		{"a huge unfinished line", append(join(1, 2), strings.Repeat("x", 1<<20)...), 3, "longer than"},
		{"a whole line that does not fit, unclosed", bytes.TrimSuffix(join(1, 2, 4), []byte("\n")), 3, "n is 4 where 3 is due"},
		{"deep nesting", append(join(1, 2), `{"n":3,"x":`+strings.Repeat("[", 30000)+"\n"...), 3, ""},
	} {
		path := filepath.Join(t.TempDir(), "j")
		put(t, path, c.data)
		_, r, err := Open(path)
		var d *DamageError
		require.ErrorAs(t, err, &d, c.name)
		assert.Equal(t, c.line, d.Line, c.name)
		assert.Contains(t, d.Why, c.says, c.name)
		assert.Equal(t, c.line-1, r.Lines, c.name)
		assert.Equal(t, c.data, contents(t, path), c.name)
		assert.Contains(t, r.String(), "the chain breaks at line", c.name)
		for _, text := range []string{r.String(), err.Error()} {
			assert.False(t, strings.ContainsAny(text, "\x00\x1b\r"), "%s: raw control characters", c.name)
		}

		got, r, err := Read(path)
		require.NoError(t, err, c.name)
		requireEventsPrefix(t, got)
		assert.NotNil(t, r.Damage, c.name)
	}
}

func requireEventsPrefix(t *testing.T, lines []Line) {
	t.Helper()
	for i, l := range lines {
		require.Equal(t, i+1, l.N)
	}
}

// Escape sequences in field names and values never reach a report raw.
func TestReportsHoldNoControlCharacters(t *testing.T) {
	_, data := write(t, 1)
	first := bytes.TrimSuffix(data, []byte("\n"))
	for _, second := range []string{
		`"kind":"note","at":"2026-06-01T08:00:00Z","text":"x","\u001b[2J\u0007":1`,
		`"kind":"\u001b[31mred","at":"2026-06-01T08:00:00Z"`,
		`"kind":"note","at":"\u001b]0;x\u0007","text":"x"`,
		`"kind":"note","at":"2026-06-01T08:00:00Z","text":"\u009b2J\u0000\r\n"`,
		"\"kind\":\"note\",\"at\":\"2026-06-01T08:00:00Z\",\"text\":\"\x1b[2J\"",
	} {
		line := `{"n":2,` + second + `,"prev":"` + hash(first) + `"}`
		_, r := Verify([]byte(string(data) + line + "\n"))
		require.True(t, r.Damage != nil || len(r.Unknown) > 0)
		for _, c := range strings.ReplaceAll(r.String(), "\n", "") {
			require.False(t, c < ' ' || c >= 0x7f && c < 0xa0, "%U in %q", c, r.String())
		}
	}
}

func TestTornCopyIsReusedAndNeverOverwritten(t *testing.T) {
	path, data := write(t, 3)
	put(t, path+".torn", []byte("an older one"))
	torn := append(bytes.Clone(data), `{"n":4,"kind"`...)
	for range 2 { // the second time as if power went between copy and cut
		put(t, path, torn)
		j, r, err := Open(path)
		require.NoError(t, err)
		require.NoError(t, j.Close())
		assert.Equal(t, path+".torn2", r.SavedAs)
	}
	assert.Equal(t, "an older one", string(contents(t, path+".torn")))
	assert.NoFileExists(t, path+".torn3")
	fi, err := os.Stat(path + ".torn2")
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), fi.Mode().Perm())
}

// Loss of whole lines at the end cannot be seen in the file alone; Head shows it.
func TestHeadShowsALostEnd(t *testing.T) {
	_, data := write(t, 4)
	_, whole := Verify(data)
	short := data[:bytes.LastIndexByte(data[:len(data)-1], '\n')+1]
	_, r := Verify(short)
	assert.True(t, r.Intact())
	assert.NotEqual(t, whole.Head, r.Head)
}
