package live

import (
	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/ui/form"
	"chargehand/ui/part"
)

// Sheet is a sheet a simulated roof may open: a Pick or an Ask.
type Sheet interface{ sheet }

// Pick is a sheet with a list to choose from, open until it is left.
type Pick struct {
	Title string
	Items func() []PickItem
	// Do is what a key does to the item under the cursor; nil does nothing.
	Do   map[string]func(i int) func() error
	Hint [][2]string
	at   int
	msg  string
}

// PickItem is one line of a Pick.
type PickItem struct{ Text, Note string }

func (p *Pick) title() string    { return p.Title }
func (p *Pick) problem(m string) { p.msg = m }
func (p *Pick) stays()           {}

func (p *Pick) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	n := len(p.Items())
	if n == 0 {
		return nil, form.Back
	}
	p.at = min(p.at, n-1)
	name := k.String()
	if do := p.Do[name]; do != nil {
		if s.ticket != 0 {
			return nil, form.Ignored
		}
		p.msg = ""
		if s.action = do(p.at); s.action != nil {
			return nil, form.Accept
		}
		return nil, form.Typing
	}
	switch name {
	case "down", "j", "tab", " ":
		p.at = (p.at + 1) % n
	case "up", "k", "shift+tab", "backspace":
		p.at = (p.at + n - 1) % n
	case "esc", "x", "q":
		return nil, form.Back
	default:
		if len(name) == 1 && name[0] >= '1' && name[0] <= '9' && int(name[0]-'1') < n {
			p.at = int(name[0] - '1')
		}
	}
	return nil, form.Typing
}

func (p *Pick) lines(s *Screen, w, h int) []string {
	th := s.look.Theme
	items := p.Items()
	k := 0
	for _, it := range items {
		k = max(k, part.Width(it.Text))
	}
	k = min(k, max(w-10, 4))
	var out []string
	for i, it := range items {
		mark := "  "
		if i == p.at {
			mark = "> "
		}
		line := mark + part.Pad(it.Text, k)
		if i == p.at {
			line = th.Strong.Render(line)
		}
		if n := w - k - 5; n >= 8 && it.Note != "" {
			line += "   " + th.Faint.Render(part.Clip(it.Note, n))
		}
		out = append(out, line)
	}
	foot := mindLines(s, p.msg, w)
	if room := max(h-len(foot), 2); len(out) > room {
		from := min(max(p.at-room/2, 0), len(out)-room)
		out = out[from : from+room]
	}
	return append(out, foot...)
}

func (p *Pick) keys() [][2]string {
	return append(append([][2]string(nil), p.Hint...), [2]string{"j k", "down, up"}, [2]string{"x", "leave"})
}

// Ask is a sheet with a form whose acceptance is an action.
type Ask struct {
	Title string
	Form  *form.Form
	// Do makes the action, or says what is wrong and with which field.
	Do   func(*form.Form) (action func() error, field, problem string)
	Note string
	Hint [][2]string
	msg  string
}

func (a *Ask) title() string      { return a.Title }
func (a *Ask) fields() *form.Form { return a.Form }
func (a *Ask) problem(m string)   { a.msg = m }

func (a *Ask) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	if leaves(k) && a.Form.Fields[a.Form.At].Type != form.Free {
		return nil, form.Back
	}
	out := a.Form.Key(k)
	if out == form.Typing {
		a.msg = ""
	}
	if out != form.Accept {
		return nil, out
	}
	action, field, problem := a.Do(a.Form)
	if problem != "" {
		a.msg = problem
		a.Form.Focus(field)
		return nil, form.Ignored
	}
	s.action = action
	return nil, form.Accept
}

func (a *Ask) lines(s *Screen, w, h int) []string {
	out := a.Form.Lines(w, max(h-2, 1), s.look.Theme)
	if a.msg != "" {
		return append(out, mindLines(s, a.msg, w)...)
	}
	for _, l := range part.Wrap(a.Note, w) {
		out = append(out, s.look.Theme.Faint.Render(l))
	}
	return out
}

func (a *Ask) keys() [][2]string {
	return append(append([][2]string(nil), a.Hint...), [2]string{"x", "leave"})
}
