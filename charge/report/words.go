package report

import (
	"fmt"
	"math"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/charge/plain"
	q "chargehand/charge/quantity"
)

func hyphens(s string) string { return strings.NewReplacer("-", " ", "_", " ").Replace(s) }

func diff(k float64, u q.System) string {
	if math.IsNaN(k) {
		return "not known"
	}
	return q.FormatDifferenceK(k, u)
}

func temp(k float64, u q.System) string {
	if math.IsNaN(k) {
		return "not known"
	}
	return q.FormatTemperatureK(k, u)
}

type valued interface {
	IsZero() bool
	String() string
}

func facts(s *charge.Setup, u q.System) []Fact {
	var out []Fact
	add := func(name, value string) {
		if value != "" {
			out = append(out, Fact{name, plain.Line(value)})
		}
	}
	given := func(name string, v valued) {
		if !v.IsZero() {
			add(name, v.String())
		}
	}
	add("Refrigerant", string(s.Refrigerant))
	given("Capacity", s.Capacity)
	device := hyphens(string(s.Device))
	if device == "" {
		device = "unknown"
	}
	add("Metering device, as set up", device)
	add("Application", hyphens(string(s.Application)))
	add("Arrangement", hyphens(string(s.Arrangement)))
	given("Data plate charge", s.NameplateCharge)
	given("Target subcooling, maker's", s.TargetSubcooling)
	given("Target superheat, maker's", s.TargetSuperheat)
	given("Elevation", s.Elevation)
	given("Barometer", s.Barometer)
	if s.Elevation.IsZero() && s.Barometer.IsZero() {
		add("Barometer", "sea level assumed")
	}
	given("Liquid line", s.LiquidLineOD)
	given("Line length", s.LineLength)
	add("Cylinder", strings.TrimSpace(string(s.CylinderRefrigerant)+" "+s.CylinderStart.String()))
	add("Technician", string(s.Technician))
	return out
}

// what puts an event into words, quantities as they were typed.
func what(b charge.Body, first bool) string {
	var parts []string
	add := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	given := func(name string, v valued) {
		if !v.IsZero() {
			add("%s %s", name, v.String())
		}
	}
	text := func(format string, t charge.Text) {
		if t != "" {
			add(format, plain.Line(string(t)))
		}
	}
	switch b := b.(type) {
	case *charge.Setup:
		head := "set up: "
		if !first {
			head = "setup amended: "
		}
		text("%s", b.Refrigerant)
		text("unit %s", b.Unit)
		given("capacity", b.Capacity)
		if b.Device != "" {
			add("device %s", hyphens(string(b.Device)))
		}
		if b.Application != "" {
			add("%s", hyphens(string(b.Application)))
		}
		if b.Arrangement != "" {
			add("%s", hyphens(string(b.Arrangement)))
		}
		given("data plate", b.NameplateCharge)
		given("target subcooling", b.TargetSubcooling)
		given("target superheat", b.TargetSuperheat)
		given("elevation", b.Elevation)
		given("barometer", b.Barometer)
		given("cylinder", b.CylinderStart)
		text("cylinder of %s", b.CylinderRefrigerant)
		for _, name := range strings.Fields(string(b.Withdrawn)) {
			add("%s taken back", strings.ReplaceAll(name, "_", " "))
		}
		return head + strings.Join(parts, ", ")
	case *charge.Check:
		s := fmt.Sprintf("%s: %s", hyphens(string(b.Item)), b.State)
		if b.Note != "" {
			s += " (" + plain.Line(string(b.Note)) + ")"
		}
		return s
	case *charge.Reading:
		given("suction", b.SuctionPressure)
		given("liquid", b.LiquidPressure)
		given("suction line", b.SuctionLine)
		given("liquid line", b.LiquidLine)
		given("outdoor", b.Outdoor)
		given("return", b.ReturnDryBulb)
		given("return wet bulb", b.ReturnWetBulb)
		given("return humidity", b.ReturnHumidity)
		given("supply", b.SupplyDryBulb)
		given("supply wet bulb", b.SupplyWetBulb)
		given("discharge line", b.DischargeLine)
		given("drop leg", b.DropLeg)
		given("condenser outlet", b.CondenserOutletPressure)
		given("compressor", b.CompressorCurrent)
		if b.SightGlass != "" {
			add("sight glass %s", b.SightGlass)
		}
		text("%s", b.Note)
		return "read: " + strings.Join(parts, ", ")
	case *charge.Weighing:
		way, amount := "in", b.Amount.String()
		if b.Amount.Kilograms() < 0 {
			way, amount = "out", strings.TrimPrefix(amount, "-")
		}
		add("weighed %s %s", amount, way)
		if b.Phase != "" {
			add("as %s", b.Phase)
		}
		given("cylinder after", b.Cylinder)
		return strings.Join(parts, ", ")
	case *charge.Note:
		return "note: " + plain.Line(string(b.Text))
	case *charge.Override:
		return fmt.Sprintf("set aside %s: %s (%s)", hyphens(plain.Line(string(b.Rule))), plain.Line(string(b.Why)), plain.Line(string(b.By)))
	case *charge.Void:
		add("took back event %d", int(b.Voids))
		text("%s", b.Why)
		return strings.Join(parts, ": ")
	case *charge.Close:
		add("closed")
		text("%s", b.Why)
		s := strings.Join(parts, ": ")
		if !b.CylinderEnd.IsZero() {
			s += ", cylinder " + b.CylinderEnd.String()
		}
		return s
	}
	return ""
}

