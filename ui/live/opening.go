package live

import (
	"fmt"
	"strings"

	"chargehand/charge"
	"chargehand/ui/part"
	"chargehand/ui/say"
	"chargehand/ui/screen"
)

// Opening is what a record shows while its entries are worked out: the entries
// as they were made, the newest at the foot, and nothing that would have to be
// computed.
func Opening(look *screen.Look, events []charge.Event, w, h int) string {
	if w <= 0 || h <= 0 {
		return ""
	}
	var setup charge.Setup
	var entries []string
	steps := make([]charge.Step, len(events))
	for i, e := range events {
		steps[i].Event = e
		if b, ok := e.Body.(*charge.Setup); ok {
			setup = setup.Amended(b)
		}
	}
	for i := 0; i < len(steps); i++ {
		text := asEntered(look, steps[i])
		at := look.Clock(steps[i].Event.At)
		if n, together := checksTogether(steps[i:]); n > 1 {
			text = together
			i += n - 1
		}
		entries = append(entries, part.Clip("  "+at+"  "+text, w))
	}
	foot := part.Clip("Keys pressed now wait for it.", w)
	body := part.Stack(w, h-1,
		part.Block{Lines: []string{part.Clip(say.Unit(setup), w)}, Rank: 1, Least: 1},
		part.Block{Lines: []string{Headline(look, "WORKING OUT "+strings.ToUpper(Count(len(events), "entry", "entries")), w)}, Rank: 0, Least: 1, Gap: h >= 24},
		part.Block{Lines: entries, Rank: 2, Least: 1, Tail: true, Gap: true})
	for len(body) < h-1 {
		body = append(body, "")
	}
	return strings.Join(append(body, look.Theme.Faint.Render(foot)), "\n")
}

// asEntered is one entry in the words of Words, of a reading the four values
// that were typed.
func asEntered(look *screen.Look, st charge.Step) string {
	r, ok := st.Event.Body.(*charge.Reading)
	if !ok {
		return Words(look, st)
	}
	return fmt.Sprintf("reading %s, %s", pair(r.SuctionPressure, r.LiquidPressure), pair(r.SuctionLine, r.LiquidLine))
}

// pair prints two quantities, their unit once where it is the same.
func pair(a, b fmt.Stringer) string {
	x, y := a.String(), b.String()
	if n, unit, ok := strings.Cut(x, " "); ok && strings.HasSuffix(y, " "+unit) {
		x = n
	}
	return x + " " + y
}
