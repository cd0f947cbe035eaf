package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
	"chargehand/ui/live"
	"chargehand/ui/prefs"
	"chargehand/ui/uitest"
)

// at is an app over folders of its own, with a clock moved by hand.
func at(t testing.TB, p prefs.Preferences) (*App, *uitest.Clock) {
	c := uitest.NewClock()
	if p.Folder == "" {
		p.Folder = t.TempDir()
	}
	return New(Options{Prefs: p, Now: c.Now, Zone: time.UTC, Tick: uitest.NoTick}), c
}

// newJob drives a new job in a terminal of the size given.
func newJob(t testing.TB, w, h int) (*uitest.Driver, *uitest.Clock) {
	a, c := at(t, prefs.Preferences{Units: "us"})
	a.NewJob()
	return uitest.New(a, w, h), c
}

// The keys of an invented job: a five ton split with a fixed orifice, short of
// charge after its condenser was washed. Numbers and names are made up.
const (
	typeSetup  = "410a<enter>back of house<enter>5<enter>9-14<enter><enter>"
	typeChecks = "cooooooo<enter>"
)

// typeReadings are the four hoses and clamps, then the air.
var typeReadings = []string{
	"118 356 64 104 88 76 65<enter>",
	"121 361 60.7 103.5<enter>",
	"124 367 57.2 103 89<enter>",
	"126 371 55.2 102.8 90<enter>",
}

var typeAmounts = []string{"w6<enter>", "w6<enter>", "w3<enter>"}

// Another invented job: a three ton split whose expansion valve is starved, so
// that at first it answers as an orifice would. Nothing settles it yet.
var typeStarved = []string{
	"104 338 63.5 104 91 77 66<enter>",
	"109 348 59.5 105 91<enter>",
	"115 360 55.5 106 91<enter>",
}

// starved types that job up to its third reading.
func starved(t testing.TB, w, h int) *uitest.Driver {
	d, c := newJob(t, w, h)
	d.Type("410a<enter>corner shop<enter>3<enter>7-2<enter><tab>10<enter><enter>")
	c.Advance(5 * time.Minute)
	d.Type(typeChecks)
	c.Advance(15 * time.Minute)
	for i, row := range typeStarved {
		if i > 0 {
			c.Advance(time.Minute)
			d.Type("w6<enter>")
			c.Advance(13 * time.Minute)
			d.Send(tick)
		}
		d.Type(row)
	}
	return d
}

// step types the job up to its n-th reading (from 1), with the weighings
// between; the clock runs as on a roof.
func step(d *uitest.Driver, c *uitest.Clock, n int) {
	d.Type(typeSetup)
	c.Advance(4 * time.Minute)
	d.Type(typeChecks)
	c.Advance(16 * time.Minute)
	for i := range n {
		if i > 0 {
			c.Advance(2 * time.Minute)
			d.Type(typeAmounts[i-1])
			c.Advance(16 * time.Minute)
			d.Send(tick)
		}
		d.Type(typeReadings[i])
	}
}

func advice(d *uitest.Driver) charge.Advice {
	return d.M.(*App).page.(*live.Screen).Desk().Picture().Advice
}

func journals(t testing.TB, d *uitest.Driver) []string {
	paths, err := filepath.Glob(filepath.Join(d.M.(*App).prefs.JournalFolder(), "*.jsonl"))
	require.NoError(t, err)
	return paths
}

// invented is a made-up unit that answers in straight lines: psig, °F.
func invented(oz float64) string {
	return fmt.Sprintf("%.0f %.0f %.1f %.1f", 118+0.5*oz, 356+oz, 64-0.55*oz, 104-0.08*oz)
}

