package live

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/ui/form"
	"chargehand/ui/part"
	"chargehand/ui/say"
)

// checksSheet is the list of what to look at before and beside charging. One
// letter enters what was found and goes on to the next.
type checksSheet struct {
	at  int
	msg string
}

func newChecks(s *Screen) *checksSheet {
	c := &checksSheet{}
	checks := s.desk.Picture().Checks
	for i, item := range charge.Items() {
		if _, ok := checks[item]; !ok {
			c.at = i
			break
		}
	}
	return c
}

func (c *checksSheet) stays() {}

func (c *checksSheet) title() string    { return "checks" }
func (c *checksSheet) problem(m string) { c.msg = m }

var checkKeys = map[rune]charge.CheckState{
	'o': charge.CheckOK, 'c': charge.CheckCorrected, 'f': charge.CheckFaulty, 's': charge.CheckSkipped,
}

// What to look for, in the trade's words.
var itemWords = map[charge.Item][2]string{
	charge.Filter:          {"filter", "clean, in place"},
	charge.EvaporatorCoil:  {"evaporator coil", "clean, no frost"},
	charge.Blower:          {"blower", "wheel clean, right speed, registers open"},
	charge.CondenserCoil:   {"condenser coil", "clean and dry, panels on"},
	charge.CondenserFan:    {"condenser fan", "right way round, full speed"},
	charge.LeakSearch:      {"leak search", "searched; a leak found was mended"},
	charge.ElectricalCheck: {"electrical", "capacitor, contactor, currents; power locked out"},
}

func stateWords(c charge.CheckState) string {
	switch c {
	case charge.CheckOK:
		return "in order"
	case charge.CheckCorrected:
		return "put right"
	case charge.CheckFaulty:
		return "faulty, left"
	case charge.CheckSkipped:
		return "not looked at"
	}
	return string(c)
}

func (c *checksSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	n := len(charge.Items())
	switch k.Type {
	case tea.KeyEsc, tea.KeyEnter:
		return nil, form.Back
	case tea.KeyDown, tea.KeyTab, tea.KeySpace:
		c.at = (c.at + 1) % n
		return nil, form.Typing
	case tea.KeyUp, tea.KeyShiftTab, tea.KeyBackspace:
		c.at = (c.at + n - 1) % n
		return nil, form.Typing
	case tea.KeyRunes:
	default:
		return nil, form.Ignored
	}
	if k.Paste {
		return nil, form.Ignored
	}
	var events []charge.Event
	for _, r := range k.Runes {
		switch {
		case r == 'x' || r == 'q':
			return events, backOr(events)
		case r == 'j':
			c.at = (c.at + 1) % n
		case r == 'k':
			c.at = (c.at + n - 1) % n
		case r >= '1' && r < '1'+rune(n):
			c.at = int(r - '1')
		default:
			state, ok := checkKeys[r]
			if !ok {
				continue
			}
			events = append(events, s.at(&charge.Check{Item: charge.Items()[c.at], State: state}))
			if c.at < n-1 {
				c.at++
			}
		}
	}
	if len(events) > 0 {
		return events, form.Accept
	}
	return nil, form.Typing
}

func backOr(events []charge.Event) form.Outcome {
	if len(events) > 0 {
		return form.Accept
	}
	return form.Back
}

func (c *checksSheet) lines(s *Screen, w, h int) []string {
	th := s.look.Theme
	checks := s.desk.Picture().Checks
	var out []string
	for i, item := range charge.Items() {
		words := itemWords[item]
		mark, state := "  ", "not yet"
		if i == c.at {
			mark = "> "
		}
		if st, ok := checks[item]; ok {
			state = stateWords(st)
		}
		line := fmt.Sprintf("%s%d %s  %s", mark, i+1, part.Pad(words[0], 15), part.Pad(state, 13))
		if i == c.at {
			line = th.Strong.Render(line)
		}
		if w >= 60 {
			line += "  " + th.Faint.Render(part.Clip(words[1], w-part.Width(line)-2))
		}
		out = append(out, part.Clip(line, w))
	}
	if len(out) > h-1 && h > 1 {
		from := min(max(c.at-(h-1)/2, 0), len(out)-(h-1))
		out = out[from : from+h-1]
	}
	if c.msg != "" {
		for _, l := range part.Wrap(c.msg, w) {
			out = append(out, th.Mind.Render(l))
		}
	}
	return out
}

func (c *checksSheet) keys() [][2]string {
	return [][2]string{{"o", "in order"}, {"c", "put right"}, {"f", "faulty"}, {"s", "not looked at"}, {"j k", "up, down"}, {"enter", "back"}}
}

// checkWords is a check in the entries: "filter in order".
func checkWords(b *charge.Check) string {
	name := say.Words(string(b.Item))
	if w, ok := itemWords[b.Item]; ok {
		name = w[0]
	}
	t := name + " " + stateWords(b.State)
	if b.Note != "" {
		t += ": " + flat(b.Note)
	}
	return t
}
