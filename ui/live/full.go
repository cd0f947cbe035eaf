package live

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/ui/part"
	"chargehand/ui/say"
)

// full is the advice in full, over the screen: every reason, question, cause
// and rule with where it comes from. nil while it is shut.
type full struct{ top int }

// fullKey moves through the text; any key that does not move shuts it.
func (s *Screen) fullKey(k tea.KeyMsg) {
	room := max(s.h-2, 1)
	last := max(len(s.fullLines(s.w))-room, 0)
	switch k.String() {
	case "down", "j", " ", "pgdown", "enter", "tab":
		if s.full.top >= last {
			s.full = nil
			return
		}
		s.full.top = min(s.full.top+max(room/2, 1), last)
	case "up", "k", "pgup", "backspace":
		s.full.top = max(s.full.top-max(room/2, 1), 0)
	default:
		s.full = nil
	}
}

func (s *Screen) fullView(w, h int) []string {
	lines := s.fullLines(w)
	room := max(h-1, 1)
	top := min(s.full.top, max(len(lines)-room, 0))
	body := append([]string(nil), lines[top:min(top+room, len(lines))]...)
	for len(body) < room {
		body = append(body, "")
	}
	return append(body, Hints(s.look, [][2]string{{"space", "more"}, {"k", "up"}, {"q", "back"}}, w))
}

func (s *Screen) fullLines(w int) []string {
	p := s.shown()
	a := &p.Advice
	th, u := s.look.Theme, s.look.Units
	wide := min(w, 100)
	out := []string{Headline(s.look, s.headline(a), w)}
	para := func(head string, texts ...string) {
		var lines []string
		for _, t := range texts {
			for i, l := range part.Wrap(t, wide-4) {
				if i == 0 {
					lines = append(lines, "  "+l)
				} else {
					lines = append(lines, "    "+l)
				}
			}
		}
		if len(lines) > 0 {
			out = append(out, "", th.Label.Render(head))
			out = append(out, lines...)
		}
	}
	para("why", a.Why...)
	var stops, doubts, gates, causes, near, away []string
	for _, f := range a.Stops {
		stops = append(stops, f.Says)
	}
	for _, d := range a.Doubts {
		doubts = append(doubts, doubtWords(d))
	}
	for _, g := range a.Gates {
		gates = append(gates, fmt.Sprintf("%s (%s)", g.Asks, say.Words(g.Name)))
	}
	for _, c := range a.Causes {
		if c.P < 0.005 {
			continue
		}
		t := fmt.Sprintf("%s, %.0f\u00a0%%", say.CauseWords(c.Name), c.P*100)
		if c.Evidence != "" {
			t += ": " + strings.TrimSuffix(c.Evidence, ".") + "."
		}
		if c.Look != "" {
			t += " How to tell: " + strings.TrimSuffix(c.Look, ".") + "."
		}
		causes = append(causes, t)
	}
	for _, r := range a.Rules {
		title, room := say.Room(r, u)
		t := title + ": " + room
		if strings.HasPrefix(room, "-") {
			t = title
		}
		if r.Source != "" {
			t += " (" + r.Source + ")"
		}
		if r.Fired {
			near = append(near, t)
		} else {
			away = append(away, t)
		}
	}
	para("stopped by", stops...)
	para("doubts", doubts...)
	para("to look at first", gates...)
	para("mind", a.Cautions...)
	para("what may be the trouble", causes...)
	if a.Action != "" {
		para("inside", say.Belief(a.Belief))
		para("target", say.Target(a.Target, u, true), a.Target.Says)
	}
	para("rules that fired", near...)
	para("room left before a rule", away...)
	for i := range out {
		out[i] = part.Clip(out[i], w)
	}
	return out
}
