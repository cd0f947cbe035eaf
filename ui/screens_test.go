package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge/scenario"
	"chargehand/ui/desk"
	"chargehand/ui/prefs"
	"chargehand/ui/theme"
	"chargehand/ui/uitest"
)

// A scene brings a program to one screen, by keys.
type scene struct {
	name string
	make func(t testing.TB, w, h int) *uitest.Driver
}

// finished is the invented job's journal, made once.
var finished []byte

// finishedJob writes the invented job to a journal and gives its path.
func finishedJob(t testing.TB, folder string) string {
	path := filepath.Join(folder, "2026-06-01-1341-back-of-house.jsonl")
	if finished == nil {
		data, err := os.ReadFile(makeJob(t, t.TempDir()))
		require.NoError(t, err)
		finished = data
	}
	require.NoError(t, os.WriteFile(path, finished, 0o600))
	return path
}

func makeJob(t testing.TB, folder string) string {
	d, c := newJob(t, 80, 24)
	d.M.(*App).prefs.Folder = folder
	d.M.(*App).NewJob()
	d.Resize(80, 24)
	step(d, c, 4)
	c.Advance(2 * time.Minute)
	d.Type("f<tab>in band<enter><ctrl+c>")
	paths, err := filepath.Glob(filepath.Join(folder, "*.jsonl"))
	require.NoError(t, err)
	require.Len(t, paths, 1)
	return paths[0]
}

// lesson begins the first lesson, always on the same roof, and types on.
func lesson(keys string) func(testing.TB, int, int) *uitest.Driver {
	return func(t testing.TB, w, h int) *uitest.Driver {
		a, _ := at(t, prefs.Preferences{Units: "us"})
		s, err := scenario.Find("orifice-short")
		require.NoError(t, err)
		require.NoError(t, a.Train(s, scenario.Options{Seed: 1}, 0, ""))
		d := uitest.New(a, w, h)
		d.Type(keys)
		return d
	}
}

func job(n int, keys string, wait time.Duration) func(testing.TB, int, int) *uitest.Driver {
	return func(t testing.TB, w, h int) *uitest.Driver {
		d, c := newJob(t, w, h)
		step(d, c, n)
		c.Advance(time.Minute)
		d.Type(keys)
		c.Advance(wait)
		d.Send(tick)
		return d
	}
}

var scenes = []scene{
	{"start", func(t testing.TB, w, h int) *uitest.Driver {
		folder := t.TempDir()
		a, c := at(t, prefs.Preferences{Units: "us", Folder: folder})
		a.NewJob()
		d := uitest.New(a, w, h)
		step(d, c, 2)
		d.Type("q")
		a, c2 := at(t, prefs.Preferences{Units: "us", Folder: folder})
		c2.T = c.T
		a.Start()
		return uitest.New(a, w, h)
	}},
	{"preferences", func(t testing.TB, w, h int) *uitest.Driver {
		a, _ := at(t, prefs.Preferences{Units: "us", Folder: "/home/kim/jobs"})
		a.Start()
		d := uitest.New(a, w, h)
		d.Type("p<tab><tab>1600")
		return d
	}},
	{"setup", func(t testing.TB, w, h int) *uitest.Driver {
		d, _ := newJob(t, w, h)
		d.Type("454b<enter>shop front<enter>3")
		return d
	}},
	{"log", starved},
	{"log-landed", job(3, "", 0)},
	{"log-first", job(1, "", 0)},
	{"log-waiting", job(2, "w6<enter>", 150*time.Second)},
	{"log-receiver", func(t testing.TB, w, h int) *uitest.Driver {
		d, c := newJob(t, w, h)
		d.Type("404a<enter>invented walk-in<enter><tab><tab><tab><tab><tab><tab>m<tab>r<enter><enter>")
		c.Advance(20 * time.Minute)
		d.Type("r65 190 36 84.2 36<tab><tab><tab><tab>58.5 196 b<enter>")
		return d
	}},
	{"log-reading", job(1, "r121 361 60.7", 0)},
	{"log-doubt", job(1, "r121 36 60.7", 0)},
	{"log-weigh", job(1, "w12", 0)},
	{"log-checks", job(0, "c<down><down>f", 0)},
	{"log-amend", job(2, "ek", 0)},
	{"log-units", job(2, "m", 0)},
	{"log-unsaved", func(t testing.TB, w, h int) *uitest.Driver {
		a, c := at(t, prefs.Preferences{Units: "us", Folder: "/proc/no/such/folder"})
		a.NewJob()
		d := uitest.New(a, w, h)
		step(d, c, 2)
		return d
	}},
	{"log-full", job(1, "i", 0)},
	{"help", job(1, "?", 0)},
	{"lessons", func(t testing.TB, w, h int) *uitest.Driver {
		a, _ := at(t, prefs.Preferences{Units: "us"})
		a.Start()
		d := uitest.New(a, w, h)
		d.Type("tjj")
		return d
	}},
	{"train-story", lesson("")},
	{"train", lesson("<enter>c<enter>j<enter>x" + "r" + "h")},
	{"train-look", lesson("<enter>c<enter>j<enter>")},
	{"train-work", lesson("<enter>rw6<enter>v12<enter>r")},
	{"debrief", lesson("<enter>rw6<enter>v12<enter>rf<enter><enter>")},
	{"opening", func(t testing.TB, w, h int) *uitest.Driver {
		j, err := desk.Read(finishedJob(t, t.TempDir()))
		require.NoError(t, err)
		defer j.Close()
		a, _ := at(t, prefs.Preferences{Units: "us"})
		a.page = &opening{look: a.look, events: j.Events()} // and never folded
		d := &uitest.Driver{M: a}
		d.Resize(w, h)
		return d
	}},
	{"replay", func(t testing.TB, w, h int) *uitest.Driver {
		a, _ := at(t, prefs.Preferences{Units: "us"})
		require.NoError(t, a.Replay(finishedJob(t, t.TempDir())))
		d := uitest.New(a, w, h)
		d.Type("djjjjjj")
		return d
	}},
	{"replay-broken", func(t testing.TB, w, h int) *uitest.Driver {
		path := finishedJob(t, t.TempDir())
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(data), `"6 oz"`, `"9 oz"`, 1)), 0o600))
		a, _ := at(t, prefs.Preferences{Units: "us"})
		require.NoError(t, a.Replay(path))
		d := uitest.New(a, w, h)
		d.Type("G")
		return d
	}},
}

