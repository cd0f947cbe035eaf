package charge

import (
	"fmt"
	"math"
	"strings"
	"time"

	q "chargehand/charge/quantity"
)

// Sentences are in the session's units. These helpers print numbers the way
// the trade says them: whole degrees, half degrees in K, tenths of an ounce.

func diff(k float64, u q.System) string {
	if !given(k) {
		return "unknown"
	}
	if u == q.SI {
		return trim(fmt.Sprintf("%.1f", k)) + " K"
	}
	return fmt.Sprintf("%.0f °F", math.Round(k/perF)+0) // +0 drops the sign of a zero
}

// diffFine is diff to a tenth, where a whole degree hides the point.
func diffFine(k float64, u q.System) string { return q.FormatDifferenceK(k, u) }

func temp(k float64, u q.System) string {
	if !given(k) {
		return "unknown"
	}
	if u == q.SI {
		return trim(fmt.Sprintf("%.1f", k-273.15)) + " °C"
	}
	return fmt.Sprintf("%.0f °F", (k-zeroF)/perF)
}

func bandText(t Target, u q.System) string {
	switch t.Of {
	case OfWeight:
		return mass(t.Mid, u)
	case OfSightGlass:
		return "a clear sight glass"
	}
	lo, hi := diff(t.Low, u), diff(t.High, u)
	if i := strings.LastIndexByte(lo, ' '); i > 0 {
		lo = lo[:i]
	}
	return lo + " to " + hi
}

func mass(kg float64, u q.System) string {
	if !given(kg) {
		return "unknown"
	}
	return q.FormatMassKg(kg, u)
}

func minutes(d time.Duration) string {
	m := int(math.Ceil(d.Minutes() - 1e-9))
	if m == 1 {
		return "1 minute"
	}
	return fmt.Sprintf("%d minutes", m)
}

func percent(x float64) string { return fmt.Sprintf("%.0f %%", x*100) }

func pressureAbs(pa float64, u q.System) string {
	if u == q.SI {
		return fmt.Sprintf("%.3f bar", pa/1e5)
	}
	return fmt.Sprintf("%.1f psia", pa/psi)
}

func trim(s string) string { return strings.TrimSuffix(s, ".0") }

// words turns "suction_pressure" or "condenser-coil" into what a person says.
func words(name string) string {
	return strings.NewReplacer("_", " ", "-", " ").Replace(name)
}

func andList(names []string) string {
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func (d Device) words() string {
	switch d {
	case FixedOrifice:
		return "a fixed orifice"
	case ExpansionValve:
		return "an expansion valve"
	}
	return "an unknown device"
}