// The job as the advice leads it: Enter does what the headline says.
func TestAWholeJobInFewKeys(t *testing.T) {
	d, c := newJob(t, 80, 24)
	d.Type("410<enter><enter>") // only the refrigerant
	c.Advance(4 * time.Minute)
	d.Type("cooooooo<enter>")
	c.Advance(16 * time.Minute)
	d.Type(invented(0) + " 88 76 65<enter>")
	weighed, read := 0, 1
	for range 12 {
		switch a := advice(d); a.Action {
		case charge.Add:
			d.Type("<enter><enter>") // the advised amount stands as default
			weighed++
		case charge.Wait, charge.Measure:
			c.Advance(max(a.Wait, 5*time.Minute) + time.Minute)
			d.Send(tick)
			d.Type(invented(a.TotalKg/0.028349523125) + "<enter>")
			read++
		case charge.Stop:
			d.Type("<enter><enter>") // finish, with the reason that stands
		default:
			t.Fatalf("%s:\n%s", a.Action, d.View())
		}
		if advice(d).Closed {
			break
		}
	}
	require.True(t, advice(d).Closed, d.View())
	assert.Less(t, d.Beyond, 60)
	t.Logf("bar: a whole job typed, keys beyond the numbers | under 60 | %d (%d keys in all; 7 checks, %d readings, %d weighings) | go test ./ui -run TestAWholeJobInFewKeys -v", d.Beyond, d.Keys, read, weighed)

	// What the screen claimed is what the disk holds.
	paths := journals(t, d)
	require.Len(t, paths, 1)
	lines, report, err := journal.Read(paths[0])
	require.NoError(t, err)
	assert.True(t, report.Intact())
	assert.Len(t, lines, 1+7+read+weighed+1)
}

// Every acknowledged entry is on disk, and the file alone brings the job back.
func TestReopeningGoesOn(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 2)
	want := advice(d)
	path := journals(t, d)[0]
	folder := d.M.(*App).prefs.Folder

	// The program dies here; the lock dies with it.
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	copied := filepath.Join(t.TempDir(), "copy.jsonl")
	require.NoError(t, os.WriteFile(copied, data, 0o600))

	a, c2 := at(t, prefs.Preferences{Units: "us", Folder: folder})
	c2.T = c.T
	require.NoError(t, a.Log(copied))
	again := uitest.New(a, 80, 24)
	got := advice(again)
	assert.Equal(t, fmt.Sprint(want), fmt.Sprint(got), "the same advice from the file alone")
	assert.Contains(t, again.View(), "Going on where it was left")
}

func TestAJobOpenElsewhereIsRefusedInWords(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	a, _ := at(t, prefs.Preferences{})
	a.LogBeside(journals(t, d)[0])
	other := uitest.New(a, 80, 24)
	assert.True(t, other.Quit)
	require.ErrorContains(t, a.fail, "another chargehand is writing")
	var open *OpenError
	require.ErrorAs(t, a.fail, &open)
}

func TestNothingIsMadeBeforeTheFirstEntry(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type("410a<esc>")
	assert.False(t, d.Quit, "asked once: something is half typed")
	assert.Contains(t, d.View(), "not entered yet")
	d.Type("<esc>")
	assert.True(t, d.Quit)
	assert.Empty(t, journals(t, d))
}

func TestUnknownRefrigerantIsAskedForAtOnce(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type("foo<enter>")
	assert.Contains(t, d.View(), "No such refrigerant is known")
	assert.Contains(t, d.View(), "> refrigerant", "the cursor stays where it is to be mended")
	d.Type("<ctrl+u>407<enter>")
	assert.Contains(t, d.View(), "Which one: R-407A, R-407C, R-407F?")
	d.Type("c<enter><enter>")
	assert.Contains(t, d.View(), "R-407C")
}

// A disk that fails is said aloud, and nothing is claimed.
func TestFullDiskIsSaidAloud(t *testing.T) {
	a, _ := at(t, prefs.Preferences{Units: "us", Folder: "/proc/no/such/folder"})
	a.NewJob()
	d := uitest.New(a, 80, 24)
	d.Type("410a<enter><enter>")
	assert.Contains(t, d.View(), "NOT ON DISK")
	d.Type("118 317 58.4 92.1<enter>")
	assert.Contains(t, d.View(), "2 NOT ON DISK")
	a.prefs.Folder = t.TempDir()
	d.Type("!")
	assert.Contains(t, d.View(), "NOT ON DISK", "still the same folder")
}
