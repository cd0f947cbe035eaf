// Package say puts advice into the words the screens show: the sentence that
// says what to do now, the belief, the distances to the stopping rules, the
// entries. It is the one place where numbers of the engine, which are SI,
// become text in the units shown.
package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// Number prints a temperature difference without its unit, to one decimal.
func Number(k float64, u q.System) string { return bare(q.FormatDifferenceK(k, u)) }

// Whole prints a temperature difference as a whole number of degrees.
func Whole(k float64, u q.System) string {
	x := k
	if u == q.US {
		x = k * 1.8
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "-"
	}
	s := strconv.FormatFloat(math.Round(x), 'f', 0, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// Difference prints a difference with its unit.
func Difference(k float64, u q.System) string { return q.FormatDifferenceK(k, u) }

// DegreeSign is the unit of differences.
func DegreeSign(u q.System) string { return string(u.DifferenceUnit()) }

// Temperature prints a temperature without its unit, to one decimal.
func Temperature(k float64, u q.System) string { return bare(q.FormatTemperatureK(k, u)) }

// bare takes the unit off a formatted value.
func bare(s string) string {
	n, _, _ := strings.Cut(s, " ")
	return n
}

// Mass prints a mass; a sign is kept.
func Mass(kg float64, u q.System) string { return q.FormatMassKg(kg, u) }

// Pressure prints a gauge pressure at the site in the unit given, unit left off.
func Pressure(pa, barometer float64, unit q.Unit) string {
	x := q.AbsolutePascals(pa).In(unit, barometer)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "-"
	}
	return PressureNumber(x, unit)
}

// PressureNumber prints a number of a pressure unit to the digits its gauges show.
func PressureNumber(x float64, unit q.Unit) string {
	d := 0
	switch unit {
	case q.BarG, q.Bar:
		d = 2
	case q.MPaG, q.MPa:
		d = 3
	case q.PSIGUnit, q.PSIAUnit:
		d = 1
		if math.Abs(x-math.Round(x)) < 0.05 {
			d = 0
		}
	}
	return strconv.FormatFloat(x, 'f', d, 64)
}

// Minutes prints a wait: "12 min", "1 h 20 min".
func Minutes(d time.Duration) string {
	m := int(math.Ceil(d.Minutes() - 1e-9))
	switch {
	case m <= 0:
		return "0 min"
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	default:
		return fmt.Sprintf("%d h %d min", m/60, m%60)
	}
}

// Clock prints a running time: "7:40".
func Clock(d time.Duration) string {
	s := max(int(d.Seconds()), 0)
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// Words turns a name of the format into words: "low-airflow" is "low airflow".
func Words(name string) string { return strings.NewReplacer("-", " ", "_", " ").Replace(name) }

// Headline says what to do now in a few words that can be read across a roof.
// now is the present time, for a wait that is running out.
func Headline(a charge.Advice, now time.Time, u q.System) string {
	switch {
	case a.N == 0:
		return "NAME THE REFRIGERANT"
	case a.Closed:
		return "CLOSED: " + upperMass("NET "+Signed(a.TotalKg, u)+" WEIGHED IN")
	}
	switch a.Action {
	case charge.Measure:
		if items := Items(a.Needs); len(items) > 0 && len(items) == len(a.Needs) {
			return "LOOK FIRST: " + strings.ToUpper(List(items, 3))
		}
		if len(a.Needs) > 0 && a.Derived.N > 0 {
			return "READ AGAIN: " + strings.ToUpper(List(needs(a.Needs), 3))
		}
		return "TAKE A READING"
	case charge.Correct:
		if len(a.Gates) > 0 && (len(a.Causes) == 0 || chargeCause(a.Causes[0].Name)) {
			return "LOOK FIRST, DO NOT CHARGE YET"
		}
		if len(a.Causes) > 0 && !chargeCause(a.Causes[0].Name) {
			return "DO NOT CHARGE: " + strings.ToUpper(CauseWords(a.Causes[0].Name))
		}
		return "DO NOT CHARGE, PUT IT RIGHT FIRST"
	case charge.Wait:
		if left := a.WaitUntil.Sub(now); !a.WaitUntil.IsZero() {
			if left <= 0 {
				return "THE WAIT IS OVER: TAKE A READING"
			}
			return "WAIT " + strings.ToUpper(Minutes(left)) + ", THEN READ"
		}
		return "WAIT, THEN READ AGAIN"
	case charge.Add:
		return upperMass(fmt.Sprintf("ADD %s, THEN WAIT %s", Mass(a.AmountKg, u), Minutes(a.Wait)))
	case charge.Recover:
		return upperMass(fmt.Sprintf("RECOVER %s, THEN WAIT %s", Mass(a.AmountKg, u), Minutes(a.Wait)))
	case charge.Stop:
		if len(a.Stops) > 0 && !done(a.Stops[0].Rule) {
			return "STOP: " + strings.ToUpper(RuleWords(a, a.Stops[0].Rule))
		}
		return "STOP: DONE"
	}
	return strings.ToUpper(string(a.Action))
}

func done(rule string) bool { return rule == "done" || strings.HasSuffix(rule, "in-band") }

// upperMass shouts a sentence but leaves the unit of a mass as it is written.
func upperMass(s string) string {
	s = strings.ToUpper(s)
	r := strings.NewReplacer(" OZ", " oz", " LB", " lb", " KG", " kg", " G,", " g,", " G ", " g ")
	return strings.TrimSuffix(r.Replace(s+" "), " ")
}

func chargeCause(name string) bool {
	switch name {
	case "short-of-charge", "overcharge", "overcharged", "right-charge", "normal", "charge-right", "in-order":
		return true
	}
	return strings.Contains(name, "charge") && !strings.Contains(name, "discharge")
}

// RuleWords is the title of a rule, from its name where the advice has none.
func RuleWords(a charge.Advice, name string) string {
	for _, r := range a.Rules {
		if r.Name == name && r.Title != "" {
			return r.Title
		}
	}
	return Words(name)
}

// CauseWords is a cause in the trade's words.
func CauseWords(name string) string {
	switch name {
	case "low-airflow":
		return "too little indoor air"
	case "non-condensables":
		return "air or other gas in the system"
	}
	return Words(name)
}

// Items are those of the needs that are looked at, not read, in words.
func Items(needs []string) []string {
	var out []string
	for _, n := range needs {
		for _, item := range charge.Items() {
			if n == string(item) {
				out = append(out, Words(n))
			}
		}
	}
	return out
}

func needs(fields []string) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = FieldWords(f)
	}
	return out
}

