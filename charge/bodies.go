package charge

import (
	"errors"

	q "chargehand/charge/quantity"
)

var errEventNumber = errors.New("give the number n of an earlier event, 1 or more")

// Kind names what an event is.
type Kind string

const (
	KindSetup    Kind = "setup"
	KindCheck    Kind = "check"
	KindReading  Kind = "reading"
	KindWeighed  Kind = "weighed"
	KindNote     Kind = "note"
	KindOverride Kind = "override"
	KindVoid     Kind = "void"
	KindClose    Kind = "close"
)

// Kinds lists the kinds of event.
func Kinds() []Kind {
	return []Kind{KindSetup, KindCheck, KindReading, KindWeighed, KindNote, KindOverride, KindVoid, KindClose}
}

// Body is what an event of one kind carries: *Setup, *Check, *Reading,
// *Weighing, *Note, *Override, *Void or *Close.
type Body interface {
	Kind() Kind
	fields() []field
}

// newBody returns an empty body of the kind, nil for an unknown kind.
func newBody(k Kind) Body {
	switch k {
	case KindSetup:
		return new(Setup)
	case KindCheck:
		return new(Check)
	case KindReading:
		return new(Reading)
	case KindWeighed:
		return new(Weighing)
	case KindNote:
		return new(Note)
	case KindOverride:
		return new(Override)
	case KindVoid:
		return new(Void)
	case KindClose:
		return new(Close)
	}
	return nil
}

// Setup says what the unit is. Every field but the refrigerant may be left
// out. In a later Setup the fields given replace the earlier ones, and those
// named in Withdrawn hold no longer; all others stand.
type Setup struct {
	Refrigerant         Text // "R-410A"; checked against the refrigerants known
	Unit                Text // label
	Capacity            q.Power
	Application         Application
	Arrangement         Arrangement
	Device              Device
	NameplateCharge     q.Mass
	TargetSubcooling    q.TemperatureDifference // the maker's; outranks every built-in figure
	TargetSuperheat     q.TemperatureDifference // the maker's; outranks every built-in figure
	Elevation           q.Length
	Barometer           q.Pressure // absolute; outranks Elevation
	LiquidLineOD        q.Length
	LineLength          q.Length
	FactoryLineLength   q.Length
	CylinderStart       q.Mass // scale reading before the first weighing
	CylinderRefrigerant Text
	Technician          Text
	Withdrawn           Withdrawn
}

func (*Setup) Kind() Kind { return KindSetup }

func (s *Setup) fields() []field {
	return []field{
		{"refrigerant", &s.Refrigerant, true},
		{"unit", &s.Unit, false},
		{"capacity", &s.Capacity, false},
		{"application", &s.Application, false},
		{"arrangement", &s.Arrangement, false},
		{"device", &s.Device, false},
		{"nameplate_charge", &s.NameplateCharge, false},
		{"target_subcooling", &s.TargetSubcooling, false},
		{"target_superheat", &s.TargetSuperheat, false},
		{"elevation", &s.Elevation, false},
		{"barometer", &s.Barometer, false},
		{"liquid_line_od", &s.LiquidLineOD, false},
		{"line_length", &s.LineLength, false},
		{"factory_line_length", &s.FactoryLineLength, false},
		{"cylinder_start", &s.CylinderStart, false},
		{"cylinder_refrigerant", &s.CylinderRefrigerant, false},
		{"technician", &s.Technician, false},
		{"withdrawn", &s.Withdrawn, false},
	}
}

// Check is one item looked at, and what was found.
type Check struct {
	Item  Item
	State CheckState
	Note  Text
}

func (*Check) Kind() Kind { return KindCheck }

func (c *Check) fields() []field {
	return []field{
		{"item", &c.Item, true},
		{"state", &c.State, true},
		{"note", &c.Note, false},
	}
}

