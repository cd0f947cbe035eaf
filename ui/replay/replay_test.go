package replay

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	_ "github.com/charmbracelet/x/exp/golden" // defines -update
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
	q "chargehand/charge/quantity"
	"chargehand/ui/screen"
	"chargehand/ui/theme"
	"chargehand/ui/uitest"
)

// An invented job in which something was done too soon and too much: the
// technician weighed in more than advised and read after four minutes.
const hasty = `{"kind":"setup","at":"2026-06-01T13:10:00Z","refrigerant":"R-410A","unit":"invented, north","capacity":"5 ton","nameplate_charge":"9 lb 14 oz"}
{"kind":"check","at":"2026-06-01T13:12:00Z","item":"filter","state":"ok"}
{"kind":"check","at":"2026-06-01T13:13:00Z","item":"evaporator-coil","state":"ok"}
{"kind":"check","at":"2026-06-01T13:14:00Z","item":"blower","state":"ok"}
{"kind":"check","at":"2026-06-01T13:15:00Z","item":"condenser-coil","state":"ok"}
{"kind":"check","at":"2026-06-01T13:16:00Z","item":"condenser-fan","state":"ok"}
{"kind":"check","at":"2026-06-01T13:17:00Z","item":"leak-search","state":"ok"}
{"kind":"reading","at":"2026-06-01T13:30:00Z","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64.0 °F","liquid_line":"104.0 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}
{"kind":"weighed","at":"2026-06-01T13:32:00Z","amount":"24 oz"}
{"kind":"reading","at":"2026-06-01T13:36:00Z","suction_pressure":"126 psig","liquid_pressure":"371 psig","suction_line":"55.2 °F","liquid_line":"102.8 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}
{"kind":"void","at":"2026-06-01T13:37:00Z","voids":10,"why":"read too soon"}
{"kind":"note","at":"2026-06-01T13:38:00Z","text":"owner asks how long"}
`

func record(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "job.jsonl")
	j, _, err := journal.Open(path)
	require.NoError(t, err)
	for _, l := range strings.Split(strings.TrimSpace(hasty), "\n") {
		e, err := charge.ParseEvent([]byte(l))
		require.NoError(t, err)
		_, err = j.Append(e)
		require.NoError(t, err)
	}
	require.NoError(t, j.Close())
	return path
}

func TestReplayTellsWhatWasDoneAgainstWhatWasAdvised(t *testing.T) {
	r, err := Load(record(t), q.US)
	require.NoError(t, err)
	assert.Contains(t, r.against(8), "weighed in 1 lb 8 oz where the advice was: add")
	assert.Regexp(t, `read 4 min after the weighing; \d+ min was advised`, r.against(9))
	assert.Positive(t, r.flags(), "a supervisor is sent to these")
	assert.True(t, r.flagged(8))
}

// The replay shows each step as it was told then, whatever was taken back
// later.
func TestStepsAsTheyWereTold(t *testing.T) {
	r, err := Load(record(t), q.US)
	require.NoError(t, err)
	assert.Len(t, r.Fork(9).Points, 2, "not yet taken back")
	assert.Len(t, r.Fork(11).Points, 1, "taken back by then")
	assert.Equal(t, r.Fork(7).Scale, r.Fork(11).Scale, "the axes keep still while one steps through")
}

func TestPlainIsTheWholeReplay(t *testing.T) {
	r, err := Load(record(t), q.US)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, Plain(&b, r, time.UTC, 80))
	s := b.String()
	for _, want := range []string{
		"record of invented, north · R-410A · 5 ton", "12 entries, the chain of hashes is whole",
		"suction pressure: 118 psig", "→ evaporating 39.8, condensing 107.9: superheat 24.2, subcooling 3.9",
		"told: ADD", "(taken back later)", "text: owner asks how long", "done: weighed in 1 lb 8 oz",
	} {
		assert.Contains(t, s, want)
	}
	assert.NotContains(t, s, "\x1b", "no escape sequences in a pipe")
	for _, l := range strings.Split(s, "\n") {
		assert.LessOrEqual(t, len([]rune(l)), 80, l)
	}
}

// The invented stories of the project, replayed whole: what each step was told
// is part of what must not change unseen.
func TestGoldenReplays(t *testing.T) {
	for _, name := range []string{"orifice", "valve", "metric-glide"} {
		t.Run(name, func(t *testing.T) {
			units := q.US
			if name == "metric-glide" {
				units = q.SI
			}
			r, err := Load(filepath.Join("../../testdata/journals", name+".jsonl"), units)
			require.NoError(t, err)
			require.Empty(t, r.Broken)
			var b bytes.Buffer
			require.NoError(t, Plain(&b, r, time.UTC, 100))
			path := filepath.Join("../../testdata/screens", "plain-"+name+".txt")
			if flag.Lookup("update").Value.String() == "true" {
				require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
				return
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err, "make it with: go test ./ui/replay -update")
			require.Equal(t, string(want), b.String(), "read the difference; if it is meant: go test ./ui/replay -update")
		})
	}
}

func TestBrokenChainIsShownWhereItBreaks(t *testing.T) {
	path := record(t)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, bytes.Replace(data, []byte("24 oz"), []byte("14 oz"), 1), 0o600))
	r, err := Load(path, q.US)
	require.NoError(t, err)
	assert.Len(t, r.Steps, 9)
	assert.Contains(t, r.Broken, "line 10")
	var b bytes.Buffer
	require.NoError(t, Plain(&b, r, time.UTC, 80))
	assert.Contains(t, b.String(), "THE CHAIN BREAKS HERE: line 10")
}

// What somebody put into a file cannot steer the supervisor's terminal.
func TestFileCannotSteerTheTerminal(t *testing.T) {
	e, err := charge.ParseEvent([]byte(`{"kind":"note","at":"2026-06-01T13:38:00Z","text":"plain","extra":"\u001b[2Jboo\u0007"}`))
	require.NoError(t, err)
	for _, f := range entered(e) {
		assert.NotContains(t, f[1], "\x1b")
		assert.NotContains(t, f[1], "\a")
	}
}

// page makes a tea.Model of the screen for the driver.
type page struct{ s *Screen }

func (p page) Init() tea.Cmd { return p.s.Init() }
func (p page) View() string  { return p.s.View() }
func (p page) Update(m tea.Msg) (tea.Model, tea.Cmd) {
	if z, ok := m.(tea.WindowSizeMsg); ok {
		p.s.SetSize(z.Width, z.Height)
		return p, nil
	}
	return p, p.s.Update(m)
}

func TestSteppingAndJumping(t *testing.T) {
	look := &screen.Look{Theme: theme.Theme{Name: "none"}, Units: q.US, Pressure: q.PSIGUnit, Zone: time.UTC, Now: time.Now}
	s := New(look, record(t))
	d := uitest.New(page{s}, 80, 30)
	assert.Contains(t, d.View(), "step 1 of 12")
	d.Type("lll")
	assert.Contains(t, d.View(), "step 4 of 12")
	d.Type("h")
	assert.Contains(t, d.View(), "step 3 of 12")
	d.Type("G")
	assert.Contains(t, d.View(), "step 12 of 12")
	d.Type("g")
	d.Type("f")
	assert.True(t, s.record.flagged(s.at), "f goes to a marked step")
	first := s.at
	d.Type("fb")
	assert.Equal(t, first, s.at)
	assert.Contains(t, d.View(), "marked")
	d.Burst("gllll")
	assert.Contains(t, d.View(), "step 5 of 12", "fast typing steps as often as keys came")
}