// means is what a reading amounts to.
func means(d *charge.Derived, u q.System) string {
	var parts []string
	add := func(name string, k float64, f func(float64, q.System) string) {
		if !math.IsNaN(k) {
			parts = append(parts, name+" "+f(k, u))
		}
	}
	add("superheat", d.SuperheatK, diff)
	add("subcooling", d.SubcoolingK, diff)
	add("evaporating", d.EvaporatingK, temp)
	add("condensing", d.CondensingK, temp)
	add("over outdoor air", d.OverOutdoorK, diff)
	add("split", d.SplitK, diff)
	if !d.Settled && len(parts) > 0 {
		parts = append(parts, "not settled")
	}
	return strings.Join(parts, ", ")
}

// tell puts an advice into one line of words: what to do, then why.
func tell(a *charge.Advice, u q.System) string {
	var s string
	switch a.Action {
	case charge.Measure:
		s = "measure again"
		if len(a.Needs) > 0 {
			s = "measure " + hyphens(plain.Line(strings.Join(a.Needs, ", ")))
		}
	case charge.Correct:
		s = "put something else right first, do not charge"
		if len(a.Causes) > 0 {
			s += ": " + hyphens(plain.Line(a.Causes[0].Name))
		}
	case charge.Wait:
		s = "wait " + minutes(a.Wait)
		if !a.Derived.Settled { // a settled one is read once more before it counts
			s += ", it is not settled"
		}
	case charge.Add:
		s = fmt.Sprintf("add %s, wait %s", q.FormatMassKg(a.AmountKg, u), minutes(a.Wait))
	case charge.Recover:
		s = fmt.Sprintf("recover %s, wait %s", q.FormatMassKg(a.AmountKg, u), minutes(a.Wait))
	case charge.Stop:
		s = "stop"
		if len(a.Stops) > 0 {
			s += ": " + hyphens(plain.Line(a.Stops[0].Rule))
		}
	default:
		return ""
	}
	if len(a.Why) > 0 {
		s += ". " + plain.Line(strings.Join(a.Why, " "))
	}
	if p := a.Belief.FixedOrifice; p > 0 && !a.Belief.Stated {
		s += fmt.Sprintf(" [orifice %.2f, valve %.2f]", p, a.Belief.ExpansionValve)
	}
	return s
}

func minutes(d time.Duration) string { return fmt.Sprintf("%d min", int(math.Round(d.Minutes()))) }
