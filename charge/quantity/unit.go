package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Unit is a unit of measure, spelt as String prints it.
type Unit string

// Units of pressure. A trailing g is gauge. (The constants for psig and psia
// carry "Unit" in their names because PSIG and PSIA are constructors.)
const (
	PSIGUnit Unit = "psig"
	PSIAUnit Unit = "psia"
	KPaG     Unit = "kPag"
	KPa      Unit = "kPa" // absolute
	BarG     Unit = "barg"
	Bar      Unit = "bar" // absolute
	MPaG     Unit = "MPag"
	MPa      Unit = "MPa" // absolute
	PaG      Unit = "Pag"
	Pa       Unit = "Pa"       // absolute
	HPa      Unit = "hPa"      // absolute; a barometer
	InHg     Unit = "inHg abs" // absolute; a barometer
	InHgVac  Unit = "inHg vac" // gauge, counted downwards from atmospheric pressure
)

// Units of temperature and of temperature difference.
const (
	Fahrenheit Unit = "°F"
	Celsius    Unit = "°C"
	KelvinUnit Unit = "K"

	// FahrenheitDegrees names Fahrenheit where a difference is meant.
	FahrenheitDegrees = Fahrenheit
)

// Units of mass.
const (
	Ounce    Unit = "oz"
	Pound    Unit = "lb"
	Gram     Unit = "g"
	Kilogram Unit = "kg"
	// PoundOunce is a style for ParseMassIn: "8-4" is 8 lb 4 oz, a bare number
	// is refused because it might be either.
	PoundOunce Unit = "lb-oz"
)

// Units of length.
const (
	Foot       Unit = "ft"
	Inch       Unit = "in"
	Meter      Unit = "m"
	Centimeter Unit = "cm"
	Millimeter Unit = "mm"
)

// Units of power, humidity and current.
const (
	Ton      Unit = "ton" // of refrigeration, 12,000 Btu/h
	Kilowatt Unit = "kW"
	Watt     Unit = "W"
	BTUH     Unit = "Btu/h"
	Percent  Unit = "%"
	Ampere   Unit = "A"
)

// Exact definitions: NIST SP 811 (2008), appendix B, by way of the
// international pound (0.45359237 kg), inch (0.0254 m), standard gravity
// (9.80665 m/s2) and the International Table Btu (1055.05585262 J).
const (
	PascalsPerPSI     = KilogramsPerPound * 9.80665 / (0.0254 * 0.0254)
	KilogramsPerPound = 0.45359237
	KilogramsPerOunce = KilogramsPerPound / 16

	paPerInHg = 3386.389 // conventional inch of mercury at 0 °C, NIST SP 811, seven figures
	wPerBTUH  = 1055.05585262 / 3600
)

// unitDef: SI value = (number + shift) * scale.
type unitDef struct {
	unit  Unit
	scale float64
	shift float64
	gauge bool
	names []string // further accepted spellings, lower case
}

// compound allows "1 lb 4 oz": count minor units make one major unit.
type compound struct {
	major, minor Unit
	count        float64
}

// kind describes a quantity: everything parsing and printing need to know.
type kind struct {
	name      string
	example   string // a well-formed text, for "no unit" errors
	units     []unitDef
	compounds []compound
	fractions bool
	refused   map[string]string // unit spelt so -> why not
	// check says what is wrong with a value, "" if nothing; si in the unit of scale.
	check func(def *unitDef, si float64) string

	byName   map[string]uint8
	accepted string
}

// newKind fills in the look-up table.
func newKind(k kind) *kind {
	k.byName = make(map[string]uint8)
	var list []string
	for i := range k.units {
		u := &k.units[i]
		k.byName[strings.ToLower(string(u.unit))] = uint8(i + 1)
		for _, n := range u.names {
			k.byName[n] = uint8(i + 1)
		}
		list = append(list, string(u.unit))
	}
	k.accepted = strings.Join(list, ", ")
	return &k
}

func (k *kind) id(u Unit) uint8 { return k.byName[strings.ToLower(string(u))] }

func (k *kind) fail(s, why string) error {
	return &ParseError{Quantity: k.name, Value: shorten(s), Why: why, Accepted: k.accepted}
}

// amount is what every quantity is made of: a number in the unit it was given
// in, and the text as typed where that is not the canonical one.
type amount struct {
	number float64
	unit   uint8 // 1 + index into kind.units; 0: not given
	text   string
}

// make gives the amount for a constructor: zero if it would not parse back.
func (k *kind) make(x float64, u Unit) amount {
	id := k.id(u)
	if id == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return amount{}
	}
	if x == 0 {
		x = 0 // no negative zero
	}
	def := &k.units[id-1]
	if k.check(def, def.si(x)) != "" {
		return amount{}
	}
	return amount{number: x, unit: id}
}

func (d *unitDef) si(x float64) float64 { return (x + d.shift) * d.scale }

// in converts to a unit of the same kind, NaN if there is none. The number as
// given comes back unchanged in its own unit.
func (k *kind) in(a amount, u Unit) float64 {
	id := k.id(u)
	if a.unit == 0 || id == 0 {
		return math.NaN()
	}
	if a.unit == id {
		return a.number
	}
	d := &k.units[id-1]
	return k.si(a)/d.scale - d.shift
}

// si gives the value in the SI unit, NaN if not given.
func (k *kind) si(a amount) float64 {
	if a.unit == 0 {
		return math.NaN()
	}
	return k.units[a.unit-1].si(a.number)
}

func (k *kind) canonical(number float64, id uint8) string {
	u := k.units[id-1].unit
	return formatNumber(number) + " " + string(u)
}

func (k *kind) string(a amount) string {
	switch {
	case a.unit == 0:
		return ""
	case a.text != "":
		return a.text
	}
	return k.canonical(a.number, a.unit)
}

// formatNumber prints the shortest text that reads back as the same number.
func formatNumber(x float64) string {
	if m := math.Abs(x); m != 0 && (m < 1e-6 || m >= 1e15) {
		return strconv.FormatFloat(x, 'e', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func (k *kind) unit(a amount) Unit {
	if a.unit == 0 {
		return ""
	}
	return k.units[a.unit-1].unit
}
