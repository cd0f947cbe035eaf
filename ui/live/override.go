package live

import (
	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/ui/form"
	"chargehand/ui/part"
	"chargehand/ui/say"
)

// overrideSheet sets a question or a soft rule aside.
type overrideSheet struct {
	blank
	names []string
	asks  []string
}

func (s *Screen) override() tea.Cmd {
	p := s.desk.Picture()
	o := &overrideSheet{}
	for _, g := range p.Advice.Gates {
		o.names, o.asks = append(o.names, g.Name), append(o.asks, g.Asks)
	}
	for _, r := range p.Advice.Rules {
		if r.Fired && !r.SetAside && r.Strength != charge.Hard {
			o.names, o.asks = append(o.names, r.Name), append(o.asks, r.Title)
		}
	}
	if len(o.names) == 0 {
		s.tell(false, "There is no open question and no soft rule to set aside. Hard rules are not set aside; what is done anyway can still be entered.")
		return nil
	}
	rule := form.Field{Name: "rule", Label: "set aside", Type: form.Choice, Default: say.Words(o.names[0])}
	for _, n := range o.names {
		rule.Choices = append(rule.Choices, say.Words(n))
	}
	o.form = form.New(rule,
		form.Field{Name: "why", Label: "why", Type: form.Free},
		form.Field{Name: "by", Label: "by whom", Type: form.Free, Default: string(p.Setup.Technician)})
	o.form.List = true
	s.sheet, s.said = o, ""
	return nil
}

func (o *overrideSheet) title() string { return "set aside" }

func (o *overrideSheet) chosen() int {
	for i, n := range o.names {
		if say.Words(n) == o.form.Value("rule") {
			return i
		}
	}
	return 0
}

func (o *overrideSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	if o.form.At == 0 && leaves(k) {
		return nil, form.Back
	}
	if o.form.At == 0 && k.Type == tea.KeyEnter {
		o.form.At = 1
		return nil, form.Typing
	}
	if out := o.typed(k); out != form.Accept {
		return nil, out
	}
	b := &charge.Override{Rule: charge.Text(o.names[o.chosen()])}
	for _, f := range []struct {
		name string
		at   *charge.Text
		ask  string
	}{{"why", &b.Why, "A reason is needed: why it is right to go on."}, {"by", &b.By, "A name is needed: who decides this."}} {
		text := o.form.Value(f.name)
		if text == "" {
			o.msg = f.ask
			o.form.Focus(f.name)
			return nil, form.Ignored
		}
		if err := f.at.UnmarshalText([]byte(text)); err != nil {
			o.msg = sentence(err.Error())
			o.form.Focus(f.name)
			return nil, form.Ignored
		}
	}
	return []charge.Event{s.at(b)}, form.Accept
}

func (o *overrideSheet) lines(s *Screen, w, h int) []string {
	out := o.form.Lines(w, max(h-2, 2), s.look.Theme)
	for _, l := range part.Wrap(o.asks[o.chosen()], w) {
		out = append(out, s.look.Theme.Faint.Render(l))
	}
	return append(out, mindLines(s, o.msg, w)...)
}

func (o *overrideSheet) keys() [][2]string {
	return [][2]string{{"enter", "next, or set it aside"}, {"tab", "next"}, {"esc", "leave"}}
}
