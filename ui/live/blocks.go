package live

import (
	"fmt"
	"math"
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
	lines := part.Wrap(strings.Join(a.Why, " "), w)
	if len(lines) > n {
		lines = lines[:n]
		if n > 0 {
			lines[n-1] = part.Clip(lines[n-1]+" …", w)
		}
	}
	return lines
}

// said is a word with the sentence behind it: "caution: …".
type said struct{ word, text string }

// block lays sentences out in at most n lines, whole ones only; what does not
// fit is counted. The first is always there, cut if it must be.
func block(look *screen.Look, all []said, w, n int) []string {
	var out []string
	left := 0
	for _, x := range all {
		lines := part.Wrap(x.word+": "+x.text, w-2)
		for i := 1; i < len(lines); i++ {
			lines[i] = "  " + lines[i]
		}
		switch {
		case len(out)+len(lines) <= n:
		case len(out) == 0 && n > 0:
			lines = lines[:n]
			lines[n-1] = part.Clip(lines[n-1]+" …", w)
		default:
			left++
			continue
		}
		out = append(out, lines...)
	}
	if left > 0 && len(out) < n {
		out = append(out, fmt.Sprintf("and %d more: i shows all", left))
	}
	for i := range out {
		out[i] = look.Theme.Mind.Render(part.Clip(out[i], w))
	}
	return out
}

// Cautions are what to mind while doing it, in at most n lines.
func Cautions(look *screen.Look, a *charge.Advice, w, n int) []string {
	var all []said
	for _, c := range a.Cautions {
		all = append(all, said{"caution", c})
	}
	return block(look, all, w, n)
}

// Minds are fired rules, doubts and open questions, hardest first, each behind
// a word that says which it is, in at most n lines.
func Minds(look *screen.Look, a *charge.Advice, w, n int) []string {
	var all []said
	why := strings.Join(a.Why, " ")
	put := func(word, text string) {
		if text != "" && !strings.Contains(why, strings.TrimSuffix(text, ".")) { // else the reason says it already
			all = append(all, said{word, text})
		}
	}
	for _, f := range a.Stops {
		put("stop", f.Says)
	}
	for _, d := range a.Doubts {
		put("doubt", doubtWords(d))
	}
	if a.Action == charge.Correct && len(a.Causes) > 0 && len(a.Gates) == 0 {
		put("how to tell", a.Causes[0].Look)
	}
	for _, g := range a.Gates {
		put("look first", g.Asks)
	}
	return block(look, all, w, n)
}

// status is name and value for the state of things.
func status(look *screen.Look, a *charge.Advice, setup charge.Setup, cylinder string, wait string, w int) []string {
	u := look.Units
	pairs := [][2]string{{"weighed in", say.Total(*a, setup, u)}}
	if wait != "" {
		pairs = append(pairs, [2]string{"waiting", wait})
	}
	if cylinder != "" {
		pairs = append(pairs, [2]string{"cylinder", cylinder})
	}
	if a.Action != "" {
		pairs = append(pairs, [2]string{"inside", say.Belief(a.Belief)})
	}
	if t := say.Trouble(*a, w >= 44); t != "" {
		pairs = append(pairs, [2]string{"trouble", t})
	}
	if t := say.Target(a.Target, u, w >= 44); t != "" {
		if w < 44 && !a.Target.Defined {
			t = part.Clip(t, 2*(w-12)) // a sentence on why there is none: the beginning of it
		}
		pairs = append(pairs, [2]string{"target", t})
	}
	return part.Pairs(w, look.Theme.Label.Render, pairs...)
}

// rooms lists the stopping rules with the room left to each, nearest first, at
// most n.
func rooms(look *screen.Look, a *charge.Advice, w, n int) []string {
	out := []string{look.Theme.Label.Render("room left before a stop")}
	for _, r := range hardFirst(a.Rules) {
		if len(out) >= n {
			break
		}
		title, room := say.Room(r, look.Units)
		room = strings.TrimSuffix(room, " left")
		k := max(w-part.Width(room)-4, 4)
		if part.Width(title) > k { // the limit goes before the name does
			if title = r.Title; title == "" {
				title = say.Words(r.Name)
			}
		}
		out = append(out, part.Clip("  "+part.Pad(title, k)+"  "+room, w))
	}
	if len(out) < 2 || n < 2 {
		return nil
	}
	return out
}

// hardFirst are the rules that are a distance, the hard ones first, each kind
// nearest first as the advice has them.
func hardFirst(rules []charge.Rule) []charge.Rule {
	var out []charge.Rule
	for _, strength := range []charge.Strength{charge.Hard, charge.Gated, charge.Caution} {
		for _, r := range rules {
			if r.Strength == strength && !math.IsNaN(r.Limit) && !math.IsNaN(r.Room) && r.Unit != "" {
				out = append(out, r)
			}
		}
	}
	return out
}

// checked is one line: what was looked at.
func checked(checks map[charge.Item]charge.CheckState, w int) string {
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
		gap := 0
		if n > 0 {
			gap = 3
		}
		if last := i == len(keys)-1; !last && n+gap+cw > room {
			continue
		}
		line, n = line+strings.Repeat(" ", gap), n+gap
		line += look.Theme.Key.Render(k[0]) + " " + k[1]
		n += cw
	}
	return part.Clip(line, w)
}
