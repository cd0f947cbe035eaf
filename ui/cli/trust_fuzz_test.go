package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"chargehand/charge/journal"
	"chargehand/ui"
	"chargehand/ui/prefs"
	"chargehand/ui/uitest"
)

// FuzzFeedJournal: any bytes into a feed that records. As many events are in the
// journal as were answered, it verifies, and the next feed goes on behind them.
func FuzzFeedJournal(f *testing.F) {
	f.Add([]byte(feedSetup + "\n" + note(1, "one") + "\nbad\n" + feedRead + "\n"))
	f.Add([]byte(note(1, "before the setup") + "\n" + feedSetup + "\n" + `{"kind":"void","at":"2026-06-01T13:00:00Z","voids":1,"why":"x"}` + "\n"))
	f.Add([]byte(feedSetup + "\n" + `{"kind":"close","at":"2026-06-01T14:00:00Z","format":"chargehand/2","prev":"00","n":9}` + "\n" + feedSetup + "\n"))
	f.Fuzz(func(t *testing.T, in []byte) {
		if bytes.Count(in, []byte("reading")) > 4 || bytes.Count(in, []byte("\n")) > 40 {
			return
		}
		path := filepath.Join(t.TempDir(), "job.jsonl")
		code, out, errs := runIn(bytes.NewReader(in), "feed", "--journal", path)
		require.Zero(t, code, errs)
		requireNoSteering(t, out)
		requireNoSteering(t, errs)
		answered := strings.Count(out, `{"kind":"advice"`)
		lines, report, err := journal.Read(path)
		require.NoError(t, err)
		require.True(t, report.Intact(), report.String())
		require.Len(t, lines, answered)
		code, out, errs = runIn(strings.NewReader(note(1, "on")), "feed", "--journal", path)
		require.Zero(t, code, errs)
		if answered > 0 && strings.HasPrefix(out, `{"kind":"advice"`) {
			require.Contains(t, out, fmt.Sprintf(`"n":%d,`, answered+1))
		}
	})
}

// FuzzRecordShown: events as anybody may chain them into a file, shown by every
// command that shows records: no panic, nothing that steers a terminal.
func FuzzRecordShown(f *testing.F) {
	f.Add([]byte(feedSetup + "\n" + feedRead + "\n" + `{"kind":"weighed","at":"2026-06-01T13:24:00Z","amount":"8 oz","cylinder":"20 lb"}`))
	f.Add([]byte(feedSetup + "\n" + note(1, "x") + "\n" + `{"kind":"void","at":"2020-06-01T13:24:00Z","voids":2,"why":"x","<b>":"\u001b[2J"}` + "\n" + `{"kind":"close","at":"2026-06-01T13:24:00Z"}` + "\n" + feedSetup))
	f.Add([]byte(feedRead + "\n" + `{"kind":"note","at":"2026-06-01T13:24:00Z","text":"\u009b"}`))
	f.Fuzz(func(t *testing.T, in []byte) {
		var bodies []string
		for _, l := range strings.Split(string(in), "\n") {
			if len(l) > 2 && l[0] == '{' && json.Valid([]byte(l)) && len(bodies) < 12 {
				bodies = append(bodies, l)
			}
		}
		if len(bodies) == 0 || strings.Count(string(in), "reading") > 3 {
			return
		}
		dir := t.TempDir()
		path := filepath.Join(dir, "job.jsonl")
		require.NoError(t, os.WriteFile(path, []byte(chained(bodies...)), 0o600))
		if code, out, errs := runIn(strings.NewReader(""), "report", path, "--json"); code == ExitOK {
			require.True(t, json.Valid([]byte(out)), out)
		} else {
			require.Contains(t, errs, "no event in it can be read")
		}
		for _, args := range [][]string{{"replay", "--plain", path}, {"replay", "--audit", path}, {"report", path}, {"report", "--md", path}, {"report", "--csv", path}, {"ledger", dir, "--audit"}, {"ledger", dir, "--json"}} {
			_, out, errs := runIn(strings.NewReader(""), args...)
			requireNoSteering(t, out, "%v", args)
			requireNoSteering(t, errs, "%v", args)
			require.NotContains(t, out, "%!", "%v", args)
		}
	})
}

