package live

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/ui/form"
	"chargehand/ui/part"
	"chargehand/ui/say"
)

// noteSheet takes a remark.
type noteSheet struct {
	blank
	amends *charge.Event
}

func newNote(*Screen) *noteSheet {
	return &noteSheet{blank: blankOf(form.Field{Name: "text", Label: "note", Type: form.Free})}
}

func amendNote(e charge.Event, b *charge.Note) *noteSheet {
	n := newNote(nil)
	n.amends = &e
	n.form.Fields[0].Set(string(b.Text))
	return n
}

func (n *noteSheet) title() string { return "note" }

func (n *noteSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	if out := n.typed(k); out != form.Accept {
		return nil, out
	}
	b := &charge.Note{}
	text := n.form.Value("text")
	if text == "" {
		return nil, form.Back
	}
	if err := b.Text.UnmarshalText([]byte(text)); err != nil {
		n.msg = sentence(err.Error())
		return nil, form.Ignored
	}
	return s.replacing(n.amends, b), form.Accept
}

func (n *noteSheet) lines(s *Screen, w, h int) []string {
	return append(n.form.Lines(w, h, s.look.Theme), mindLines(s, n.msg, w)...)
}

func (n *noteSheet) keys() [][2]string {
	return [][2]string{{"enter", "enter it; leave when empty"}}
}

func mindLines(s *Screen, msg string, w int) []string {
	var out []string
	for _, l := range part.Wrap(msg, w) {
		out = append(out, s.look.Theme.Mind.Render(l))
	}
	return out
}

// finishSheet closes the job.
type finishSheet struct{ blank }

func newFinish(s *Screen) *finishSheet {
	p := s.desk.Picture()
	why := form.Field{Name: "why", Label: "why it ends here", Type: form.Free}
	if p.Advice.Action == charge.Stop && len(p.Advice.Stops) > 0 {
		why.Default = say.RuleWords(p.Advice, p.Advice.Stops[0].Rule)
	}
	return &finishSheet{blankOf(form.Field{Name: "cylinder_end", Label: "cylinder now"}, why)}
}

func (f *finishSheet) title() string { return "finish" }

func (f *finishSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	if leaves(k) && f.form.At == 0 {
		return nil, form.Back
	}
	if out := f.typed(k); out != form.Accept {
		return nil, out
	}
	b := &charge.Close{}
	if t := f.form.Value("cylinder_end"); t != "" {
		m, err := q.ParseMassIn(t, s.look.Units.CylinderUnit())
		if err != nil {
			f.msg = sentence(parseWords(err))
			f.form.Focus("cylinder_end")
			return nil, form.Ignored
		}
		b.CylinderEnd = m
	}
	if err := b.Why.UnmarshalText([]byte(f.form.Value("why"))); err != nil {
		f.msg = sentence(err.Error())
		return nil, form.Ignored
	}
	return []charge.Event{s.at(b)}, form.Accept
}

func (f *finishSheet) lines(s *Screen, w, h int) []string {
	out := f.form.Lines(w, h, s.look.Theme)
	if f.msg != "" {
		return append(out, mindLines(s, f.msg, w)...)
	}
	for _, l := range part.Wrap("Hoses emptied, caps on, ports tried for leaks, label written.", w) {
		out = append(out, s.look.Theme.Faint.Render(l))
	}
	return out
}

func (f *finishSheet) keys() [][2]string {
	return [][2]string{{"enter", "close the job"}, {"tab", "next"}, {"x, esc", "leave"}}
}

// askSheet asks one question, answered by Enter or x.
type askSheet struct {
	head, asks string
	event      charge.Event
	msg        string
}

func (a *askSheet) title() string    { return a.head }
func (a *askSheet) problem(m string) { a.msg = m }

func (a *askSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	switch name := k.String(); {
	case k.Type == tea.KeyEnter, name == "y":
		a.event.At = s.at(nil).At
		return []charge.Event{a.event}, form.Accept
	case k.Type == tea.KeyEsc, name == "x", name == "q", name == "n":
		return nil, form.Back
	}
	return nil, form.Ignored
}

