package journal

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

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
		}, "the missing 0"},
		{"longer", func(t *testing.T, path string, data []byte) { put(t, path, append(bytes.Clone(data), "x\n"...)) }, ""},
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
