package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"chargehand/charge"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRoundTrip(t *testing.T) {
	path, data := write(t, 20)
	lines, r, err := Read(path)
	require.NoError(t, err)
	requireEvents(t, lines, 20)
	assert.True(t, r.Intact())
	assert.Equal(t, int64(len(data)), r.Bytes)

	j, r, err := Open(path)
	require.NoError(t, err)
	defer j.Close()
	assert.True(t, r.Intact())
	requireEvents(t, j.Lines(), 20)
	fill(t, j, 25)
	after := contents(t, path)
	assert.True(t, bytes.HasPrefix(after, data), "what was written is never written again")
}

// The byte format, checked without the package's own reader.
func TestByteFormat(t *testing.T) {
	_, data := write(t, 7)
	require.Equal(t, byte('\n'), data[len(data)-1])
	prev := strings.Repeat("0", 64)
	for i, raw := range bytes.Split(bytes.TrimSuffix(data, []byte("\n")), []byte("\n")) {
		var m map[string]any
		require.NoError(t, json.Unmarshal(raw, &m))
		assert.Equal(t, float64(i+1), m["n"])
		assert.Equal(t, prev, m["prev"])
		if i == 0 {
			assert.Equal(t, "chargehand/1", m["format"])
			assert.Equal(t, "setup", m["kind"])
		} else {
			assert.NotContains(t, m, "format")
		}
		sum := sha256.Sum256(raw)
		prev = hex.EncodeToString(sum[:])
	}
}

func TestPrivateByDefault(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no modes there")
	}
	path := filepath.Join(t.TempDir(), "new", "folder", "j.jsonl")
	j, _, err := Open(path)
	require.NoError(t, err)
	defer j.Close()
	for name, want := range map[string]fs.FileMode{
		path: 0o600, path + ".lock": 0o600, filepath.Dir(path): 0o700 | fs.ModeDir, filepath.Dir(filepath.Dir(path)): 0o700 | fs.ModeDir,
	} {
		fi, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, want, fi.Mode(), name)
	}
}

func TestBeginsWithSetup(t *testing.T) {
	j, _, err := Open(filepath.Join(t.TempDir(), "j"))
	require.NoError(t, err)
	defer j.Close()
	_, err = j.Append(nth(t, 2))
	require.ErrorIs(t, err, ErrNotSetup)
	fill(t, j, 2)
}

func TestWhatCannotBeReadIsNotWritten(t *testing.T) {
	path, data := write(t, 3)
	j, _, err := Open(path)
	require.NoError(t, err)
	defer j.Close()
	long := nth(t, 2)
	long.Extra = []charge.ExtraField{{Name: "x", Raw: json.RawMessage(`"` + strings.Repeat("x", 100<<10) + `"`)}}
	twice := nth(t, 2)
	twice.Extra = []charge.ExtraField{{Name: "n", Raw: json.RawMessage(`7`)}}
	broken := nth(t, 2)
	broken.Extra = []charge.ExtraField{{Name: "x", Raw: json.RawMessage(`{"a":`)}}
	for _, e := range []charge.Event{{}, long, twice, broken} {
		_, err := j.Append(e)
		require.Error(t, err)
	}
	assert.Equal(t, data, contents(t, path))
	fill(t, j, 5)
}

func TestUnknownFieldsAreKeptAndReported(t *testing.T) {
	path, _ := write(t, 1)
	j, _, err := Open(path)
	require.NoError(t, err)
	// A line feed inside raw JSON must not break the line in two.
	_, err = j.Append(event(t, "{\"kind\":\"note\",\"at\":\"2026-06-01T08:00:00Z\",\"text\":\"a\\nb\",\"later\":{\"a\":\n[1,2]},\"Prev\":\"x\"}"))
	require.NoError(t, err)
	require.NoError(t, j.Close())
	lines, r, err := Read(path)
	require.NoError(t, err)
	require.True(t, r.Intact(), r)
	require.Len(t, lines, 2)
	require.Len(t, lines[1].Event.Extra, 2)
	assert.JSONEq(t, `{"a":[1,2]}`, string(lines[1].Event.Extra[0].Raw))
	require.Len(t, r.Unknown, 2)
	assert.Contains(t, r.String(), `line 2: field "later"`)
}

func TestTwoWriters(t *testing.T) {
	path, _ := write(t, 3)
	j, _, err := Open(path)
	require.NoError(t, err)
	_, _, err = Open(path)
	require.ErrorIs(t, err, ErrLocked)
	lines, r, err := Read(path)
	require.NoError(t, err, "reading is always possible")
	require.Len(t, lines, 3)
	require.True(t, r.Intact())
	fill(t, j, 4)
	require.NoError(t, j.Close())
	require.NoError(t, j.Close())
	_, err = j.Append(nth(t, 5))
	require.ErrorIs(t, err, ErrClosed)
	j, _, err = Open(path)
	require.NoError(t, err)
	require.NoError(t, j.Close())
}

