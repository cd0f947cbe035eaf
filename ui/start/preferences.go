package start

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	q "chargehand/charge/quantity"
	"chargehand/ui/form"
	"chargehand/ui/live"
	"chargehand/ui/part"
	"chargehand/ui/prefs"
	"chargehand/ui/screen"
	"chargehand/ui/theme"
)

// Saved tells the root that the preferences are other ones now.
type Saved struct {
	Prefs prefs.Preferences
	Err   error
}

// Preferences is the preferences screen.
type Preferences struct {
	look  *screen.Look
	prefs prefs.Preferences
	form  *form.Form
	w, h  int
	said  string
}

// NewPreferences is the screen over the present preferences.
func NewPreferences(look *screen.Look, p prefs.Preferences) *Preferences {
	yes := func(b bool) string {
		if b {
			return "yes"
		}
		return "no"
	}
	var gauges []string
	for _, u := range prefs.GaugeUnits() {
		gauges = append(gauges, string(u))
	}
	th := p.Theme
	if th == "" {
		th = theme.Names()[0]
	}
	folder := p.Folder
	if folder == "" {
		folder = prefs.DefaultFolder()
	}
	f := form.New(
		form.Field{Name: "units", Label: "units", Type: form.Choice, Choices: []string{"US", "SI"}, Default: p.System().String(), Hint: "psig, °F, oz; or barg, °C, g"},
		form.Field{Name: "pressure", Label: "gauges show", Type: form.Choice, Choices: gauges, Default: string(p.PressureUnit())},
		form.Field{Name: "elevation", Label: "elevation", Unit: string(p.System().LengthUnit()), Default: p.Elevation, Hint: "of most jobs"},
		form.Field{Name: "technician", Label: "technician", Type: form.Free, Default: p.Technician},
		form.Field{Name: "theme", Label: "theme", Type: form.Choice, Choices: theme.Names(), Default: th, Hint: "contrast for sunlight"},
		form.Field{Name: "plain", Label: "plain characters", Type: form.Choice, Choices: []string{"no", "yes"}, Default: yes(p.Plain), Hint: "where the font lacks lines and dots"},
		form.Field{Name: "bell", Label: "bell after a wait", Type: form.Choice, Choices: []string{"no", "yes"}, Default: yes(p.Bell)},
		form.Field{Name: "folder", Label: "journals' folder", Type: form.Free, Default: folder},
	)
	f.List = true
	return &Preferences{look: look, prefs: p, form: f}
}

// Init has nothing to start.
func (s *Preferences) Init() tea.Cmd { return nil }

// SetSize gives the screen its box.
func (s *Preferences) SetSize(w, h int) { s.w, s.h = w, h }

// Typing reports whether letters are text now.
func (s *Preferences) Typing() bool { return s.form.Fields[s.form.At].Type == form.Free }

// Say shows a sentence at the foot.
func (s *Preferences) Say(text string) { s.said = text }

// Update takes a message.
func (s *Preferences) Update(msg tea.Msg) tea.Cmd {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	if !s.Typing() && (k.String() == "x" || k.String() == "q") {
		return screen.Send(screen.Home{})
	}
	switch s.form.Key(k) {
	case form.Back:
		return screen.Send(screen.Home{})
	case form.Accept:
		return s.save()
	case form.Typing:
		s.said = ""
	}
	return nil
}

func (s *Preferences) save() tea.Cmd {
	p := s.prefs
	v := s.form.Value
	typed := func(name string) bool {
		for i := range s.form.Fields {
			if s.form.Fields[i].Name == name {
				return s.form.Fields[i].Typed()
			}
		}
		return false
	}
	if typed("units") {
		p.Units = strings.ToLower(v("units"))
	}
	switch {
	case typed("pressure"):
		p.Pressure = v("pressure")
	case typed("units"):
		p.Pressure = ""
	}
	if typed("elevation") {
		l, err := q.ParseLengthIn(v("elevation"), p.System().LengthUnit())
		if err != nil && v("elevation") != "" {
			s.said = "Elevation: " + err.Error()
			s.form.Focus("elevation")
			return nil
		}
		p.Elevation = l.String()
	}
	if typed("technician") {
		p.Technician = v("technician")
	}
	if typed("theme") {
		p.Theme = v("theme")
	}
	p.Plain, p.Bell = v("plain") == "yes", v("bell") == "yes"
	if typed("folder") {
		p.Folder = v("folder")
	}
	return func() tea.Msg { return Saved{p, prefs.Save(p)} }
}

// View draws the screen.
func (s *Preferences) View() string {
	if s.w <= 0 || s.h <= 0 {
		return ""
	}
	th := s.look.Theme
	var said []string
	for _, l := range part.Wrap(s.said, s.w) {
		said = append(said, th.Mind.Render(l))
	}
	body := part.Stack(s.w, s.h-1,
		part.Block{Lines: []string{th.Strong.Render("preferences")}, Rank: 1, Least: 1},
		part.Block{Lines: s.form.Lines(s.w, max(s.h-4-len(said), 2), th), Rank: 0, Least: 2, Gap: true},
		part.Block{Lines: said, Rank: 1, Least: 1, Gap: true},
		part.Block{Lines: []string{th.Faint.Render(part.Clip("kept in "+prefs.Path(), s.w))}, Rank: 4, Gap: true},
	)
	for len(body) < s.h-1 {
		body = append(body, "")
	}
	body = append(body, live.Hints(s.look, [][2]string{{"enter", "next, or keep"}, {"space", "skip"}, {"x, esc", "leave"}}, s.w))
	return strings.Join(body, "\n")
}

// Help is all the keys.
func (s *Preferences) Help() []screen.Section {
	return []screen.Section{{Head: "Preferences", Keys: [][2]string{
		{"enter", "next field; in a field nothing was typed in: keep all"},
		{"tab", "next field"}, {"a letter", "picks the choice that begins with it"}, {"esc", "leave without keeping"},
	}}}
}
