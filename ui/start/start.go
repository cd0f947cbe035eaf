// Package start is the first screen: go on with an open job, begin one, replay
// a record, train, set preferences. Nothing has to be set before first use.
package start

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/ui/live"
	"chargehand/ui/part"
	"chargehand/ui/screen"
)

// Screen is the start screen.
type Screen struct {
	look   *screen.Look
	folder string
	w, h   int
	at     int
	jobs   []Job // nil until loaded
	loaded bool
	said   string
	all    bool // the list of all records, to replay one
}

// loadedJobs brings the folder's journals.
type loadedJobs struct {
	jobs []Job
	err  error
}

// New is the start screen over the journals of a folder.
func New(look *screen.Look, folder string) *Screen { return &Screen{look: look, folder: folder} }

// Init looks into the folder.
func (s *Screen) Init() tea.Cmd {
	folder := s.folder
	return func() tea.Msg {
		jobs, err := Jobs(folder)
		return loadedJobs{jobs, err}
	}
}

// SetSize gives the screen its box.
func (s *Screen) SetSize(w, h int) { s.w, s.h = w, h }

// Typing is false: letters are keys here.
func (s *Screen) Typing() bool { return false }

// Say shows a sentence at the foot.
func (s *Screen) Say(text string) { s.said = text }

// item is one line to choose.
type item struct {
	key, text, note string
	do              tea.Msg
}

func (s *Screen) items() []item {
	var out []item
	n := 0
	for _, j := range s.jobs {
		if !s.all && j.Closed || s.all && j.Trouble != "" && j.Entries == 0 {
			continue
		}
		n++
		key := ""
		if n <= 9 {
			key = fmt.Sprint(n)
		}
		note := when(s.look, j) + ", " + live.Count(j.Entries, "entry", "entries")
		if j.Closed {
			note += ", closed"
		}
		it := item{key: key, text: j.Label, note: note}
		switch {
		case s.all:
			it.do = screen.Replay{Path: j.Path}
		case j.Trouble != "":
			it.note = "cannot be gone on with: " + j.Trouble
			it.do = screen.Replay{Path: j.Path}
		default:
			it.do = screen.Open{Path: j.Path}
		}
		out = append(out, it)
		if !s.all && n == 9 {
			break
		}
	}
	if s.all {
		return append(out, item{key: "x", text: "back", do: backToStart{}})
	}
	return append(out,
		item{key: "n", text: "new job", note: "only the refrigerant is needed", do: screen.New{}},
		item{key: "r", text: "replay a record", note: "step by step, with what was told", do: showAll{}},
		item{key: "t", text: "train", note: "a simulated roof, free refrigerant", do: screen.Train{}},
		item{key: "p", text: "preferences", note: "units, elevation, theme, folder", do: screen.Preferences{}},
		item{key: "q", text: "leave", do: screen.Leave{}},
	)
}

// command reports an entry that a letter chooses; jobs have digits or nothing.
func (it item) command() bool { return it.key >= "a" }

type (
	showAll     struct{}
	backToStart struct{}
)

func when(look *screen.Look, j Job) string {
	if j.Last.IsZero() {
		return "-"
	}
	t := j.Last
	if look.Zone != nil {
		t = t.In(look.Zone)
	}
	if now := look.Now(); now.YearDay() == t.YearDay() && now.Year() == t.Year() {
		return "today " + t.Format("15:04")
	}
	return t.Format("2006-01-02 15:04")
}

// Update takes a message.
func (s *Screen) Update(msg tea.Msg) tea.Cmd {
	switch m := msg.(type) {
	case loadedJobs:
		s.jobs, s.loaded = m.jobs, true
		if m.err != nil {
			s.said = fmt.Sprintf("The journals' folder cannot be read: %v", m.err)
		}
		s.at = 0
	case tea.KeyMsg:
		if m.Paste {
			return nil
		}
		if m.Type == tea.KeyRunes && len(m.Runes) > 1 { // fast typing
			var cmds []tea.Cmd
			for i := range m.Runes {
				if c := s.key(string(m.Runes[i])); c != nil {
					return tea.Batch(append(cmds, c)...) // it leads away from here
				}
			}
			return tea.Batch(cmds...)
		}
		return s.key(m.String())
	}
	return nil
}

