package quantity

import "math"

// Humidity is a relative humidity, 0 to 100 %.
type Humidity struct{ a amount }

var humidities = newKind(kind{
	name:    "humidity",
	example: "45 %",
	units: []unitDef{
		{unit: Percent, scale: 0.01, names: []string{"% rh", "%rh", "percent"}},
	},
	check: func(_ *unitDef, si float64) string {
		switch {
		case math.IsNaN(si) || si > 1:
			return "over 100 %; air holds no more"
		case si < 0:
			return "below 0 %"
		}
		return ""
	},
})

// ParseHumidity reads a humidity with its unit: "45 %". Errors are *ParseError.
func ParseHumidity(s string) (Humidity, error) {
	a, err := humidities.parse(s, "", false)
	return Humidity{a}, err
}

// ParseHumidityIn reads what is typed in a screen, where a bare number is in def.
func ParseHumidityIn(s string, def Unit) (Humidity, error) {
	a, err := humidities.parse(s, def, true)
	return Humidity{a}, err
}

// RelativeHumidity makes a humidity from percent, 0 to 100.
func RelativeHumidity(percent float64) Humidity { return Humidity{humidities.make(percent, Percent)} }

// IsZero reports that no humidity was given.
func (h Humidity) IsZero() bool { return h.a.unit == 0 }

// IsValid is the opposite of IsZero.
func (h Humidity) IsValid() bool { return h.a.unit != 0 }

// Unit is the unit the humidity was given in, "" if not given.
func (h Humidity) Unit() Unit { return humidities.unit(h.a) }

// Percent gives percent, 0 to 100, NaN if not given.
func (h Humidity) Percent() float64 { return humidities.in(h.a, Percent) }

// Fraction gives the ratio, 0 to 1, NaN if not given.
func (h Humidity) Fraction() float64 { return humidities.si(h.a) }

// In gives the number in unit u, NaN for a unit of something else.
func (h Humidity) In(u Unit) float64 { return humidities.in(h.a, u) }

// String gives the text as typed, or the canonical text of a constructed value.
func (h Humidity) String() string { return humidities.string(h.a) }

// MarshalText is String as bytes; empty if not given.
func (h Humidity) MarshalText() ([]byte, error) { return []byte(h.String()), nil }

// UnmarshalText is ParseHumidity.
func (h *Humidity) UnmarshalText(b []byte) (err error) {
	*h, err = ParseHumidity(string(b))
	return err
}
