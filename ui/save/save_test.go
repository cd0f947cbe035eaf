package save

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func words(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func TestFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "page.html")
	require.NoError(t, File(path, words("one")))
	require.NoError(t, os.Chmod(path, 0o666))
	require.NoError(t, File(path, words("two")), "an older page is replaced")
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "two", string(b))
	if runtime.GOOS != "windows" {
		fi, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), fi.Mode().Perm(), "for its user alone, whatever the older one was")
	}

	broken := errors.New("disk full")
	require.ErrorIs(t, File(path, func(w io.Writer) error { _, _ = io.WriteString(w, "thr"); return broken }), broken)
	b, err = os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "two", string(b), "what was there stays when the new one cannot be written")
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing is left behind")
	assert.Error(t, File(filepath.Join(dir, "no", "folder"), words("x")))
}

func TestFileRefuses(t *testing.T) {
	dir := t.TempDir()
	record := `{"n":1,"format":"chargehand/1","kind":"setup"}` + "\n"
	for name, content := range map[string]string{"job.jsonl": "", "JOB.JSONL": "x", "record.html": record, "marked.html": "\ufeff" + record} {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(content), 0o600))
		require.ErrorContains(t, File(path, words("page")), "never overwritten", name)
		b, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, content, string(b))
	}
	require.ErrorContains(t, File(filepath.Join(dir, "new.jsonl"), words("page")), "named like a journal")
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder"), 0o700))
	require.ErrorContains(t, File(filepath.Join(dir, "folder"), words("page")), "no plain file")
	other := filepath.Join(dir, "precious")
	require.NoError(t, os.WriteFile(other, []byte("precious"), 0o600))
	link := filepath.Join(dir, "link")
	if err := os.Symlink(other, link); err == nil {
		require.ErrorContains(t, File(link, words("page")), "no plain file")
		b, err := os.ReadFile(other)
		require.NoError(t, err)
		assert.Equal(t, "precious", string(b))
	}
}
