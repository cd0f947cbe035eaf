package live

import (
	"fmt"
	"strings"

	"chargehand/charge"
	"chargehand/ui/part"
	"chargehand/ui/say"
	"chargehand/ui/screen"
)

// View pieces that the replay screen shows as well take a look and an advice.

// Headline is the sentence that says what to do, as wide as the screen where
// the theme has no reverse video to set it apart.
func Headline(look *screen.Look, text string, w int) string {
	text = part.Clip(" "+text+" ", w)
	if look.Theme.Name == "none" {
		return part.Clip(">>"+strings.TrimRight(text, " "), w)
	}
	return look.Theme.Loud.Render(text)
}

// Why is the reason under the headline: at most n lines.
func Why(a *charge.Advice, w, n int) []string {
	var out []string
	for _, s := range a.Why {
		out = append(out, s)
	}
	lines := part.Wrap(strings.Join(out, " "), w)
	if len(lines) > n {
		lines = lines[:n]
		if n > 0 {
			lines[n-1] = part.Clip(lines[n-1]+" …", w)
		}
	}
	return lines
}

// Minds are the questions, doubts, fired rules and cautions, hardest first,
// each behind a word that says which it is.
func Minds(look *screen.Look, a *charge.Advice, w int) []string {
	var out []string
	put := func(word, text string) {
		for i, l := range part.Wrap(word+": "+text, w) {
			if i > 0 {
				l = part.Clip("  "+l, w)
			}
			out = append(out, look.Theme.Mind.Render(l))
		}
	}
	for i, f := range a.Stops {
		if i < 2 {
			put("stop", f.Says)
		}
	}
	for _, d := range a.Doubts {
		put("doubt", doubtWords(d))
	}
	for i, g := range a.Gates {
		if i == 3 {
			put("look first", fmt.Sprintf("and %d more questions", len(a.Gates)-3))
			break
		}
		put("look first", g.Asks)
	}
	if a.Action == charge.Correct && len(a.Causes) > 0 {
		if c := a.Causes[0]; c.Look != "" {
			put("how to tell", c.Look)
		}
	}
	for _, c := range a.Cautions {
		put("caution", c)
	}
	return out
}

// Status is name and value for the state of things.
func Status(look *screen.Look, a *charge.Advice, setup charge.Setup, cylinder string, wait string, w int) []string {
	u := look.Units
	pairs := [][2]string{{"weighed in", say.Total(*a, setup, u)}}
	if wait != "" {
		pairs = append(pairs, [2]string{"waiting", wait})
	}
	if cylinder != "" {
		pairs = append(pairs, [2]string{"cylinder", cylinder})
	}
	pairs = append(pairs, [2]string{"inside", say.Belief(a.Belief)})
	if t := say.Trouble(*a); t != "" {
		pairs = append(pairs, [2]string{"trouble", t})
	}
	if t := say.Target(a.Target, u); t != "" {
		pairs = append(pairs, [2]string{"target", t})
	}
	return part.Pairs(w, look.Theme.Label.Render, pairs...)
}

// Rooms lists the stopping rules with the room left to each, nearest first, at
// most n.
func Rooms(look *screen.Look, a *charge.Advice, w, n int) []string {
	if len(a.Rules) == 0 || n < 2 {
		return nil
	}
	out := []string{look.Theme.Label.Render("room left before a stop")}
	for i, r := range a.Rules {
		if i+1 >= n {
			break
		}
		title, room := say.Room(r, look.Units)
		room = strings.TrimSuffix(room, " left")
		k := max(w-part.Width(room)-4, 4)
		out = append(out, part.Clip("  "+part.Pad(title, k)+"  "+room, w))
	}
	return out
}

// Checked is one line: what was looked at.
func Checked(checks map[charge.Item]charge.CheckState, w int) string {
	var good, bad, open []string
	for _, item := range charge.Items() {
		name := itemWords[item][0]
		switch st, ok := checks[item]; {
		case !ok || st == charge.CheckSkipped:
			open = append(open, name)
		case st == charge.CheckFaulty:
			bad = append(bad, name)
		default:
			good = append(good, name)
		}
	}
	var parts []string
	if len(bad) > 0 {
		parts = append(parts, "faulty: "+strings.Join(bad, ", "))
	}
	switch {
	case len(open) == 0:
		parts = append(parts, "all looked at")
	case len(good) == 0:
		parts = append(parts, "nothing looked at yet")
	default:
		parts = append(parts, "looked at: "+strings.Join(good, ", "))
		parts = append(parts, "open: "+strings.Join(open, ", "))
	}
	return part.Clip(strings.Join(parts, " · "), w)
}

// Hints draws keys and words in one line, as many as fit.
func Hints(look *screen.Look, keys [][2]string, w int) string {
	keys = append(append([][2]string(nil), keys...), [2]string{"?", "help"})
	line, n := "", 0
	help := keys[len(keys)-1]
	room := w - part.Width(help[0]+" "+help[1]) - 3
	for i, k := range keys {
		c := k[0] + " " + k[1]
		cw := part.Width(c)
		last := i == len(keys)-1
		if !last && n+cw > room {
			continue
		}
		if n > 0 {
			line, n = line+"   ", n+3
		}
		line += look.Theme.Key.Render(k[0]) + " " + k[1]
		n += cw
	}
	return part.Clip(line, w)
}
