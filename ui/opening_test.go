package ui

import (
	"os"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge/journal"
	"chargehand/ui/live"
	"chargehand/ui/prefs"
	"chargehand/ui/uitest"
)

// halfway asks for a page and stops where its record has been read and is not
// worked out; done goes on from there.
func halfway(t *testing.T, a *App, ask tea.Cmd) (d *uitest.Driver, done func()) {
	t.Helper()
	d = &uitest.Driver{M: a}
	d.Resize(80, 24)
	_, fold := a.Update(ask())
	require.NotNil(t, fold)
	return d, func() { d.Send(fold()) }
}

// A resumed job shows its entries before they are worked out. What is typed
// meanwhile is typed on the log screen.
func TestKeysTypedWhileAJobIsOpened(t *testing.T) {
	path := finishedJob(t, t.TempDir())
	a, _ := at(t, prefs.Preferences{Units: "us"})
	a.LogBeside(path)
	d, done := halfway(t, a, a.Init())
	assert.Contains(t, d.View(), "WORKING OUT 16 ENTRIES")
	assert.Contains(t, d.View(), "reading 126 371 psig, 55.2 102.8 °F")
	assert.NotContains(t, d.View(), "superheat", "nothing is claimed that is not worked out")
	d.Type("u<enter>") // the job is closed: take that back
	assert.Contains(t, d.View(), "WORKING OUT", "nothing acts on half a session")
	done()
	assert.NotContains(t, d.View(), "WORKING OUT")
	d.Type("ntyped later<enter>")
	got := steps(d)
	require.Len(t, got, 18)
	assert.True(t, got[15].Voided, "taken back by the key that came early")

	lines, report, err := journal.Read(path)
	require.NoError(t, err)
	assert.True(t, report.Intact())
	assert.Len(t, lines, 18)
}

// Leaving meanwhile leaves the journal free and as it was.
func TestLeavingWhileAJobIsOpened(t *testing.T) {
	path := finishedJob(t, t.TempDir())
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	a, _ := at(t, prefs.Preferences{Units: "us"})
	a.LogBeside(path)
	d, done := halfway(t, a, a.Init())
	d.Type("r118 <ctrl+c>")
	require.True(t, d.Quit)
	d.Quit = false
	done()
	assert.Nil(t, a.page)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
	j, _, err := journal.Open(path)
	require.NoError(t, err, "the lock is gone")
	require.NoError(t, j.Close())
}

// A job that cannot be opened from the start screen leaves one there.
func TestAJobThatCannotBeOpened(t *testing.T) {
	folder := t.TempDir()
	a, _ := at(t, prefs.Preferences{Units: "us", Folder: folder})
	path := finishedJob(t, folder)
	a.Start()
	d := uitest.New(a, 80, 24)
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.Mkdir(path, 0o700))
	d.Send(a.open(path)())
	assert.False(t, d.Quit)
	assert.Contains(t, d.View(), "new job")
	assert.Contains(t, d.View(), "is a folder, not a plain file")
	d.Type("n")
	_, ok := a.page.(*live.Screen)
	assert.True(t, ok, "and everything else goes on")
}

// The same in the replay: early steps are taken once there is something to
// step through.
func TestKeysPressedWhileARecordIsLoaded(t *testing.T) {
	a, _ := at(t, prefs.Preferences{Units: "us"})
	require.NoError(t, a.Replay(finishedJob(t, t.TempDir())))
	d, done := halfway(t, a, a.Init())
	assert.Contains(t, d.View(), "WORKING OUT 16 ENTRIES")
	d.Type("llll<left>")
	assert.Contains(t, d.View(), "WORKING OUT 16 ENTRIES")
	done()
	assert.Contains(t, d.View(), "step 4 of 16")
}

// Units switched while a record is loaded: the record that comes in the old ones
// is not shown.
func TestUnitsSwitchedWhileARecordIsLoaded(t *testing.T) {
	a, _ := at(t, prefs.Preferences{Units: "us"})
	require.NoError(t, a.Replay(finishedJob(t, t.TempDir())))
	d, done := halfway(t, a, a.Init())
	d.Type("mG")
	done()
	assert.Contains(t, d.View(), "step 16 of 16")
	assert.NotContains(t, d.View(), " oz")
	assert.Contains(t, d.View(), "425 g net")
}