// heights of the golden screens, by width.
var sizes = []struct{ w, h int }{{40, 24}, {80, 24}, {120, 36}}

// folders made for a test are not the same twice.
var temporary = regexp.MustCompile(regexp.QuoteMeta(os.TempDir()) + `/\S*`)

func TestGoldenScreens(t *testing.T) {
	for _, sc := range scenes {
		for _, z := range sizes {
			name := fmt.Sprintf("%s-%d", sc.name, z.w)
			t.Run(name, func(t *testing.T) {
				d := sc.make(t, z.w, z.h)
				d.MustFit(t)
				view := temporary.ReplaceAllString(d.View(), "…")
				golden(t, name, view)
			})
		}
	}
}

// No line is wider and no view taller than the terminal, whatever its size,
// and the headline is always there.
func TestEveryScreenFitsEverySize(t *testing.T) {
	for _, sc := range scenes {
		t.Run(sc.name, func(t *testing.T) {
			d := sc.make(t, 80, 24)
			for _, w := range []int{40, 60, 80, 120, 200} {
				for _, h := range []int{20, 24, 30, 50, 70} {
					d.Resize(w, h)
					d.MustFit(t)
					if strings.HasPrefix(sc.name, "log") && sc.name != "log-full" {
						require.Contains(t, d.View(), ">> ", "%dx%d", w, h)
						require.Contains(t, d.View(), "? help", "%dx%d", w, h)
					}
				}
			}
			for w := 1; w <= 200; w += 7 {
				for h := 1; h <= 60; h += 5 {
					d.Resize(w, h)
					d.MustFit(t)
				}
			}
			d.Resize(0, 0)
			assert.Empty(t, d.View())
		})
	}
}

// Colour works, is made of the terminal's own sixteen, and carries nothing:
// without it the same characters stand.
func TestColourIsDecoration(t *testing.T) {
	lipgloss.SetColorProfile(termenv.TrueColor)
	defer lipgloss.SetColorProfile(termenv.Ascii)
	own := regexp.MustCompile(`^\x1b\[[0-9;]*m$`)
	for _, name := range []string{"dark", "light", "contrast"} {
		a, c := at(t, prefs.Preferences{Units: "us", Theme: name})
		a.NewJob()
		d := uitest.New(a, 120, 36)
		step(d, c, 2)
		coloured := d.M.View()
		require.Contains(t, coloured, "\x1b[", name)
		for _, seq := range regexp.MustCompile(`\x1b\[[^a-zA-Z]*[a-zA-Z]`).FindAllString(coloured, -1) {
			require.Regexp(t, own, seq)
			require.NotContains(t, seq, "38;2", "no colours of our own")
		}
		d.MustFit(t)
		a.look.Theme = theme.Theme{Name: "none"}
		plain := strings.ReplaceAll(d.M.View(), ">>", "")
		require.Equal(t, strings.Join(strings.Fields(plain), " "), strings.Join(strings.Fields(ansi.Strip(coloured)), " "), name)
	}
}

// Where the font has no lines and dots, plain characters do.
func TestPlainCharacters(t *testing.T) {
	a, c := at(t, prefs.Preferences{Units: "us", Plain: true})
	a.NewJob()
	d := uitest.New(a, 100, 36)
	step(d, c, 3)
	d.MustFit(t)
	for _, r := range d.View() {
		if r >= 0x2500 && r < 0x2900 {
			t.Fatalf("%q is no plain character:\n%s", r, d.View())
		}
	}
}
