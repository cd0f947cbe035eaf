package train

import (
	"errors"
	"io"
	"path/filepath"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge/scenario"
	"chargehand/ui/fork"
	"chargehand/ui/live"
	"chargehand/ui/part"
	"chargehand/ui/save"
	"chargehand/ui/screen"

	q "chargehand/charge/quantity"
)

// debriefs is a debrief with its text.
type debriefs struct {
	scenario.Debrief
}

// judged brings the debrief.
type judged struct {
	sum *debriefs
	err error
}

// judge makes the debrief: it looks for the shorter path, which takes a moment.
func (s *Screen) judge() tea.Cmd {
	if s.sum != nil {
		return nil
	}
	run, beside := s.run, s.opt.Debrief
	return func() tea.Msg {
		d, err := run.Debrief()
		if err != nil {
			return judged{err: err}
		}
		return judged{sum: &debriefs{d}, err: keep(beside, d)}
	}
}

// keep writes the debrief as text and JSON beside the journal.
func keep(path string, d scenario.Debrief) error {
	if path == "" {
		return nil
	}
	base := strings.TrimSuffix(path, filepath.Ext(path)) + ".debrief"
	return errors.Join(save.File(base+".txt", func(w io.Writer) error { return d.WriteText(w, 80) }), save.File(base+".json", d.WriteJSON))
}

func (s *Screen) afterKey(k string) tea.Cmd {
	switch k {
	case "q", "esc", "x":
		return screen.Send(screen.Train{})
	case "down", "j", " ", "enter", "pgdown", "tab":
		if s.top+s.h-1 < len(s.afterLines()) {
			s.top += max((s.h-1)/2, 1)
		} else if k == "enter" {
			return screen.Send(screen.Train{})
		}
	case "up", "k", "pgup", "shift+tab":
		s.top = max(s.top-max((s.h-1)/2, 1), 0)
	case "g", "home":
		s.top = 0
	case "m":
		return screen.Send(screen.Units{})
	case "t":
		return screen.Send(screen.Restyle{})
	}
	return nil
}

// afterLines is the debrief: its text, and the fork with the hidden curve
// under the points that were taken.
func (s *Screen) afterLines() []string {
	if s.sum == nil {
		return []string{"looking at the run …"}
	}
	d := s.sum.Debrief
	d.Units = s.look.Units
	w := min(s.w, 100)
	var b strings.Builder
	if err := d.WriteText(&b, w); err != nil {
		return part.Wrap(err.Error(), w)
	}
	var out []string
	for _, l := range strings.Split(strings.TrimRight(b.String(), "\n"), "\n") {
		out = append(out, part.Clip(l, s.w))
	}
	if h := min(max(s.h-4, 8), 22); len(d.Curve) > 1 {
		chart := fork.Draw(s.underlaid(), min(s.w, 100), h, s.look.Theme)
		out = append(out, "", s.look.Theme.Label.Render(part.Clip("what was read (points) over what the system would settle at (line)", s.w)))
		out = append(out, chart...)
	}
	return out
}

// underlaid is the fork of the run with the hidden curve.
func (s *Screen) underlaid() fork.Data {
	p := s.live.Desk().Picture()
	d := live.Fork(p.Steps, p.Units)
	d.Next, d.Past = fork.Fans{}, fork.Fans{}
	for _, c := range s.sum.Curve {
		pt := fork.Point{X: c.NetKg * 1000, Y: [2]float64{c.SuperheatK, c.SubcoolingK}, Settled: true}
		if p.Units == q.US {
			pt.X = q.Kilograms(c.NetKg).Ounces()
			pt.Y[0], pt.Y[1] = pt.Y[0]*1.8, pt.Y[1]*1.8
		}
		if pt.X >= 0 {
			d.Curve = append(d.Curve, pt)
		}
	}
	return d
}

func (s *Screen) afterView() string {
	lines := s.afterLines()
	room := s.h - 1
	s.top = min(s.top, max(len(lines)-room, 0))
	body := append([]string(nil), lines[s.top:min(s.top+room, len(lines))]...)
	for len(body) < room {
		body = append(body, "")
	}
	keys := [][2]string{{"j k", "down, up"}, {"q", "lessons"}}
	return strings.Join(append(body, live.Hints(s.look, keys, s.w)), "\n")
}
