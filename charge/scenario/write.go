package scenario

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"chargehand/charge"
	"chargehand/charge/plain"
	q "chargehand/charge/quantity"
)

// WriteJSON writes the debrief as one indented object.
func (d Debrief) WriteJSON(w io.Writer) error {
	if d.Missteps == nil {
		d.Missteps = []Wrong{}
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(d)
}

// WriteAllJSON writes debriefs as one list.
func WriteAllJSON(w io.Writer, ds []Debrief) error {
	for i := range ds {
		if ds[i].Missteps == nil {
			ds[i].Missteps = []Wrong{}
		}
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(ds)
}

// WriteText writes the debrief to be read or printed, wrapped at width (0: 80).
func (d Debrief) WriteText(w io.Writer, width int) error {
	if width <= 0 {
		width = 80
	}
	width = max(width, 24)
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n\n", d.Title, strings.Repeat("=", len([]rune(d.Title))))
	b.WriteString(plain.Wrap(fmt.Sprintf("%s: %s.", upper(string(d.Grade)), strings.Join(d.Why, "; ")), "", "", width))
	b.WriteString(plain.Wrap(upper(d.Ended), "", "", width))
	b.WriteString("\nWhat was hidden\n")
	for _, h := range d.Hidden {
		b.WriteString(plain.Wrap(h, "- ", "  ", width))
	}
	b.WriteString("\nThe way you took, and the shortest sound one\n")
	b.WriteString(plain.Wrap(fmt.Sprintf("taken: %.0f minutes, %s", d.Taken.Minutes, d.Taken.Says), "- ", "  ", width))
	b.WriteString(plain.Wrap(fmt.Sprintf("shortest: %.0f minutes, %s", d.Shortest.Minutes, d.Shortest.Says), "- ", "  ", width))
	b.WriteString("\nMissteps\n")
	if len(d.Missteps) == 0 {
		b.WriteString("- none\n")
	}
	for _, m := range d.Missteps {
		head := m.What
		if m.N > 0 {
			head = at(m.At) + " " + head
		}
		if m.Grave {
			head += " (grave)"
		}
		b.WriteString(plain.Wrap(head, "- ", "  ", width))
		b.WriteString(plain.Wrap("could have been seen: "+m.Sign, "    ", "    ", width))
	}
	b.WriteString("\nWhat it teaches\n")
	b.WriteString(plain.Wrap(d.Teaches, "  ", "  ", width))
	fmt.Fprintf(&b, "\nlesson %s, seed %d\n", d.Lesson, d.Seed)
	_, err := io.WriteString(w, b.String())
	return err
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// Telling puts an event of a run into one line, with what it amounts to.
func Telling(e charge.Event, a charge.Advice, u q.System) string {
	switch b := e.Body.(type) {
	case *charge.Reading:
		d := a.Derived
		return fmt.Sprintf("read: suction %s, liquid %s, suction line %s, liquid line %s; superheat %s, subcooling %s", b.SuctionPressure, b.LiquidPressure,
			b.SuctionLine, b.LiquidLine, q.FormatDifferenceK(d.SuperheatK, u), q.FormatDifferenceK(d.SubcoolingK, u))
	case *charge.Weighing:
		if b.Amount.Kilograms() < 0 {
			return fmt.Sprintf("recovered %s", strings.TrimPrefix(b.Amount.String(), "-"))
		}
		return fmt.Sprintf("weighed in %s", b.Amount)
	case *charge.Check:
		return fmt.Sprintf("%s: %s. %s", words(string(b.Item)), b.State, b.Note)
	case *charge.Note:
		return string(b.Text)
	case *charge.Setup:
		return "setup: " + string(b.Refrigerant)
	case *charge.Close:
		return "closed: " + string(b.Why)
	}
	return string(e.Kind())
}
