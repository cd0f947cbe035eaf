package train

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
	q "chargehand/charge/quantity"
	"chargehand/charge/scenario"
	"chargehand/ui/screen"
	"chargehand/ui/theme"
	"chargehand/ui/uitest"
)

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

func begin(t *testing.T, lesson string, o Options) (*Screen, *uitest.Driver) {
	l, err := scenario.Find(lesson)
	require.NoError(t, err)
	o.Scenario.Seed = 1
	look := &screen.Look{Theme: theme.Theme{Name: "none"}, Units: q.US, Pressure: q.PSIGUnit, Zone: time.UTC,
		Now: time.Now, Tick: func(_ time.Duration, f func(time.Time) tea.Msg) tea.Cmd {
			return func() tea.Msg { return f(time.Time{}) }
		}}
	s := New(look, l, o)
	return s, uitest.New(page{s}, 80, 30)
}

func TestStoryFirstAndAdviceOnlyWhenAsked(t *testing.T) {
	s, d := begin(t, "orifice-short", Options{})
	assert.Contains(t, d.View(), "A three ton split on a low roof")
	d.Type("<enter>r")
	v := d.View()
	assert.Contains(t, v, "WHAT DO YOU DO NOW?")
	assert.NotContains(t, v, "room left")
	assert.NotContains(t, v, "inside", "no belief")
	assert.NotContains(t, v, "told")
	d.Type("h")
	assert.NotContains(t, d.View(), "WHAT DO YOU DO NOW?")
	assert.Contains(t, d.View(), "inside")
	assert.Equal(t, 1, s.hints)
	d.Type("r")
	assert.Contains(t, d.View(), "WHAT DO YOU DO NOW?", "a hint holds until the next entry")
	d.Type("ar")
	assert.Contains(t, d.View(), "inside", "unless it is asked for always")
}

// A lesson done well: look at all, mend the leak, follow the hints, finish.
func TestALessonToItsDebrief(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	j, _, err := journal.Open(path)
	require.NoError(t, err)
	s, d := begin(t, "orifice-short", Options{Record: j, Debrief: path})
	d.Type("<enter>c<enter>j<enter>j<enter>j<enter>j<enter>j<enter>fj<enter>x")
	assert.Contains(t, d.View(), "looked at 7 of 7")
	assert.Contains(t, d.View(), "1 put right")
	d.Type("a")
	for range 20 {
		a := s.live.Desk().Picture().Advice
		if a.Action == charge.Stop {
			break
		}
		switch a.Action {
		case charge.Add:
			d.Type("w<enter>")
		case charge.Wait:
			d.Type("v<enter>r")
		default:
			d.Type("r")
		}
	}
	require.Equal(t, charge.Stop, s.live.Desk().Picture().Advice.Action, d.View())
	d.Type("f<enter><enter>")
	v := d.View()
	require.NotNil(t, s.sum, v)
	assert.NotEqual(t, scenario.NotSound, s.sum.Grade, strings.Join(s.sum.Why, " "))
	assert.Contains(t, v, "What was hidden")
	assert.Contains(t, v, "fixed orifice")
	all := strings.Join(s.afterLines(), "\n")
	assert.Contains(t, all, "shortest:")
	assert.Contains(t, all, "what was read (points) over what the system would settle at (line)")
	require.NoError(t, j.Close())

	lines, report, err := journal.Read(path)
	require.NoError(t, err)
	assert.True(t, report.Intact())
	assert.Len(t, lines, len(s.live.Desk().Picture().Steps), "every entry of the run is on disk")
	text, err := os.ReadFile(strings.TrimSuffix(path, ".jsonl") + ".debrief.txt")
	require.NoError(t, err)
	assert.Contains(t, string(text), "What was hidden")
}

func TestNothingIsTakenBackOnARoof(t *testing.T) {
	s, d := begin(t, "orifice-short", Options{})
	d.Type("<enter>rw6<enter>")
	n := len(s.live.Desk().Picture().Steps)
	d.Type("u")
	assert.Contains(t, d.View(), "nothing is taken back")
	d.Type("es3")
	assert.Len(t, s.live.Desk().Picture().Steps, n)
}

func TestSettlingShows(t *testing.T) {
	s, d := begin(t, "orifice-short", Options{})
	d.Type("<enter>rw12<enter>r")
	p := s.live.Desk().Picture()
	soon := p.Advice.Derived
	assert.False(t, soon.Settled, "two minutes after the weighing")
	d.Type("v25<enter>r")
	late := s.live.Desk().Picture().Advice.Derived
	assert.True(t, late.Settled)
	assert.Greater(t, math.Abs(soon.SuperheatK-late.SuperheatK), 0.5, "superheat was still moving")
}

func TestTimeRunsAsFastAsAskedFor(t *testing.T) {
	s, d := begin(t, "orifice-short", Options{Speed: 4})
	d.Type("<enter>")
	before := s.Now()
	d.Type("v10<enter>")
	assert.Equal(t, 10*time.Minute, s.Now().Sub(before), "in three steps of a second")
	assert.Zero(t, s.waiting)
}

func TestLeavingAloneNeedsAReason(t *testing.T) {
	s, d := begin(t, "restriction", Options{})
	d.Type("<enter>rf<right><enter>")
	d.Type("<enter>")
	assert.Contains(t, d.View(), "Say why it is left alone")
	d.Type("r<enter><enter>")
	require.True(t, s.beside().done, d.View())
	d.Type("<enter>")
	require.NotNil(t, s.sum, d.View())
	assert.NotEqual(t, scenario.NotSound, s.sum.Grade, strings.Join(s.sum.Why, " "))
}

func TestMinutes(t *testing.T) {
	for text, want := range map[string]float64{"12": 12, " 7,5 ": 7.5, "10 min": 10} {
		m, err := minutes(text)
		require.NoError(t, err)
		assert.Equal(t, want, m)
	}
	for _, text := range []string{"", "soon", "0", "-3", "601", "1e9", "NaN"} {
		_, err := minutes(text)
		assert.Error(t, err, text)
	}
}