func (a *askSheet) lines(s *Screen, w, h int) []string {
	out := part.Wrap(a.asks, w)
	return append(out, mindLines(s, a.msg, w)...)
}

func (a *askSheet) keys() [][2]string {
	return [][2]string{{"enter", "yes"}, {"x", "no, leave"}}
}

// undo asks whether to take the last entry back.
func (s *Screen) undo() tea.Cmd {
	steps := s.desk.Picture().Steps
	for i := len(steps) - 1; i > 0; i-- {
		if takeable(steps[i]) {
			s.sheet = takeBack(s, steps[i])
			s.said = ""
			return nil
		}
	}
	s.tell(false, "There is nothing to take back; s amends the setup.")
	return nil
}

func takeable(st charge.Step) bool {
	return !st.Voided && st.Event.Kind() != charge.KindVoid
}

func takeBack(s *Screen, st charge.Step) *askSheet {
	return &askSheet{
		head: "take back",
		asks: fmt.Sprintf("Take back entry %d of %s, %s? It stays in the record, marked as taken back.",
			st.Event.N, s.look.Clock(st.Event.At), entryWords(s, st)),
		event: charge.Event{Body: &charge.Void{Voids: charge.EventNumber(st.Event.N), Why: "taken back"}},
	}
}

// amendSheet picks an earlier entry in the table.
type amendSheet struct{ msg string }

func (s *Screen) amend() tea.Cmd {
	steps := s.desk.Picture().Steps
	s.pick = -1
	for i := len(steps) - 1; i >= 0; i-- {
		if takeable(steps[i]) {
			s.pick = i
			break
		}
	}
	if s.pick < 0 {
		return nil
	}
	s.sheet, s.said = &amendSheet{}, ""
	return nil
}

func (a *amendSheet) title() string    { return "amend" }
func (a *amendSheet) problem(m string) { a.msg = m }

func (a *amendSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	steps := s.desk.Picture().Steps
	if s.pick < 0 || s.pick >= len(steps) {
		return nil, form.Back
	}
	move := func(by int) {
		for i := s.pick + by; i >= 0 && i < len(steps); i += by {
			if takeable(steps[i]) {
				s.pick = i
				return
			}
		}
	}
	st := steps[s.pick]
	switch name := k.String(); name {
	case "esc", "x", "q":
		return nil, form.Back
	case "up", "k", "shift+tab":
		move(-1)
	case "down", "j", "tab", " ":
		move(1)
	case "d", "backspace":
		if s.pick == 0 {
			a.msg = "The setup is amended, not taken back: press Enter."
			return nil, form.Typing
		}
		s.sheet = takeBack(s, st)
	case "enter":
		switch b := st.Event.Body.(type) {
		case *charge.Reading:
			s.sheet = amendReading(s, st.Event, b)
		case *charge.Weighing:
			s.sheet = amendWeigh(s, st.Event, b)
		case *charge.Note:
			s.sheet = amendNote(st.Event, b)
		case *charge.Check:
			c := newChecks(s)
			for i, item := range charge.Items() {
				if item == b.Item {
					c.at = i
				}
			}
			s.sheet = c
		case *charge.Setup:
			s.sheet = newSetup(s)
		default:
			s.sheet = takeBack(s, st)
		}
	default:
		return nil, form.Ignored
	}
	return nil, form.Typing
}

func (a *amendSheet) lines(s *Screen, w, h int) []string {
	steps := s.desk.Picture().Steps
	var out []string
	if s.pick >= 0 && s.pick < len(steps) {
		st := steps[s.pick]
		out = part.Wrap(fmt.Sprintf("Entry %d of %s: %s", st.Event.N, s.look.Clock(st.Event.At), entryWords(s, st)), w)
	}
	return append(out, mindLines(s, a.msg, w)...)
}

func (a *amendSheet) keys() [][2]string {
	return [][2]string{{"j k", "down, up"}, {"enter", "correct it"}, {"d", "take it back"}, {"x", "leave"}}
}
