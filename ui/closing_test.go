package ui

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
)

// Where another program wrote into the journal of an open job, leaving the job
// says so and where the entries are; they are not lost with the program.
func TestClosingTellsOfHarm(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.jsonl")
	j, _, err := journal.Open(path)
	require.NoError(t, err)
	e, err := charge.ParseEvent([]byte(`{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-410A","unit":"invented 3"}`))
	require.NoError(t, err)
	_, err = j.Append(e)
	require.NoError(t, err)
	require.NoError(t, j.Close())

	a := New(Options{})
	require.NoError(t, a.Log(path))
	a.to(func() error { return errors.New("not to be opened") })
	_, _, err = journal.Open(path)
	require.ErrorIs(t, err, journal.ErrLocked, "a page that does not open leaves the job at work")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, bytes.Replace(data, []byte("invented"), []byte("Invented"), 1), 0o600))
	a.leavePage()
	require.ErrorContains(t, a.fail, "job.jsonl.rescue")
	lines, report, err := journal.Read(path + ".rescue")
	require.NoError(t, err)
	require.True(t, report.Intact())
	require.Len(t, lines, 1)
}
