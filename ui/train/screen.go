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
	"chargehand/ui/form"
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
	switch k {
	case "r", "enter":
		return l.Act(func() error { _, err := s.run.Read(); return err }), true
	case "v":
		l.Open(s.waitSheet())
		return nil, true
	case "c", "i":
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

// waitSheet asks how long to wait.
func (s *Screen) waitSheet() live.Sheet {
	def := 5.0
	a := s.live.Desk().Picture().Advice
	if left := a.WaitUntil.Sub(s.Now()); !a.WaitUntil.IsZero() && left > 0 && !s.Hides() {
		def = math.Ceil(left.Minutes())
	}
	return &live.Ask{
		Title: "wait",
		Form:  form.New(form.Field{Name: "minutes", Label: "minutes", Default: fmt.Sprintf("%.0f", def)}),
		Note:  "Time runs fast here.",
		Hint:  [][2]string{{"enter", "wait"}},
		Do: func(f *form.Form) (func() error, string, string) {
			m, err := minutes(f.Value("minutes"))
			if err != nil {
				return nil, "minutes", err.Error()
			}
			now := m
			if s.opt.Speed > 0 {
				now = min(m, s.opt.Speed)
			}
			s.waiting = m - now
			return func() error { return s.run.Wait(now) }, "", ""
		},
	}
}

// chunk lets the next second's worth of waiting pass.
func (s *Screen) chunk() tea.Cmd {
	m := min(s.waiting, max(s.opt.Speed, 0.1))
	s.waiting -= m
	return s.live.Act(func() error { return s.run.Wait(m) })
}

// lookSheet lists what may be looked at and put right.
func (s *Screen) lookSheet() live.Sheet {
	items := s.lesson.Items
	return &live.Pick{
		Title: "look, put right",
		Items: func() []live.PickItem {
			b := s.beside()
			out := make([]live.PickItem, len(items))
			for i, it := range items {
				note := fmt.Sprintf("not looked at; %.0f min", it.Minutes)
				switch {
				case b.fixed[it.Name]:
					note = "put right"
				case b.looked[it.Name]:
					note = it.Says
				}
				out[i] = live.PickItem{Text: words(it.Name), Note: note}
			}
			return out
		},
		Do: map[string]func(int) func() error{
			"enter": func(i int) func() error {
				return func() error { _, err := s.run.Inspect(items[i].Name); return err }
			},
			"f": func(i int) func() error {
				return func() error { _, err := s.run.Fix(items[i].Name); return err }
			},
		},
		Hint: [][2]string{{"enter", "look"}, {"f", "put right: clean, restore"}},
	}
}

// finishSheet closes the job: charged, or left alone for a reason.
func (s *Screen) finishSheet() live.Sheet {
	reasons := []string{}
	for _, c := range causes() {
		reasons = append(reasons, say.CauseWords(c))
	}
	f := form.New(
		form.Field{Name: "verdict", Label: "it is", Type: form.Choice, Choices: []string{"charged", "left alone"}, Default: "charged"},
		form.Field{Name: "cause", Label: "left because of", Type: form.Choice, Choices: reasons, Hint: "left and right, or a letter"},
	)
	f.List = true
	return &live.Ask{
		Title: "finish",
		Form:  f,
		Note:  "Charged: in its band, settled, done. Left alone: something other than charge is wrong; say what.",
		Hint:  [][2]string{{"enter", "close the job"}, {"tab", "next"}, {"← →", "choose"}},
		Do: func(f *form.Form) (func() error, string, string) {
			v := scenario.Verdict{Kind: scenario.ChargeIt}
			if f.Value("verdict") == "left alone" {
				v.Kind = scenario.LeaveIt
				for _, c := range causes() {
					if say.CauseWords(c) == f.Value("cause") {
						v.Cause = c
					}
				}
				if v.Cause == "" {
					return nil, "cause", "Say why it is left alone: pick a cause with the arrow keys or its first letter."
				}
			}
			return func() error { _, err := s.run.Finish(v); return err }, "", ""
		},
	}
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
