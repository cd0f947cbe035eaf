package train

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge/scenario"
	"chargehand/ui/live"
	"chargehand/ui/part"
	"chargehand/ui/screen"
)

// Lessons is the list of lessons.
type Lessons struct {
	look *screen.Look
	all  []*scenario.Scenario
	at   int
	w, h int
	said string
}

// NewLessons is the list of the canned lessons.
func NewLessons(look *screen.Look) *Lessons { return &Lessons{look: look, all: scenario.All()} }

// Init has nothing to start.
func (s *Lessons) Init() tea.Cmd { return nil }

// SetSize gives the screen its box.
func (s *Lessons) SetSize(w, h int) { s.w, s.h = w, h }

// Typing is false: letters are keys here.
func (s *Lessons) Typing() bool { return false }

// Say shows a sentence at the foot.
func (s *Lessons) Say(text string) { s.said = text }

// Update takes a message.
func (s *Lessons) Update(msg tea.Msg) tea.Cmd {
	k, ok := msg.(tea.KeyMsg)
	if !ok || k.Paste || len(s.all) == 0 {
		return nil
	}
	n := len(s.all)
	s.said = ""
	switch k.String() {
	case "down", "j", "tab", " ":
		s.at = (s.at + 1) % n
	case "up", "k", "shift+tab":
		s.at = (s.at + n - 1) % n
	case "g", "home":
		s.at = 0
	case "G", "end":
		s.at = n - 1
	case "pgdown", "d":
		s.at = min(s.at+5, n-1)
	case "pgup", "u":
		s.at = max(s.at-5, 0)
	case "enter":
		return screen.Send(screen.Train{Lesson: s.all[s.at].Name})
	case "m":
		return screen.Send(screen.Units{})
	case "t":
		return screen.Send(screen.Restyle{})
	case "q", "x", "esc":
		return screen.Send(screen.Home{})
	}
	return nil
}

// View draws the list, with what the lesson under the cursor teaches.
func (s *Lessons) View() string {
	if s.w <= 0 || s.h <= 0 {
		return ""
	}
	th := s.look.Theme
	var list []string
	for i, l := range s.all {
		line := "  " + l.Title
		if i == s.at {
			line = th.Strong.Render("> " + l.Title)
		}
		list = append(list, part.Clip(line, s.w))
	}
	var teaches []string
	if s.at < len(s.all) {
		teaches = part.Wrap(s.all[s.at].Teaches, min(s.w, 90))
	}
	room := max(s.h-4-len(teaches), 1)
	if len(list) > room {
		from := min(max(s.at-room/2, 0), len(list)-room)
		list = list[from : from+room]
	}
	body := part.Stack(s.w, s.h-1,
		part.Block{Lines: []string{th.Strong.Render(part.Clip("training: choose a lesson", s.w))}, Rank: 1, Least: 1},
		part.Block{Lines: list, Rank: 0, Least: 1, Gap: true},
		part.Block{Lines: teaches, Rank: 2, Gap: true},
		part.Block{Lines: part.Wrap(s.said, s.w), Rank: 1},
	)
	for len(body) < s.h-1 {
		body = append(body, "")
	}
	return strings.Join(append(body, live.Hints(s.look, [][2]string{{"enter", "begin"}, {"j k", "down, up"}, {"q", "leave"}}, s.w)), "\n")
}

// Help is all the keys.
func (s *Lessons) Help() []screen.Section {
	return []screen.Section{{Head: "Lessons", Keys: [][2]string{
		{"enter", "begin the lesson"}, {"j k", "down, up"}, {"d u", "five on, five back"}, {"m t", "units, theme"}, {"q", "leave"},
	}}}
}