// FieldWords names a field of an event in the trade's words.
func FieldWords(f string) string {
	switch f {
	case "outdoor":
		return "outdoor air"
	case "return_dry_bulb":
		return "return air"
	case "return_wet_bulb":
		return "return wet bulb"
	case "supply_dry_bulb":
		return "supply air"
	case "supply_wet_bulb":
		return "supply wet bulb"
	case "condenser_outlet_pressure":
		return "condenser outlet pressure"
	}
	return Words(f)
}

// List joins the first n of some words: "a, b and c", "a, b, c and 2 more".
func List(words []string, n int) string {
	switch k := len(words); {
	case k == 0:
		return ""
	case k == 1:
		return words[0]
	case k <= n:
		return strings.Join(words[:k-1], ", ") + " and " + words[k-1]
	default:
		return strings.Join(words[:n], ", ") + fmt.Sprintf(" and %d more", k-n)
	}
}

// Signed prints a mass with a plus or a minus.
func Signed(kg float64, u q.System) string {
	if math.IsNaN(kg) {
		return "-"
	}
	if kg < 0 {
		return "−" + Mass(-kg, u)
	}
	return "+" + Mass(kg, u)
}

// Told is the advice in a few words, for the entries table.
func Told(a charge.Advice, u q.System) string {
	switch a.Action {
	case charge.Add:
		return "add " + Mass(a.AmountKg, u)
	case charge.Recover:
		return "recover " + Mass(a.AmountKg, u)
	case charge.Wait:
		return "wait " + Minutes(a.Wait)
	case charge.Measure:
		if items := Items(a.Needs); len(items) > 0 && len(items) == len(a.Needs) {
			return "look first"
		}
		return "read"
	case charge.Correct:
		if len(a.Causes) > 0 && !chargeCause(a.Causes[0].Name) {
			return "do not charge: " + CauseWords(a.Causes[0].Name)
		}
		return "look first"
	case charge.Stop:
		if len(a.Stops) > 0 {
			return "stop: " + RuleWords(a, a.Stops[0].Rule)
		}
		return "stop"
	}
	return string(a.Action)
}
