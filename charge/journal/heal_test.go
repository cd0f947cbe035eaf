package journal

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"chargehand/charge"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What other programs may do to the file while it is open.
func TestChangedUnderneath(t *testing.T) {
	for _, c := range []struct {
		name   string
		harm   func(t *testing.T, path string, data []byte)
		mended string // notice, "" if refused
	}{
		{"removed", func(t *testing.T, path string, _ []byte) { require.NoError(t, os.Remove(path)) }, "had been removed"},
		{"folder removed", func(t *testing.T, path string, _ []byte) { require.NoError(t, os.RemoveAll(filepath.Dir(path))) }, "had been removed"},
		{"moved away", func(t *testing.T, path string, _ []byte) { require.NoError(t, os.Rename(path, path+".old")) }, "had been removed"},
		{"emptied", func(t *testing.T, path string, _ []byte) { require.NoError(t, os.Truncate(path, 0)) }, "cut to 0 bytes"},
		{"cut short", func(t *testing.T, path string, data []byte) {
			require.NoError(t, os.Truncate(path, int64(len(data)-30)))
		}, "the missing 30 were put back"},
		{"an older copy put back", func(t *testing.T, path string, data []byte) {
			put(t, path+".new", data[:len(data)/2])
			require.NoError(t, os.Rename(path+".new", path))
		}, "were put back"},
		{"an equal copy put in place", func(t *testing.T, path string, data []byte) {
			put(t, path+".new", data)
			require.NoError(t, os.Rename(path+".new", path))
		}, "a copy that is the same"},
		{"longer", func(t *testing.T, path string, data []byte) { put(t, path, append(bytes.Clone(data), "x\n"...)) }, ""},
		{"changed in place", func(t *testing.T, path string, data []byte) {
			later(t, path, bytes.Replace(data, []byte("invented"), []byte("Invented"), 1))
		}, ""},
		{"another file", func(t *testing.T, path string, _ []byte) { put(t, path, []byte("something else")) }, ""},
		{"a link", func(t *testing.T, path string, _ []byte) {
			require.NoError(t, os.Rename(path, path+".old"))
			require.NoError(t, os.Symlink(path+".old", path))
		}, ""},
		{"a folder", func(t *testing.T, path string, _ []byte) {
			require.NoError(t, os.Remove(path))
			require.NoError(t, os.Mkdir(path, 0o700))
		}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "folder", "j.jsonl")
			j, _, err := Open(path)
			require.NoError(t, err)
			defer j.Close()
			fill(t, j, 4)
			data := contents(t, path)
			c.harm(t, path, data)
			n, err := j.Append(nth(t, 5))
			if c.mended == "" {
				var w *WriteError
				require.ErrorAs(t, err, &w)
				assert.False(t, w.Writable)
				require.Equal(t, path+".rescue", w.Rescue)
				assert.Contains(t, err.Error(), ".rescue")
				lines, r, err := Read(w.Rescue)
				require.NoError(t, err)
				require.True(t, r.Intact())
				requireEvents(t, lines, 4)
				_, err = j.Append(nth(t, 5))
				require.ErrorAs(t, err, &w, "closed for writing")
				return
			}
			require.NoError(t, err)
			require.Equal(t, 5, n)
			notices := j.Notices()
			require.Len(t, notices, 1)
			assert.Contains(t, notices[0], c.mended)
			assert.Empty(t, j.Notices(), "said once")
			fill(t, j, 6)
			lines, r, err := Read(path)
			require.NoError(t, err)
			require.True(t, r.Intact())
			requireEvents(t, lines, 6)
		})
	}
}

// The same when nothing more is written.
func TestRemovedBeforeClose(t *testing.T) {
	path := filepath.Join(t.TempDir(), "j.jsonl")
	j, _, err := Open(path)
	require.NoError(t, err)
	fill(t, j, 4)
	require.NoError(t, os.Remove(path))
	require.NoError(t, j.Close())
	require.Len(t, j.Notices(), 1)
	lines, r, err := Read(path)
	require.NoError(t, err)
	require.True(t, r.Intact())
	requireEvents(t, lines, 4)
}

