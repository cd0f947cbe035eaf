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

// Entries draws the entries so far as a table, oldest first. pick marks one,
// -1 for none.
func Entries(look *screen.Look, steps []charge.Step, barometer float64, w, pick, unsaved int) (head string, lines []string) {
	cols := []part.Column{
		{Head: "when", Left: true},
		{Head: "what", Left: true, Rank: 9},
		{Head: "suction", Rank: 5}, {Head: "liquid", Rank: 5},
		{Head: "s-line", Rank: 6}, {Head: "l-line", Rank: 6},
		{Head: "evap", Rank: 3}, {Head: "cond", Rank: 3},
		{Head: "SH"}, {Head: "SC"},
		{Head: "told", Left: true, Rank: 2},
	}
	u := look.Units
	var rows [][]string
	for _, st := range steps {
		r, ok := st.Event.Body.(*charge.Reading)
		if !ok {
			continue
		}
		d := st.Now.Derived
		press := func(pa float64) string { return say.Pressure(pa, barometer, look.Pressure) }
		temp := func(k float64) string { return dash(say.Temperature(k, u)) }
		what := "reading"
		if r.SightGlass != "" {
			what += ", " + string(r.SightGlass)
		}
		rows = append(rows, []string{
			look.Clock(st.Event.At), what,
			press(r.SuctionPressure.Absolute(barometer)), press(r.LiquidPressure.Absolute(barometer)),
			temp(r.SuctionLine.Kelvin()), temp(r.LiquidLine.Kelvin()),
			temp(d.EvaporatingK), temp(d.CondensingK), say.Number(d.SuperheatK, u), say.Number(d.SubcoolingK, u),
			toldWords(look, st),
		})
	}
	inner := w - 2
	head, table := part.Table(inner, cols, rows)
	if len(rows) == 0 {
		head = "when   what"
	}
	k := 0
	for i := 0; i < len(steps); i++ {
		st := steps[i]
		line := ""
		if pick < 0 {
			if n, text := checksTogether(steps[i:max(i, len(steps)-unsaved)]); n > 1 {
				lines = append(lines, part.Clip("  "+look.Clock(st.Event.At)+"  "+text, w))
				i += n - 1
				continue
			}
		}
		if _, ok := st.Event.Body.(*charge.Reading); ok {
			line = table[k]
			k++
			if st.Voided {
				line = rows[k-1][0] + "  reading " + rows[k-1][8] + "/" + rows[k-1][9] + ", taken back"
			}
		} else {
			line = look.Clock(st.Event.At) + "  " + Words(look, st)
			if st.Voided {
				line += ", taken back"
			} else if st.Event.Kind() == charge.KindWeighed || st.Event.Kind() == charge.KindOverride {
				line += "  " + toldWords(look, st)
			}
		}
		mark := "  "
		if i >= len(steps)-unsaved { // the foot says in words that it is not on disk
			mark = "! "
		}
		if i == pick {
			mark = "> "
		}
		line = part.Clip(mark+line, w)
		if i == pick {
			line = look.Theme.Strong.Render(line)
		} else if st.Voided || st.Event.Kind() == charge.KindVoid {
			line = look.Theme.Faint.Render(line)
		}
		lines = append(lines, line)
	}
	return look.Theme.Label.Render(part.Clip("  "+head, w)), lines
}

func dash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

func toldWords(look *screen.Look, st charge.Step) string { return say.Told(st.Told, look.Units) }

func entryWords(s *Screen, st charge.Step) string { return Words(s.look, st) }

// Words is one entry in the technician's words.
func Words(look *screen.Look, st charge.Step) string {
	u := look.Units
	switch b := st.Event.Body.(type) {
	case *charge.Setup:
		if st.Event.N <= 1 {
			return "setup " + say.Unit(*b)
		}
		return "setup amended: " + strings.Join(setupWords(b), ", ")
	case *charge.Check:
		return checkWords(b)
	case *charge.Reading:
		d := st.Now.Derived
		return fmt.Sprintf("reading, superheat %s, subcooling %s", say.Number(d.SuperheatK, u), say.Number(d.SubcoolingK, u))
	case *charge.Weighing:
		t := "weighed " + say.Signed(b.Amount.Kilograms(), u)
		if b.Phase != "" {
			t += " as " + string(b.Phase)
		}
		if kg := b.Cylinder.Kilograms(); !math.IsNaN(kg) {
			t += ", cylinder " + cylinderText(kg, u)
		}
		return t
	case *charge.Note:
		return "note: " + flat(b.Text)
	case *charge.Override:
		return fmt.Sprintf("%s set aside by %s: %s", say.Words(string(b.Rule)), flat(b.By), flat(b.Why))
	case *charge.Void:
		return fmt.Sprintf("took back entry %d", int(b.Voids))
	case *charge.Close:
		t := "closed"
		if b.Why != "" {
			t += ": " + flat(b.Why)
		}
		return t
	}
	return string(st.Event.Kind())
}

// flat keeps a text of several lines on one.
func flat(t charge.Text) string { return strings.Join(strings.Fields(string(t)), " ") }

func setupWords(b *charge.Setup) []string {
	var out []string
	for _, f := range setupFields() {
		if v := f.show(b); v != "" {
			out = append(out, f.label+" "+v)
		} else if b.Withdrawn.Names(f.name) {
			out = append(out, f.label+" taken back")
		}
	}
	return out
}

// checksTogether puts checks entered one after the other into one line.
func checksTogether(steps []charge.Step) (n int, text string) {
	var by [4][]string
	for _, st := range steps {
		b, ok := st.Event.Body.(*charge.Check)
		if !ok || st.Voided || b.Note != "" {
			break
		}
		for i, c := range charge.CheckStates() {
			if c == b.State && i < len(by) {
				by[i] = append(by[i], itemWords[b.Item][0])
			}
		}
		n++
	}
	var parts []string
	for i, c := range charge.CheckStates() {
		if i < len(by) && len(by[i]) > 0 {
			parts = append(parts, stateWords(c)+": "+strings.Join(by[i], ", "))
		}
	}
	return n, strings.Join(parts, "; ")
}
