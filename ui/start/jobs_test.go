package start

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
)

func write(t *testing.T, path string, lines ...string) {
	j, _, err := journal.Open(path)
	require.NoError(t, err)
	for _, l := range lines {
		e, err := charge.ParseEvent([]byte(l))
		require.NoError(t, err)
		_, err = j.Append(e)
		require.NoError(t, err)
	}
	require.NoError(t, j.Close())
}

func TestJobsOfAFolder(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "open.jsonl"),
		`{"kind":"setup","at":"2026-06-01T10:00:00Z","refrigerant":"R-410A","unit":"invented, north"}`,
		`{"kind":"note","at":"2026-06-01T11:00:00Z","text":"x"}`)
	write(t, filepath.Join(dir, "closed.jsonl"),
		`{"kind":"setup","at":"2026-06-01T12:00:00Z","refrigerant":"R-22"}`,
		`{"kind":"close","at":"2026-06-01T13:00:00Z","why":"done"}`)
	write(t, filepath.Join(dir, "reopened.jsonl"),
		`{"kind":"setup","at":"2026-06-01T08:00:00Z","refrigerant":"R-32"}`,
		`{"kind":"close","at":"2026-06-01T09:00:00Z"}`,
		`{"kind":"void","at":"2026-06-01T09:01:00Z","voids":2}`)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "broken.jsonl"), []byte("{\"kind\":\"note\"}\nrubbish\n"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "shopping.txt"), []byte("milk"), 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder.jsonl"), 0o700))

	jobs, err := Jobs(dir)
	require.NoError(t, err)
	by := map[string]Job{}
	for _, j := range jobs {
		by[filepath.Base(j.Path)] = j
	}
	require.Len(t, by, 4)
	assert.False(t, by["open.jsonl"].Closed)
	assert.Equal(t, "invented, north · R-410A", by["open.jsonl"].Label)
	assert.Equal(t, 2, by["open.jsonl"].Entries)
	assert.Equal(t, time.Date(2026, 6, 1, 11, 0, 0, 0, time.UTC), by["open.jsonl"].Last)
	assert.True(t, by["closed.jsonl"].Closed)
	assert.False(t, by["reopened.jsonl"].Closed, "the close was taken back")
	assert.NotEmpty(t, by["broken.jsonl"].Trouble)
	assert.Equal(t, "closed.jsonl", filepath.Base(jobs[0].Path), "the newest entry first")

	none, err := Jobs(filepath.Join(dir, "nowhere"))
	assert.NoError(t, err)
	assert.Empty(t, none)
}