// The file is removed or cut short, and then the repair fails at each of its
// operations in turn: every acknowledged event is in the journal or in the
// rescue file, or comes back with the next try.
func TestFailingRepair(t *testing.T) {
	const n = 4
	tried, late := 0, 0
	for _, harm := range []func(m *memory){
		func(m *memory) { delete(m.names, memPath) },
		func(m *memory) { i := m.names[memPath]; i.seen = i.seen[:len(i.seen)/2] },
		func(m *memory) { m.names[memPath] = &inode{seen: bytes.Clone(m.names[memPath].seen[:40])} },
		func(m *memory) { m.names[memPath] = &inode{seen: []byte("something else")} },
	} {
		for fail := 1; fail <= 8; fail++ {
			for seed := range 10 {
				m := newMemory()
				m.rng = rand.New(rand.NewPCG(uint64(fail), uint64(seed)))
				j, _, err := open(m, memPath)
				require.NoError(t, err)
				fill(t, j, n)
				harm(m)
				until := m.ops + fail
				m.before = func(op int, _ string) error {
					if op == until {
						return syscall.EIO
					}
					return nil
				}
				_, err = j.Append(events(t, n+1))
				acked := n
				var w *WriteError
				switch {
				case err == nil:
					acked++
				case !errors.As(err, &w):
					t.Fatal(err)
				case w.Writable: // entered again
					_, err = j.Append(events(t, n+1))
					require.NoError(t, err)
					acked++
				}
				where := memPath
				if w != nil && w.Op == "check" {
					if w.Rescue == "" { // the rescue was what failed: Close tries again
						require.ErrorAs(t, j.Close(), &w)
						late++
					}
					require.NotEmpty(t, w.Rescue)
					where = w.Rescue
				}
				lines, r, err := read(m, where)
				require.NoError(t, err)
				require.Nil(t, r.Damage)
				requireEvents(t, lines, acked)
				tried++
			}
		}
	}
	t.Logf("%d failing repairs tried, 0 acknowledged events lost; %d times the rescue itself failed and was made good by Close", tried, late)
}

// The journal has no clock: events keep the times they came with, in the order they came.
func TestClockJumps(t *testing.T) {
	path, _ := write(t, 1)
	j, _, err := Open(path)
	require.NoError(t, err)
	defer j.Close()
	times := []string{"2026-06-01T08:00:00Z", "1970-01-01T00:00:00Z", "2099-12-31T23:59:60Z", "2026-06-01T08:00:00+14:00", "2026-06-01T07:59:59.999999999Z"}
	want := 1
	for _, at := range times {
		e, err := charge.ParseEvent([]byte(`{"kind":"note","at":"` + at + `","text":"x"}`))
		if err != nil {
			continue // a leap second is no time to Go: refused before it gets here
		}
		_, err = j.Append(e)
		require.NoError(t, err, at)
		want++
	}
	lines, r, err := Read(path)
	require.NoError(t, err)
	require.True(t, r.Intact())
	require.Len(t, lines, want)
	require.GreaterOrEqual(t, want, 5)
	assert.Equal(t, j.Head(), r.Head)
	assert.Equal(t, path, j.Path())
}

// later writes the file in place at a time that differs from that of our write.
func later(t *testing.T, path string, data []byte) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteAt(data, 0)
	require.NoError(t, errors.Join(err, f.Close()))
	at := time.Now().Add(time.Second)
	require.NoError(t, os.Chtimes(path, at, at))
}

// A change in place that hides behind the old time is found when the journal is
// closed, while the acknowledged lines are still in memory; a file that was
// only touched is no matter.
func TestChangedInPlace(t *testing.T) {
	path := filepath.Join(t.TempDir(), "j.jsonl")
	j, _, err := Open(path)
	require.NoError(t, err)
	fill(t, j, 4)
	later(t, path, contents(t, path))
	fill(t, j, 5)
	assert.Empty(t, j.Notices())

	fi, err := os.Stat(path)
	require.NoError(t, err)
	later(t, path, bytes.Replace(contents(t, path), []byte("invented"), []byte("Invented"), 1))
	require.NoError(t, os.Chtimes(path, fi.ModTime(), fi.ModTime()))
	var w *WriteError
	require.ErrorAs(t, j.Close(), &w)
	lines, r, err := Read(w.Rescue)
	require.NoError(t, err)
	require.True(t, r.Intact())
	requireEvents(t, lines, 5)
}

// A journal that an editor or a transfer saved anew is damaged, and what did it
// is named.
func TestSavedAnew(t *testing.T) {
	path, data := write(t, 4)
	for want, b := range map[string][]byte{
		"byte order mark": append([]byte("\ufeff"), data...),
		"CR LF":           bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n")),
	} {
		put(t, path, b)
		_, _, err := Open(path)
		var d *DamageError
		require.ErrorAs(t, err, &d)
		assert.Contains(t, d.Why, want)
		assert.Contains(t, d.Why, "bring back the original")
		require.Equal(t, b, contents(t, path))
	}
}