func (s *Screen) key(k string) tea.Cmd {
	items := s.items()
	s.at = min(s.at, len(items)-1)
	switch k {
	case "down", "j", "tab", " ":
		s.at = (s.at + 1) % len(items)
		return nil
	case "up", "k", "shift+tab":
		s.at = (s.at + len(items) - 1) % len(items)
		return nil
	case "enter":
		return s.take(items[s.at])
	case "esc":
		k = items[len(items)-1].key
	case "m":
		return screen.Send(screen.Units{})
	case "h":
		return screen.Send(screen.Restyle{})
	}
	for _, it := range items {
		if it.key == k {
			return s.take(it)
		}
	}
	return nil
}

func (s *Screen) take(it item) tea.Cmd {
	s.said = ""
	switch it.do.(type) {
	case showAll:
		if len(s.jobs) == 0 {
			s.said = "There is no record in " + s.folder + " yet. chargehand replay FILE opens one from anywhere."
			return nil
		}
		s.all, s.at = true, 0
		return nil
	case backToStart:
		s.all, s.at = false, 0
		return nil
	}
	return screen.Send(it.do)
}

// View draws the screen.
func (s *Screen) View() string {
	if s.w <= 0 || s.h <= 0 {
		return ""
	}
	th := s.look.Theme
	items := s.items()
	s.at = min(s.at, len(items)-1)
	k := 0
	for _, it := range items {
		k = max(k, part.Width(it.text))
	}
	k = min(k, max(s.w-8, 4))
	var list []string
	jobs := 0
	for i, it := range items {
		mark := "  "
		if i == s.at {
			mark = "> "
		}
		text := part.Pad(it.text, k)
		if i == s.at {
			text = th.Strong.Render(text)
		}
		line := mark + th.Key.Render(part.Pad(it.key, 1)) + "  " + text
		// What a command is for stands whole or not at all; a job's note may be cut.
		if n := s.w - part.Width(line) - 3; n >= 14 && (part.Width(it.note) <= n || !it.command()) {
			line += "   " + th.Faint.Render(part.Clip(it.note, n))
		}
		if !s.all && jobs == 0 && it.key == "n" && i > 0 {
			list = append(list, "")
			jobs = i
		}
		list = append(list, line)
	}
	head := "chargehand: adjust refrigerant charge"
	if s.all {
		head = "chargehand: records in " + s.folder
	}
	var said []string
	switch {
	case s.said != "":
		for _, l := range part.Wrap(s.said, s.w) {
			said = append(said, th.Mind.Render(l))
		}
	case !s.loaded:
		said = []string{th.Faint.Render("looking for open jobs …")}
	}
	var caution []string
	if !s.all {
		for _, l := range part.Wrap("For certified persons. The maker's charging chart, the data plate and local codes come before anything shown here. Gloves and glasses; lock out power before a panel comes off; recover, never vent.", min(s.w, 100)) {
			caution = append(caution, th.Faint.Render(l))
		}
	}
	top := max(s.at+3-(s.h-4), 0)
	if top > 0 && top < len(list) {
		list = list[top:]
	}
	title := ""
	if !s.all && len(items) > 5 {
		title = "go on with"
	}
	body := part.Stack(s.w, s.h-1,
		part.Block{Lines: []string{th.Strong.Render(part.Clip(head, s.w))}, Rank: 1, Least: 1},
		part.Block{Lines: nonEmpty(th.Label.Render(title)), Rank: 2, Gap: true},
		part.Block{Lines: list, Rank: 0, Least: len(list), Gap: title == ""},
		part.Block{Lines: said, Rank: 1, Least: 1, Gap: true},
		part.Block{Lines: caution, Rank: 4, Gap: true},
	)
	for len(body) < s.h-1 {
		body = append(body, "")
	}
	body = append(body, live.Hints(s.look, [][2]string{{"enter", "choose"}, {"j k", "down, up"}}, s.w))
	return strings.Join(body, "\n")
}

func nonEmpty(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// Help is all the keys.
func (s *Screen) Help() []screen.Section {
	return []screen.Section{{Head: "At the start", Keys: [][2]string{
		{"1 to 9", "go on with that job"}, {"n", "new job"}, {"r", "replay a record"}, {"t", "train"}, {"p", "preferences"},
		{"j k", "down, up; enter chooses"}, {"m", "switch between US and SI units"}, {"h", "theme: dark, light, high contrast, none"}, {"q", "leave"},
	}}}
}
