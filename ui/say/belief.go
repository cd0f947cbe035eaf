package say

import (
	"fmt"
	"math"
	"strings"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// Belief says what is inside, with how sure that is, in words first.
func Belief(b charge.DeviceBelief) string {
	o, v := b.FixedOrifice, b.ExpansionValve
	switch {
	case b.Stated && b.Verdict == charge.FixedOrifice:
		return "fixed orifice, as entered"
	case b.Stated && b.Verdict == charge.ExpansionValve:
		return "expansion valve, as entered"
	case b.Verdict == charge.FixedOrifice:
		return fmt.Sprintf("a fixed orifice, %s sure", percent(o))
	case b.Verdict == charge.ExpansionValve:
		return fmt.Sprintf("an expansion valve, %s sure", percent(v))
	case !(o+v > 0) || math.Abs(o-v) < 0.1:
		return "not known: orifice or valve"
	case o > v:
		return fmt.Sprintf("leans to an orifice, %s; not sure yet", percent(o))
	default:
		return fmt.Sprintf("leans to a valve, %s; not sure yet", percent(v))
	}
}

func percent(p float64) string {
	if p > 0.99 && p < 1 {
		return "over 99\u00a0%"
	}
	return fmt.Sprintf("%.0f\u00a0%%", math.Round(p*100))
}

// Trouble names the likeliest cause with how likely it is, and where second is
// asked for the next one too; "" when none.
func Trouble(a charge.Advice, second bool) string {
	if len(a.Causes) == 0 {
		return ""
	}
	c := a.Causes[0]
	if c.P >= 0.9 || len(a.Causes) == 1 || !second {
		return fmt.Sprintf("%s, %s", CauseWords(c.Name), percent(c.P))
	}
	d := a.Causes[1]
	return fmt.Sprintf("%s, %s; or %s, %s", CauseWords(c.Name), percent(c.P), CauseWords(d.Name), percent(d.P))
}

// Target says the band, and with source where it comes from: "superheat 4 to
// 14 °F, published chart".
func Target(t charge.Target, u q.System, source bool) string {
	if !t.Defined {
		if t.Says != "" {
			return t.Says
		}
		return ""
	}
	s := ""
	switch t.Of {
	case charge.OfWeight:
		s = "weigh in " + Mass(t.Mid, u)
	case charge.OfSightGlass:
		s = "clear sight glass"
	default:
		s = fmt.Sprintf("%s %s to %s\u00a0%s", t.Of, band(t.Low, u), band(t.High, u), DegreeSign(u))
	}
	if t.Source != "" && source {
		s += ", " + t.Source
	}
	return s
}

// band prints an end of a target band: whole degrees Fahrenheit, tenths of a
// kelvin.
func band(k float64, u q.System) string {
	if u == q.SI {
		return Number(k, u)
	}
	return Whole(k, u)
}

// Limit prints a number of a rule in the unit the rule is in.
func Limit(x float64, unit string, u q.System) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "-"
	}
	switch unit {
	case "K":
		return Difference(x, u)
	case "temperature", "°", "kelvin":
		return q.FormatTemperatureK(x, u)
	case "kg":
		if x < 0 {
			return "−" + Mass(-x, u)
		}
		return Mass(x, u)
	case "Pa":
		return q.FormatPressurePa(x, u, 0)
	case "min":
		return fmt.Sprintf("%.0f min", x)
	case "ratio", "":
		return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", x), "0"), ".")
	case "%", "percent":
		return fmt.Sprintf("%.0f %%", x)
	default:
		return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.1f", x), "0"), ".") + " " + unit
	}
}

// Room says how far off a rule is: its title with the limit, and the room left.
func Room(r charge.Rule, u q.System) (title, room string) {
	unit := r.Unit
	title = r.Title
	if title == "" {
		title = Words(r.Name)
	}
	if !math.IsNaN(r.Limit) && !math.IsInf(r.Limit, 0) {
		limit := Limit(r.Limit, unit, u)
		if unit != "" && strings.Contains(title, unit) { // "steps 8", not "steps 8 steps"
			limit = strings.TrimSuffix(limit, " "+unit)
		}
		title += " " + limit
	}
	if unit == "temperature" { // room between two temperatures is a difference
		unit = "K"
	}
	switch {
	case r.SetAside:
		room = "set aside"
	case r.Fired && !math.IsNaN(r.Room):
		room = Limit(math.Abs(r.Room), unit, u) + " past it"
	case r.Fired:
		room = "reached"
	default:
		room = Limit(r.Room, unit, u) + " left"
	}
	return title, room
}

// Conditions is the air in one line: "out 85 °F · return 80/62 °F".
func Conditions(d charge.Derived, u q.System) string {
	var parts []string
	deg := string(u.TemperatureUnit())
	whole := func(k float64) string {
		s := Temperature(k, u)
		return strings.TrimSuffix(s, ".0")
	}
	if !math.IsNaN(d.OutdoorK) && d.OutdoorK > 0 {
		parts = append(parts, "out "+whole(d.OutdoorK)+" "+deg)
	}
	if !math.IsNaN(d.ReturnDryK) && d.ReturnDryK > 0 {
		s := "return " + whole(d.ReturnDryK)
		if !math.IsNaN(d.ReturnWetK) && d.ReturnWetK > 0 {
			s += "/" + whole(d.ReturnWetK)
		}
		parts = append(parts, s+" "+deg)
	}
	return strings.Join(parts, " · ")
}

// Unit is the job in one line: label, refrigerant, capacity.
func Unit(s charge.Setup) string {
	var parts []string
	if s.Unit != "" {
		parts = append(parts, strings.Join(strings.Fields(string(s.Unit)), " "))
	}
	if s.Refrigerant != "" {
		parts = append(parts, string(s.Refrigerant))
	}
	if s.Capacity.IsValid() {
		parts = append(parts, s.Capacity.String())
	}
	return strings.Join(parts, " · ")
}

// Altitude is where the gauges read zero: "sea level", "900 ft", a barometer.
func Altitude(s charge.Setup) string {
	switch {
	case s.Barometer.IsValid():
		return "barometer " + s.Barometer.String()
	case s.Elevation.IsValid():
		return s.Elevation.String()
	default:
		return "sea level"
	}
}

// Total is the running total with its share of the data plate.
func Total(a charge.Advice, s charge.Setup, u q.System) string {
	t := Mass(max(a.TotalKg, 0), u) + " net"
	if a.TotalKg == 0 && a.AddedKg == 0 {
		t = "nothing yet"
	} else if a.TotalKg < 0 {
		t = Mass(-a.TotalKg, u) + " net recovered"
	}
	if plate := s.NameplateCharge.Kilograms(); plate > 0 && a.TotalKg != 0 {
		t += fmt.Sprintf(", %.0f\u00a0%% of plate", math.Abs(a.TotalKg)/plate*100)
	}
	if a.RecoveredKg > 0 && a.AddedKg > 0 {
		t += fmt.Sprintf(" (%s in, %s out)", Mass(a.AddedKg, u), Mass(a.RecoveredKg, u))
	}
	return t
}