// Reading is one set of instrument readings. Every field may be missing; what
// is missing lowers confidence and is asked for when it would change the
// advice.
type Reading struct {
	SuctionPressure         q.Pressure
	LiquidPressure          q.Pressure
	SuctionLine             q.Temperature
	LiquidLine              q.Temperature
	Outdoor                 q.Temperature // air entering the condenser, dry bulb
	ReturnDryBulb           q.Temperature
	ReturnWetBulb           q.Temperature
	ReturnHumidity          q.Humidity
	SupplyDryBulb           q.Temperature
	SupplyWetBulb           q.Temperature
	DischargeLine           q.Temperature
	DropLeg                 q.Temperature // condenser outlet pipe, receiver systems
	CondenserOutletPressure q.Pressure    // receiver systems
	CompressorCurrent       q.Current
	SightGlass              Glass
	Note                    Text
}

func (*Reading) Kind() Kind { return KindReading }

func (r *Reading) fields() []field {
	return []field{
		{"suction_pressure", &r.SuctionPressure, false},
		{"liquid_pressure", &r.LiquidPressure, false},
		{"suction_line", &r.SuctionLine, false},
		{"liquid_line", &r.LiquidLine, false},
		{"outdoor", &r.Outdoor, false},
		{"return_dry_bulb", &r.ReturnDryBulb, false},
		{"return_wet_bulb", &r.ReturnWetBulb, false},
		{"return_humidity", &r.ReturnHumidity, false},
		{"supply_dry_bulb", &r.SupplyDryBulb, false},
		{"supply_wet_bulb", &r.SupplyWetBulb, false},
		{"discharge_line", &r.DischargeLine, false},
		{"drop_leg", &r.DropLeg, false},
		{"condenser_outlet_pressure", &r.CondenserOutletPressure, false},
		{"compressor_current", &r.CompressorCurrent, false},
		{"sight_glass", &r.SightGlass, false},
		{"note", &r.Note, false},
	}
}

// Weighing is refrigerant moved across the scale: positive into the system,
// negative recovered from it.
type Weighing struct {
	Amount   q.Mass
	Phase    Phase
	Cylinder q.Mass // scale reading afterwards
}

func (*Weighing) Kind() Kind { return KindWeighed }

func (w *Weighing) fields() []field {
	return []field{
		{"amount", &w.Amount, true},
		{"phase", &w.Phase, false},
		{"cylinder", &w.Cylinder, false},
	}
}

// Note is a remark for the record.
type Note struct {
	Text Text
}

func (*Note) Kind() Kind { return KindNote }

func (n *Note) fields() []field { return []field{{"text", &n.Text, true}} }

// Override sets a gate or a soft rule aside, by a named person for a reason.
// Hard rules still withhold the suggestion.
type Override struct {
	Rule Text
	Why  Text
	By   Text
}

func (*Override) Kind() Kind { return KindOverride }

func (o *Override) fields() []field {
	return []field{
		{"rule", &o.Rule, true},
		{"why", &o.Why, true},
		{"by", &o.By, true},
	}
}

// Void takes an earlier event back. The event stays in the log.
type Void struct {
	Voids EventNumber
	Why   Text
}

func (*Void) Kind() Kind { return KindVoid }

func (v *Void) fields() []field {
	return []field{
		{"voids", &v.Voids, true},
		{"why", &v.Why, false},
	}
}

// Close ends the session.
type Close struct {
	CylinderEnd q.Mass
	Why         Text
}

func (*Close) Kind() Kind { return KindClose }

func (c *Close) fields() []field {
	return []field{
		{"cylinder_end", &c.CylinderEnd, false},
		{"why", &c.Why, false},
	}
}

// FieldNames lists the fields of a kind of event in the order of the format,
// nil for an unknown kind.
func FieldNames(k Kind) []string {
	b := newBody(k)
	if b == nil {
		return nil
	}
	var names []string
	for _, f := range b.fields() {
		names = append(names, f.name)
	}
	return names
}
