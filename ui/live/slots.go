package live

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/ui/say"
)

// slot binds a field of the row to its place in a reading.
type slot struct {
	name, label string
	kind        string // "pressure", "temperature", "current", "glass", "text"
	stands      bool   // the last value stands as default
	only        charge.Arrangement
}

var slots = []slot{
	{"suction_pressure", "suction", "pressure", true, ""},
	{"liquid_pressure", "liquid", "pressure", true, ""},
	{"suction_line", "suction line", "temperature", true, ""},
	{"liquid_line", "liquid line", "temperature", true, ""},
	{"outdoor", "out", "temperature", true, ""},
	{"return_dry_bulb", "return", "temperature", true, ""},
	{"return_wet_bulb", "wet bulb", "temperature", true, ""},
	{"supply_dry_bulb", "supply", "temperature", false, ""},
	{"drop_leg", "drop leg", "temperature", false, charge.Receiver},
	{"condenser_outlet_pressure", "condenser outlet", "pressure", false, charge.Receiver},
	{"sight_glass", "sight glass", "glass", false, ""},
	{"discharge_line", "discharge", "temperature", false, ""},
	{"compressor_current", "amps", "current", false, ""},
	{"note", "note", "text", false, ""},
}

// shown is a value of a reading as a bare number of the units in force.
func shown(b *charge.Reading, sl slot, s *Screen) string {
	num := func(x float64, d string) string {
		if math.IsNaN(x) {
			return ""
		}
		return strings.TrimSuffix(fmt.Sprintf(d, x), ".0")
	}
	switch sl.kind {
	case "pressure":
		p := *pressureAt(b, sl.name)
		if !p.IsValid() {
			return ""
		}
		x := p.In(s.look.Pressure, s.desk.Picture().Barometer)
		if p.Unit() == s.look.Pressure {
			return bareText(p.String(), x)
		}
		return say.PressureNumber(x, s.look.Pressure)
	case "temperature":
		t := *temperatureAt(b, sl.name)
		if sl.name == "return_wet_bulb" && !t.IsValid() && b.ReturnHumidity.IsValid() {
			return num(b.ReturnHumidity.Percent(), "%.0f") + "%"
		}
		return num(t.In(s.look.Units.TemperatureUnit()), "%.1f")
	case "current":
		return num(b.CompressorCurrent.Amperes(), "%.1f")
	case "glass":
		return string(b.SightGlass)
	case "text":
		return strings.Join(strings.Fields(string(b.Note)), " ")
	}
	return ""
}

// bareText is the number of a quantity as it was typed.
func bareText(text string, x float64) string {
	if i := strings.IndexFunc(text, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != '-' }); i > 0 {
		return text[:i]
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0")
}

func pressureAt(b *charge.Reading, name string) *q.Pressure {
	switch name {
	case "suction_pressure":
		return &b.SuctionPressure
	case "liquid_pressure":
		return &b.LiquidPressure
	default:
		return &b.CondenserOutletPressure
	}
}

func temperatureAt(b *charge.Reading, name string) *q.Temperature {
	switch name {
	case "suction_line":
		return &b.SuctionLine
	case "liquid_line":
		return &b.LiquidLine
	case "outdoor":
		return &b.Outdoor
	case "return_dry_bulb":
		return &b.ReturnDryBulb
	case "return_wet_bulb":
		return &b.ReturnWetBulb
	case "supply_dry_bulb":
		return &b.SupplyDryBulb
	case "drop_leg":
		return &b.DropLeg
	default:
		return &b.DischargeLine
	}
}

func slotOf(name string) slot {
	for _, sl := range slots {
		if sl.name == name {
			return sl
		}
	}
	return slot{}
}

func copyField(to, from *charge.Reading, sl slot) {
	switch sl.kind {
	case "pressure":
		*pressureAt(to, sl.name) = *pressureAt(from, sl.name)
	case "temperature":
		*temperatureAt(to, sl.name) = *temperatureAt(from, sl.name)
		if sl.name == "return_wet_bulb" {
			to.ReturnHumidity = from.ReturnHumidity
		}
	case "current":
		to.CompressorCurrent = from.CompressorCurrent
	case "glass":
		to.SightGlass = from.SightGlass
	case "text":
		to.Note = from.Note
	}
}

func parseInto(b *charge.Reading, sl slot, text string, s *Screen) (err error) {
	switch sl.kind {
	case "pressure":
		*pressureAt(b, sl.name), err = q.ParsePressureIn(text, s.look.Pressure)
	case "temperature":
		if sl.name == "return_wet_bulb" && strings.Contains(text, "%") {
			b.ReturnHumidity, err = q.ParseHumidityIn(text, q.Percent)
			return err
		}
		*temperatureAt(b, sl.name), err = q.ParseTemperatureIn(text, s.look.Units.TemperatureUnit())
	case "current":
		b.CompressorCurrent, err = q.ParseCurrentIn(text, q.Ampere)
	case "glass":
		err = b.SightGlass.UnmarshalText([]byte(text))
	case "text":
		err = b.Note.UnmarshalText([]byte(text))
	}
	return err
}

// replacing makes the events of an entry: itself, or, where it amends an
// earlier one, the taking back of that and itself at the same time of day. The
// fold goes by the order of entries, so readings and weighings that came after
// the amended one are taken back and entered again behind it, unchanged.
func (s *Screen) replacing(old *charge.Event, b charge.Body) []charge.Event {
	if old == nil {
		return []charge.Event{s.at(b)}
	}
	void := func(n int, why charge.Text) charge.Event {
		return s.at(&charge.Void{Voids: charge.EventNumber(n), Why: why})
	}
	voids := []charge.Event{void(old.N, "amended")}
	again := []charge.Event{{At: old.At, Body: b}}
	if ordered(b) {
		for _, st := range s.desk.Picture().Steps {
			if e := st.Event; e.N > old.N && !st.Voided && ordered(e.Body) {
				voids = append(voids, void(e.N, charge.Text(fmt.Sprintf("entered again behind the amended entry %d", old.N))))
				again = append(again, charge.Event{At: e.At, Body: e.Body, Extra: e.Extra})
			}
		}
	}
	return append(voids, again...)
}

// ordered reports entries whose place among the others matters.
func ordered(b charge.Body) bool {
	switch b.(type) {
	case *charge.Reading, *charge.Weighing:
		return true
	}
	return false
}

// parseWords takes the long list of units off an error: the row says its unit.
func parseWords(err error) string {
	var p *q.ParseError
	if errors.As(err, &p) {
		return fmt.Sprintf("%s %q: %s", p.Quantity, p.Value, p.Why)
	}
	return err.Error()
}