func TestNotAPlainFile(t *testing.T) {
	path, data := write(t, 3)
	dir := filepath.Dir(path)
	link := filepath.Join(dir, "link")
	require.NoError(t, os.Symlink(path, link))
	dangling := filepath.Join(dir, "dangling")
	require.NoError(t, os.Symlink(filepath.Join(dir, "nowhere"), dangling))
	for name, says := range map[string]string{link: "a symbolic link", dangling: "a symbolic link", dir: "a folder", os.DevNull: "a device"} {
		_, _, err := Open(name)
		require.ErrorContains(t, err, says)
		_, _, err = Read(name)
		require.ErrorContains(t, err, says)
	}
	assert.NoFileExists(t, filepath.Join(dir, "nowhere"))
	assert.NoFileExists(t, os.DevNull+".lock")
	assert.Equal(t, data, contents(t, path))

	// A link where the lock should be must not reach another file either.
	other := filepath.Join(dir, "other")
	require.NoError(t, os.Symlink(dangling, other+".lock"))
	_, _, err := Open(other)
	require.ErrorContains(t, err, "a symbolic link")
	assert.NoFileExists(t, other)

	big := filepath.Join(dir, "big")
	put(t, big, nil)
	require.NoError(t, os.Truncate(big, maxFile+1))
	_, _, err = Open(big)
	require.ErrorContains(t, err, "this is no session")

	_, _, err = Read(filepath.Join(dir, "missing"))
	require.ErrorIs(t, err, fs.ErrNotExist)
}

func TestEmptyFileIsAnEmptyJournal(t *testing.T) {
	path := filepath.Join(t.TempDir(), "j")
	put(t, path, nil)
	j, r, err := Open(path)
	require.NoError(t, err)
	defer j.Close()
	assert.True(t, r.Intact())
	fill(t, j, 2)
}

// Files that are something else are refused and left byte for byte as they were.
func TestForeignFilesAreNotTouched(t *testing.T) {
	for _, content := range []string{
		"hello", "hello\n", "\xff\xd8\xff\xe0 a photograph", "\x00\x00\x00\x20ftyp a film", strings.Repeat("\x00", 40) + "\x01", "\x00\x00x",
		"{}", "{}\n", "[1]\n", "null\n", "{\"n\":2\n",
		"{\"a\":\"b", "\xef\xbb\xbf{\"n\":1}\n", strings.Repeat("{\"a\":", 20000) + "\n", strings.Repeat("[", 100000), "\n", "\n\n",
		`{"kind":"setup","at":"2026-06-01T08:00:00Z","refrigerant":"R-22"}` + "\n",
		`{"n":1,"format":"chargehand/2","kind":"setup","at":"2026-06-01T08:00:00Z","refrigerant":"R-22","prev":"` + zeros + `"}` + "\n",
		`{"n":1,"format":"chargehand/1","kind":"note","at":"2026-06-01T08:00:00Z","text":"x","prev":"` + zeros + `"}` + "\n",
	} {
		path := filepath.Join(t.TempDir(), "j")
		put(t, path, []byte(content))
		_, r, err := Open(path)
		var d *DamageError
		require.ErrorAs(t, err, &d, "%.40q", content)
		assert.Equal(t, 1, d.Line)
		assert.Equal(t, path, d.Path)
		assert.Zero(t, r.Lines)
		assert.Equal(t, content, string(contents(t, path)))
		assert.NoFileExists(t, path+".torn")
	}
}

// Many goroutines may append to one journal: numbers are given out once each.
func TestConcurrentAppend(t *testing.T) {
	path, _ := write(t, 1)
	j, _, err := Open(path)
	require.NoError(t, err)
	const writers, each = 8, 10
	note := nth(t, 5)
	got := make(chan int, writers*each)
	var wg sync.WaitGroup
	for range writers {
		wg.Go(func() {
			for range each {
				n, err := j.Append(note)
				if err != nil {
					t.Error(err)
				}
				got <- n
				_, _, _ = j.Lines(), j.Head(), j.Notices()
			}
		})
	}
	wg.Wait()
	close(got)
	seen := map[int]bool{}
	for n := range got {
		assert.False(t, seen[n])
		seen[n] = true
	}
	require.NoError(t, j.Close())
	lines, r, err := Read(path)
	require.NoError(t, err)
	require.True(t, r.Intact())
	require.Len(t, lines, 1+writers*each)
}
