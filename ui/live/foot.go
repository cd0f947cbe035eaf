package live

import (
	"fmt"
	"strings"

	"chargehand/charge"
	"chargehand/ui/desk"
	"chargehand/ui/part"
	"chargehand/ui/say"
	"chargehand/ui/screen"
)

// foot is what happened last, then the keys.
func (s *Screen) foot(w int) []string {
	th := s.look.Theme
	var out []string
	for _, l := range clipLines(part.Wrap(s.said, w), 3) {
		if s.mind {
			l = th.Mind.Render(l)
		}
		out = append(out, l)
	}
	n := 1
	if w < 60 && s.h >= 22 {
		n = 2
	}
	// What is on disk stands at the right end of the keys, where it never moves.
	kept := s.kept()
	room := w
	if kept != "" {
		room = w - part.Width(kept) - 2
	}
	if room < 20 {
		kept, room = "", w
	}
	hints := []string{Hints(s.look, s.hints(), room)}
	if n > 1 {
		hints = twoLines(s.look, s.hints(), w, room)
	}
	last := len(hints) - 1
	hints[last] = part.Ends(hints[last], kept, w)
	return append(out, hints...)
}

// twoLines are the keys on two lines, the second one narrower: a phone has no
// room for all in one.
func twoLines(look *screen.Look, keys [][2]string, w, room int) []string {
	line, n := "", 0
	for i, k := range keys {
		c, gap := part.Width(k[0]+" "+k[1]), 0
		if n > 0 {
			gap = 3
		}
		if n+gap+c > w {
			return []string{line, Hints(look, keys[i:], room)}
		}
		line += strings.Repeat(" ", gap) + look.Theme.Key.Render(k[0]) + " " + k[1]
		n += gap + c
	}
	return []string{line, Hints(look, nil, room)}
}

// kept says what is on disk.
func (s *Screen) kept() string {
	p := s.desk.Picture()
	switch {
	case !p.Began():
		return ""
	case s.desk.Busy():
		return "saving …"
	case p.Unsaved > 0:
		return s.look.Theme.Mind.Render(fmt.Sprintf("%d NOT ON DISK", p.Unsaved))
	case s.Path() == "":
		return ""
	default:
		return s.look.Theme.Faint.Render(fmt.Sprintf("%d on disk", len(p.Steps)))
	}
}

// Count is a number with its noun: "1 entry", "2 entries".
func Count(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

// wait is the clock as text and bar, "" where none runs.
func (s *Screen) wait(w int) string {
	left, of, running := s.left()
	if !running {
		return ""
	}
	if left <= 0 {
		return "over: read now"
	}
	done := of - left
	text := say.Clock(done) + " of " + say.Clock(of)
	if n := w - part.Width(text) - 1; n >= 4 {
		text += " " + part.Bar(done.Seconds()/of.Seconds(), min(n, 20), s.look.Theme.ASCII)
	}
	return text
}

// shown is the picture as the screen may show it: on a simulated roof the
// tool's advice is kept back until it is asked for.
func (s *Screen) shown() *desk.Picture {
	p := s.desk.Picture()
	if s.world == nil || !s.world.Hides() {
		return p
	}
	c := *p
	c.Advice = withheld(c.Advice)
	c.Steps = append([]charge.Step(nil), p.Steps...)
	for i := range c.Steps {
		c.Steps[i].Told, c.Steps[i].Now = withheld(c.Steps[i].Told), withheld(c.Steps[i].Now)
	}
	return &c
}

// withheld is an advice with nothing left but what was measured and weighed.
func withheld(a charge.Advice) charge.Advice {
	return charge.Advice{
		N: a.N, At: a.At, Kind: a.Kind, Derived: a.Derived, TotalKg: a.TotalKg, AddedKg: a.AddedKg,
		RecoveredKg: a.RecoveredKg, Closed: a.Closed,
	}
}

func (s *Screen) headline(a *charge.Advice) string {
	if s.world != nil && s.world.Hides() && !a.Closed {
		return "WHAT DO YOU DO NOW?"
	}
	return say.Headline(*a, s.now(), s.look.Units)
}

// bigHead writes as much of the headline as fits in letters to be read at
// arm's length: all of it, or its first part, or what follows its colon.
func bigHead(text string, w int) []string {
	first, _, _ := strings.Cut(text, ", ")
	before, last, _ := strings.Cut(text, ": ")
	if strings.HasPrefix(text, "THE WAIT IS OVER") {
		before = last
	}
	for _, t := range []string{text, first, before} {
		if big := part.Big(t, w); big != nil {
			return big
		}
	}
	return nil
}
