package ui

import (
	"bytes"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/exp/teatest"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/ui/prefs"
	"chargehand/ui/screen"
)

// faulty is a page that breaks down when a key comes.
type faulty struct{ path string }

func (f faulty) Init() tea.Cmd          { return nil }
func (f faulty) View() string           { return "about to break" }
func (f faulty) SetSize(int, int)       {}
func (f faulty) Typing() bool           { return false }
func (f faulty) Help() []screen.Section { return nil }
func (f faulty) Path() string           { return f.path }
func (f faulty) Update(m tea.Msg) tea.Cmd {
	if _, ok := m.(tea.KeyMsg); ok {
		panic("a fault of ours")
	}
	return nil
}

// A breakdown gives the terminal back and names the journal and its state.
func TestBreakdownNamesTheJournal(t *testing.T) {
	path := finishedJob(t, t.TempDir())
	a, _ := at(t, prefs.Preferences{})
	a.page = faulty{path}
	in, keys := io.Pipe()
	go func() {
		time.Sleep(20 * time.Millisecond)
		_, _ = keys.Write([]byte("k"))
	}()
	stdout := os.Stdout
	stderr := os.Stderr
	os.Stdout, _ = os.Open(os.DevNull) // Bubble Tea prints the stack there
	os.Stderr = os.Stdout
	var out bytes.Buffer
	err := a.Run(in, &out)
	os.Stdout, os.Stderr = stdout, stderr
	require.Error(t, err)
	assert.ErrorContains(t, err, path)
	assert.ErrorContains(t, err, "is complete: all 16 entries are there")
	assert.ErrorContains(t, err, "chargehand log "+path)
	s := out.String()
	assert.Greater(t, strings.LastIndex(s, "\x1b[?1049l"), strings.LastIndex(s, "\x1b[?1049h"), "the other screen is left")
	assert.Greater(t, strings.LastIndex(s, "\x1b[?25h"), strings.LastIndex(s, "\x1b[?25l"), "the cursor is back")
}

func TestBreakdownOfADamagedJournalSaysSo(t *testing.T) {
	path := finishedJob(t, t.TempDir())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, bytes.Replace(data, []byte("6 oz"), []byte("9 oz"), 1), 0o600))
	assert.Contains(t, crash([]string{path}), "damaged at line")
	assert.Contains(t, crash(nil), "No job was open")
	assert.Contains(t, crash([]string{path + ".gone"}), "could not be read")
}

// One run through a real program: start, resize, type, leave.
func TestRealProgram(t *testing.T) {
	a, _ := at(t, prefs.Preferences{Units: "us"})
	a.NewJob()
	tm := teatest.NewTestModel(t, a, teatest.WithInitialTermSize(80, 24))
	send := func(s string) { tm.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(s)}) }
	send("410a")
	tm.Send(tea.KeyMsg{Type: tea.KeyEnter})
	tm.Send(tea.KeyMsg{Type: tea.KeyEnter})
	teatest.WaitFor(t, tm.Output(), func(b []byte) bool { return bytes.Contains(b, []byte("TAKE A READING")) },
		teatest.WithDuration(20*time.Second), teatest.WithCheckInterval(5*time.Millisecond))
	tm.Send(tea.WindowSizeMsg{Width: 40, Height: 20})
	send("118 317 58.4 92.1")
	tm.Send(tea.KeyMsg{Type: tea.KeyEnter})
	teatest.WaitFor(t, tm.Output(), func(b []byte) bool { return bytes.Contains(b, []byte("SH 19")) },
		teatest.WithDuration(20*time.Second), teatest.WithCheckInterval(5*time.Millisecond))
	tm.Send(tea.KeyMsg{Type: tea.KeyCtrlC})
	tm.WaitFinished(t, teatest.WithFinalTimeout(20*time.Second))
}

func TestNoTerminalIsNoTerminal(t *testing.T) {
	assert.False(t, Terminal(strings.NewReader(""), io.Discard))
	f, err := os.CreateTemp(t.TempDir(), "")
	require.NoError(t, err)
	defer f.Close()
	assert.False(t, Terminal(f, f), "a file is no terminal")
}
