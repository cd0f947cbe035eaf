package train

import (
	"fmt"
	"math"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/charge/scenario"
	"chargehand/ui/desk"
	"chargehand/ui/live"
	"chargehand/ui/part"
	"chargehand/ui/say"
	"chargehand/ui/screen"
)

// Options of a run.
type Options struct {
	Scenario scenario.Options
	Speed    float64     // simulated minutes a second while waiting, 0 at once
	Record   desk.Record // where the entries go, nil for nowhere
	Debrief  string      // file the debrief is written beside, "" for none
}

// Screen is the train screen: the story, the work, the debrief.
type Screen struct {
	look   *screen.Look
	lesson *scenario.Scenario
	opt    Options
	w, h   int

	run   *scenario.Run // the desk's while it is busy
	live  *live.Screen  // nil until the roof is set up
	stage stage
	fail  string

	hint    bool      // asked for since the last entry
	always  bool      // asked for once and for all
	hints   int       // how often
	seen    int       // entries when the hint was given
	leaving bool      // asked once whether to leave the run
	waiting float64   // minutes still to wait
	sum     *debriefs // at the end
	top     int
}

type stage int

const (
	story stage = iota
	work
	after
)

// started brings the roof, set up.
type started struct {
	run *scenario.Run
	err error
}

// New is the train screen of a lesson.
func New(look *screen.Look, lesson *scenario.Scenario, o Options) *Screen {
	return &Screen{look: look, lesson: lesson, opt: o}
}

// Init sets the roof up while the story is read.
func (s *Screen) Init() tea.Cmd {
	lesson, o := s.lesson, s.opt.Scenario
	return func() tea.Msg {
		run, err := scenario.Start(lesson, o)
		return started{run, err}
	}
}

// SetSize gives the screen its box.
func (s *Screen) SetSize(w, h int) {
	s.w, s.h = w, h
	if s.live != nil {
		s.live.SetSize(w, h)
	}
}

// Typing reports whether letters are text now.
func (s *Screen) Typing() bool { return s.stage == work && s.live != nil && s.live.Typing() }

// Path is the journal's file.
func (s *Screen) Path() string {
	if s.live == nil {
		return ""
	}
	return s.live.Path()
}

// Desk lets the root close the journal.
func (s *Screen) Desk() *desk.Desk {
	if s.live == nil {
		return desk.New(s.look.Units, nil)
	}
	return s.live.Desk()
}

// Update takes a message.
func (s *Screen) Update(msg tea.Msg) tea.Cmd {
	switch m := msg.(type) {
	case started:
		if m.err != nil {
			s.fail = m.err.Error()
			return nil
		}
		s.run = m.run
		s.live = live.New(s.look, desk.Over(roof{m.run}, s.opt.Record), charge.Setup{})
		s.live.SetWorld(s)
		s.live.SetSize(s.w, s.h)
		s.live.Say("")
		if s.opt.Record != nil {
			return s.live.Desk().Retry() // the setup goes to the journal at once
		}
		return nil
	case judged:
		if m.err != nil {
			s.fail = "The debrief could not be made: " + m.err.Error()
		}
		s.sum = m.sum
		return nil
	case screen.Tick:
		if s.waiting > 0 && s.live != nil {
			return s.chunk()
		}
	case tea.KeyMsg:
		return s.key(m)
	}
	if s.live != nil {
		return s.live.Update(msg)
	}
	return nil
}

func (s *Screen) key(k tea.KeyMsg) tea.Cmd {
	name := k.String()
	switch {
	case s.fail != "" || s.stage == story && (name == "q" || name == "esc" || name == "x"):
		return screen.Send(screen.Home{})
	case s.stage == story:
		if s.live == nil {
			return nil
		}
		if name == "enter" || name == " " {
			s.stage = work
		}
		return nil
	case s.stage == after:
		return s.afterKey(name)
	}
	return s.live.Update(k)
}

// beside is what the roof told last.
func (s *Screen) beside() beside {
	if s.live != nil {
		if b, ok := s.live.Desk().Picture().Beside.(beside); ok {
			return b
		}
	}
	return beside{clock: s.lesson.Start}
}

// Now is the time on the roof.
func (s *Screen) Now() time.Time { return s.beside().clock }

// Hides reports whether the advice is kept back.
func (s *Screen) Hides() bool {
	return !s.always && !(s.hint && s.seen == len(s.live.Desk().Picture().Steps))
}

// Strip is the roof in one or two lines.
func (s *Screen) Strip(w int) []string {
	b := s.beside()
	var looked, fixed int
	for _, it := range s.lesson.Items {
		if b.looked[it.Name] {
			looked++
		}
		if b.fixed[it.Name] {
			fixed++
		}
	}
	parts := []string{
		s.clock(b.clock) + " on the roof",
		say.Minutes(b.clock.Sub(s.lesson.Start)) + " in",
		fmt.Sprintf("looked at %d of %d", looked, len(s.lesson.Items)),
	}
	if fixed > 0 {
		parts = append(parts, fmt.Sprintf("%d put right", fixed))
	}
	if s.waiting > 0 {
		parts = append(parts, fmt.Sprintf("%.0f min more to wait", math.Ceil(s.waiting)))
	}
	th := s.look.Theme
	line := th.Strong.Render(part.Clip(strings.Join(parts, " · "), w))
	title := "training: " + s.lesson.Title
	if w >= part.Width(strings.Join(parts, " · "))+part.Width(title)+2 {
		line = part.Ends(line, title, w)
	}
	return []string{line}
}

