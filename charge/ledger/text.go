package ledger

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"chargehand/charge/plain"
	q "chargehand/charge/quantity"
)

// WriteText writes the report to be read on a terminal of 80 columns: what to
// look at first, then the accounts. It holds no escape sequences.
func (r Report) WriteText(w io.Writer, sys q.System) error {
	const width = 80
	var b strings.Builder
	unit := "lb"
	if sys == q.SI {
		unit = "kg"
	}
	mass := func(kg float64) string { return weight(kg, sys) }
	co2 := func(n Num) string {
		if math.IsNaN(float64(n)) {
			return "?"
		}
		return strconv.FormatFloat(float64(n), 'f', 1, 64)
	}
	fmt.Fprintf(&b, "%s, %s: %s %s in, %s %s out; %s t CO2e in, %s t out (GWP %s)\n", count(r.Journals, "journal"), count(len(r.Units), "unit"),
		mass(r.Total.InKg), unit, mass(r.Total.OutKg), unit, co2(r.Total.CO2eIn), co2(r.Total.CO2eOut), r.GWPReport)

	said := false
	for _, u := range r.Units {
		for k, s := range u.Says {
			if !said {
				b.WriteString("\nto look at\n")
				said = true
			}
			name := label(u.Unit)
			if k > 0 {
				name = ""
			}
			b.WriteString(plain.Wrap(s, "  "+pad(name, 22)+" ", strings.Repeat(" ", 27), width))
		}
	}
	in, out := unit+" in", unit+" out"
	fmt.Fprintf(&b, "\n%s %s %4s %8s %8s %6s %6s\n", pad("", 22), pad("", 9), "", "", "", "annual", "roll.")
	fmt.Fprintf(&b, "%s %s %4s %8s %8s %6s %6s %10s\n", pad("unit", 22), pad("holds", 9), "jobs", in, out, "% leak", "% leak", "last")
	for _, u := range r.Units {
		ann, roll := "-", "-"
		if n := len(u.Additions); n > 0 && !math.IsNaN(float64(u.Additions[n-1].Annualizing)) {
			ann = strconv.FormatFloat(float64(u.Additions[n-1].Annualizing), 'f', 1, 64)
			roll = strconv.FormatFloat(float64(u.Additions[n-1].Rolling), 'f', 1, 64)
		}
		fmt.Fprintf(&b, "%s %s %4d %8s %8s %6s %6s %10s\n", pad(label(u.Unit), 22), pad(u.Refrigerant, 9), u.Jobs, mass(u.Flow.InKg), mass(u.Flow.OutKg), ann, roll, day(u.Last))
	}
	fmt.Fprintf(&b, "\n%s %5s %8s %11s %11s %10s %10s\n", pad("refrigerant", 18), "jobs", "GWP", in, out, "t CO2e in", "out")
	for _, x := range r.Refrigerants {
		gwp := "?"
		if !math.IsNaN(float64(x.GWP)) {
			gwp = strconv.FormatFloat(float64(x.GWP), 'f', 0, 64)
		}
		fmt.Fprintf(&b, "%s %5d %8s %11s %11s %10s %10s\n", pad(x.Refrigerant, 18), x.Jobs, gwp, mass(x.Flow.InKg), mass(x.Flow.OutKg), co2(x.Flow.CO2eIn), co2(x.Flow.CO2eOut))
	}
	fmt.Fprintf(&b, "\n%s %s %5s %11s %11s %10s\n", pad("month", 10), pad("refrigerant", 16), "jobs", in, out, "t CO2e in")
	for _, x := range r.Months {
		fmt.Fprintf(&b, "%s %s %5d %11s %11s %10s\n", pad(x.Month, 10), pad(x.Refrigerant, 16), x.Jobs, mass(x.Flow.InKg), mass(x.Flow.OutKg), co2(x.Flow.CO2eIn))
	}
	if len(r.Cylinders) > 0 {
		fmt.Fprintf(&b, "\n%s %5s %9s %9s %9s %9s %11s\n", pad("cylinder, by weight", 20), "jobs", unit+" start", unit+" now", unit+" gone", unit+" steps", "last")
		for _, x := range r.Cylinders {
			fmt.Fprintf(&b, "%s %5d %9s %9s %9s %9s %11s\n", pad(x.Refrigerant, 20), x.Jobs, mass(x.StartKg), mass(x.NowKg), mass(x.OutKg), mass(x.StepsKg), day(x.Last))
		}
	}
	if len(r.Skipped) > 0 {
		fmt.Fprintf(&b, "\n%s skipped\n", count(len(r.Skipped), "file"))
		for _, s := range r.Skipped {
			b.WriteString(plain.Wrap(plain.Line(s.File)+": "+plain.Line(s.Why), "  ", "    ", width))
		}
	}
	b.WriteByte('\n')
	for _, c := range r.Cautions {
		b.WriteString(plain.Wrap(c, "", "  ", width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func label(unit string) string {
	if unit == "" {
		return "(no label)"
	}
	return plain.Line(unit)
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// pad cuts or fills s to n cells.
func pad(s string, n int) string {
	r := []rune(s)
	if len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s + strings.Repeat(" ", n-len(r))
}

// weight prints pounds or kilograms to two decimals: sums over many jobs need no
// ounces.
func weight(kg float64, sys q.System) string {
	if sys == q.SI {
		return strconv.FormatFloat(kg, 'f', 2, 64)
	}
	return strconv.FormatFloat(kg/lb, 'f', 2, 64)
}