// FuzzKeys: any keys and sizes on any screen: no panic, no line wider or view
// taller than the terminal, nothing in it that steers it, and whatever was
// entered is in a journal that verifies.
func FuzzKeys(f *testing.F) {
	f.Add([]byte("n410a\r\r\r\r\rc1\x1br118\r356\r64\r104\r88\r76\r65\r\rw8\rq"))
	f.Add([]byte("?j?k\x80\x01\x81\x20\x82\x50ltr\x1b\x1b\x1bpq!"))
	f.Add([]byte("l\tr121 361 60.7 103\r\r\reuxyn\xc3\xa9\xff\x84\x85\x86\x03"))
	special := []tea.KeyType{tea.KeyEnter, tea.KeyEsc, tea.KeyTab, tea.KeyShiftTab, tea.KeyUp, tea.KeyDown, tea.KeyLeft, tea.KeyRight, tea.KeyBackspace, tea.KeyDelete, tea.KeyPgUp, tea.KeyPgDown, tea.KeyHome, tea.KeyEnd, tea.KeyCtrlZ, tea.KeyCtrlU}
	f.Fuzz(func(t *testing.T, in []byte) {
		if len(in) > 120 {
			in = in[:120]
		}
		dir := t.TempDir()
		clock := uitest.NewClock()
		app := ui.New(ui.Options{Prefs: prefs.Preferences{Folder: dir, Units: "us"}, Now: clock.Now, Zone: time.UTC, Tick: uitest.NoTick, Ring: func() {}})
		open := byte('s')
		if len(in) > 0 {
			open = in[0]
		}
		job := filepath.Join(dir, "job.jsonl")
		switch {
		case open == 'n':
			app.NewJob()
			in = in[1:]
		case open == 'l' || open == 'r':
			record(t, job, feedSetup, note(1, "x"), feedRead)
			if open == 'l' {
				require.NoError(t, app.Log(job))
			} else {
				require.NoError(t, app.Replay(job))
			}
			in = in[1:]
		default:
			app.Start()
		}
		d := uitest.New(app, 80, 24)
		for i := 0; i < len(in) && !d.Quit; i++ {
			clock.Advance(time.Duration(in[i]) * time.Second)
			switch c := in[i]; {
			case c == 3:
				d.Send(tea.KeyMsg{Type: tea.KeyCtrlC})
			case c == '\r':
				d.Send(tea.KeyMsg{Type: tea.KeyEnter})
			case c == 0x1b:
				d.Send(tea.KeyMsg{Type: tea.KeyEsc})
			case c == '\t':
				d.Send(tea.KeyMsg{Type: tea.KeyTab})
			case c < ' ':
				d.Send(tea.KeyMsg{Type: special[c%16]})
			case c < 0x7f:
				d.Send(uitest.Rune(rune(c)))
			case c < 0x90 && i+1 < len(in): // a size
				i++
				d.Resize(1+int(c-0x7f)*13, 1+int(in[i])/4)
			case c < 0xa0:
				d.Send(tea.KeyMsg{Type: special[c%16]})
			case c < 0xb0: // several at once, as a slow line brings them; a paste
				d.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(string(in[i:min(len(in), i+9)])), Paste: c%2 == 0})
			default:
				d.Send(uitest.Rune(rune(c) << 4))
			}
			require.NoError(t, d.Fits())
			for _, line := range strings.Split(stripColours(app.View()), "\n") {
				requireNoSteering(t, line)
			}
		}
		found, err := filepath.Glob(filepath.Join(dir, "*.jsonl"))
		require.NoError(t, err)
		for _, path := range found {
			_, report, err := journal.Read(path)
			require.NoError(t, err)
			require.True(t, report.Intact(), report.String())
		}
	})
}