func (s *Screen) clock(t time.Time) string { return s.look.Clock(t) }

// Keys are the hints.
func (s *Screen) Keys() [][2]string {
	if s.beside().done {
		return [][2]string{{"enter", "debrief"}, {"q", "leave"}}
	}
	return [][2]string{{"r", "read"}, {"w", "weigh"}, {"v", "wait"}, {"c", "look, put right"}, {"h", "hint"}, {"f", "finish"},
		{"n", "note"}, {"o", "set aside"}, {"a", "advice always"}, {"q", "leave"}}
}

// Key takes the keys of the roof before the log does.
func (s *Screen) Key(l *live.Screen, k string) (tea.Cmd, bool) {
	if s.beside().done {
		switch k {
		case "enter", "d", "f":
			s.stage = after
			return s.judge(), true
		case "q":
			return nil, false
		case "m", "t":
			return nil, false
		}
		return nil, true
	}
	if k != "q" {
		s.leaving = false
	}
	switch k {
	case "q":
		if !s.leaving && len(l.Desk().Picture().Steps) > 1 {
			s.leaving = true
			l.Say("The run is not finished: q again leaves it as it is.")
			return nil, true
		}
		return screen.Send(screen.Train{}), true
	case "r", "enter":
		return l.Act(func() error { _, err := s.run.Read(); return err }), true
	case "v":
		l.Open(s.waitSheet())
		return nil, true
	case "c":
		l.Open(s.lookSheet())
		return nil, true
	case "f":
		l.Open(s.finishSheet())
		return nil, true
	case "h":
		if s.Hides() {
			s.hints++
		}
		s.hint, s.seen = true, len(l.Desk().Picture().Steps)
		return nil, true
	case "a":
		s.always = !s.always
		l.Say(map[bool]string{true: "The tool's advice is shown from now on.", false: "The advice is kept back; h gives a hint."}[s.always])
		return nil, true
	case "u", "e", "s", "p":
		l.Say("On a roof nothing is taken back: what was weighed in is in, what was read was read.")
		return nil, true
	}
	if len(k) == 1 && k[0] >= '0' && k[0] <= '9' {
		l.Say("r reads: the instruments are connected.")
		return nil, true
	}
	return nil, false
}

// Done is told of every answer of the desk.
func (s *Screen) Done(l *live.Screen, d *desk.Done) tea.Cmd {
	if d.Refused != nil {
		s.waiting = 0
		return nil
	}
	if st := d.Picture.Steps; len(st) > 0 {
		switch b := st[len(st)-1].Event.Body.(type) {
		case *charge.Check:
			if b.Note != "" && len(st) != s.seen {
				l.Say(words(string(b.Item)) + ": " + string(b.Note))
			}
		case *charge.Note:
			if len(st) != s.seen {
				l.Say(string(b.Text))
			}
		}
	}
	if s.waiting > 0 {
		return s.look.Second()
	}
	if b, ok := d.Picture.Beside.(beside); ok && b.done {
		l.Say("The job is closed. Enter shows the debrief.")
	}
	return nil
}

// View draws the stage.
func (s *Screen) View() string {
	if s.w <= 0 || s.h <= 0 {
		return ""
	}
	switch {
	case s.fail != "":
		return strings.Join(part.Wrap(s.fail+" Any key goes back.", s.w), "\n")
	case s.stage == after:
		return s.afterView()
	case s.stage == work && s.live != nil:
		return s.live.View()
	}
	return s.storyView()
}

func (s *Screen) storyView() string {
	th := s.look.Theme
	w := min(s.w, 84)
	var text []string
	for i, p := range s.lesson.Story {
		if i > 0 {
			text = append(text, "")
		}
		text = append(text, part.Wrap(p, w)...)
	}
	how := part.Wrap("Read, weigh, wait, look, put right: as on a real roof, but refrigerant is free and time runs fast. The tool keeps its advice to itself until you ask for a hint.", w)
	for i := range how {
		how[i] = th.Faint.Render(how[i])
	}
	state := "setting the roof up …"
	if s.live != nil {
		state = "The gauges are on. Enter begins."
	}
	body := part.Stack(s.w, s.h-1,
		part.Block{Lines: []string{th.Strong.Render(part.Clip("training: "+s.lesson.Title, s.w))}, Rank: 1, Least: 1},
		part.Block{Lines: text, Rank: 2, Least: min(len(text), 4), Gap: true},
		part.Block{Lines: how, Rank: 4, Gap: true},
		part.Block{Lines: []string{state}, Rank: 0, Least: 1, Gap: true},
	)
	for len(body) < s.h-1 {
		body = append(body, "")
	}
	return strings.Join(append(body, live.Hints(s.look, [][2]string{{"enter", "begin"}, {"q", "leave"}}, s.w)), "\n")
}

// Say shows a sentence at the foot.
func (s *Screen) Say(text string) {
	if s.live != nil {
		s.live.Say(text)
	}
}

// Help is all the keys.
func (s *Screen) Help() []screen.Section {
	return []screen.Section{{Head: "On the simulated roof", Keys: [][2]string{
		{"r, enter", "take a full set of readings: two minutes"},
		{"w", "weigh in, or recover with a minus"},
		{"v", "wait"},
		{"c", "look at filter, coils, fans, leaks; put right what can be"},
		{"h", "a hint: what the tool would tell you now"},
		{"a", "show the tool's advice always, or not"},
		{"f", "finish: charged, or left alone and why"},
		{"n", "note"}, {"o", "set a question aside, with a reason and a name"},
		{"m t", "units, theme"}, {"q", "leave"},
	}}}
}
