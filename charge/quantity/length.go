package quantity

import "math"

// longest catches slips; no line or elevation comes near (m).
const longest = 1e5

// Length is a line length, a tube diameter or an elevation; an elevation may be negative.
type Length struct{ a amount }

var lengths = newKind(kind{
	name:    "length",
	example: "25 ft",
	units: []unitDef{
		{unit: Foot, scale: 0.3048, names: []string{"feet", "foot", "'"}},
		{unit: Inch, scale: 0.0254, names: []string{"inch", "inches", "\""}},
		{unit: Meter, scale: 1},
		{unit: Centimeter, scale: 0.01},
		{unit: Millimeter, scale: 0.001},
	},
	compounds: []compound{{Foot, Inch, 12}, {Meter, Centimeter, 100}},
	fractions: true,
	check: func(_ *unitDef, si float64) string {
		if !(math.Abs(si) <= longest) { // NaN too
			return "more than 100 km"
		}
		return ""
	},
})

// ParseLength reads a length with its unit: "900 ft", "3/8 in", "25 ft 6 in", "9.5 mm". Errors are *ParseError.
func ParseLength(s string) (Length, error) {
	a, err := lengths.parse(s, "", false)
	return Length{a}, err
}

// ParseLengthIn reads what is typed in a screen, where a bare number is in def.
func ParseLengthIn(s string, def Unit) (Length, error) {
	a, err := lengths.parse(s, def, true)
	return Length{a}, err
}

// Meters makes a length from m.
func Meters(x float64) Length { return Length{lengths.make(x, Meter)} }

// Millimeters makes a length from mm.
func Millimeters(x float64) Length { return Length{lengths.make(x, Millimeter)} }

// Feet makes a length from ft.
func Feet(x float64) Length { return Length{lengths.make(x, Foot)} }

// Inches makes a length from in.
func Inches(x float64) Length { return Length{lengths.make(x, Inch)} }

// IsZero reports that no length was given.
func (l Length) IsZero() bool { return l.a.unit == 0 }

// IsValid is the opposite of IsZero.
func (l Length) IsValid() bool { return l.a.unit != 0 }

// Unit is the unit the length was given in, "" if not given.
func (l Length) Unit() Unit { return lengths.unit(l.a) }

// Meters gives m, NaN if not given.
func (l Length) Meters() float64 { return lengths.in(l.a, Meter) }

// Millimeters gives mm, NaN if not given.
func (l Length) Millimeters() float64 { return lengths.in(l.a, Millimeter) }

// Feet gives ft, NaN if not given.
func (l Length) Feet() float64 { return lengths.in(l.a, Foot) }

// Inches gives in, NaN if not given.
func (l Length) Inches() float64 { return lengths.in(l.a, Inch) }

// In gives the number in unit u, NaN for a unit of something else.
func (l Length) In(u Unit) float64 { return lengths.in(l.a, u) }

// String gives the text as typed, or the canonical text of a constructed value.
func (l Length) String() string { return lengths.string(l.a) }

// MarshalText is String as bytes; empty if not given.
func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText is ParseLength.
func (l *Length) UnmarshalText(b []byte) (err error) {
	*l, err = ParseLength(string(b))
	return err
}
