package quantity

import "math"

// Temperature is a point on a temperature scale.
type Temperature struct{ a amount }

const (
	zeroCelsius = 273.15 // K
	zeroRankine = 459.67 // °F below 0 °F
	perDegreeF  = 5.0 / 9.0
	// highestTemperature catches slips; a burnt-out discharge line is at 500 K.
	highestTemperature = 2000
)

var temperatures = newKind(kind{
	name:    "temperature",
	example: "58 °F",
	units: []unitDef{
		{unit: Fahrenheit, scale: perDegreeF, shift: zeroRankine, names: fahrenheitNames},
		{unit: Celsius, scale: 1, shift: zeroCelsius, names: celsiusNames},
		{unit: KelvinUnit, scale: 1},
	},
	check: func(_ *unitDef, si float64) string {
		switch {
		case math.IsNaN(si) || si > highestTemperature:
			return "over 2000 K"
		case si < 0:
			return "below absolute zero (-459.67 °F, -273.15 °C)"
		}
		return ""
	},
})

var (
	fahrenheitNames = []string{"f", "° f", "degf", "deg f"}
	celsiusNames    = []string{"c", "° c", "degc", "deg c"}
)

// ParseTemperature reads a temperature with its unit: "58F", "14.4 °C", "287 K".
// Errors are *ParseError.
func ParseTemperature(s string) (Temperature, error) {
	a, err := temperatures.parse(s, "", false)
	return Temperature{a}, err
}

// ParseTemperatureIn reads what is typed in a screen, where a bare number is in def.
func ParseTemperatureIn(s string, def Unit) (Temperature, error) {
	a, err := temperatures.parse(s, def, true)
	return Temperature{a}, err
}

// Kelvins makes a temperature from K.
func Kelvins(k float64) Temperature { return Temperature{temperatures.make(k, KelvinUnit)} }

// DegreesF makes a temperature from °F.
func DegreesF(f float64) Temperature { return Temperature{temperatures.make(f, Fahrenheit)} }

// DegreesC makes a temperature from °C.
func DegreesC(c float64) Temperature { return Temperature{temperatures.make(c, Celsius)} }

// IsZero reports that no temperature was given. (0 °F is given.)
func (t Temperature) IsZero() bool { return t.a.unit == 0 }

// IsValid is the opposite of IsZero.
func (t Temperature) IsValid() bool { return t.a.unit != 0 }

// Unit is the unit the temperature was given in, "" if not given.
func (t Temperature) Unit() Unit { return temperatures.unit(t.a) }

// Kelvin gives K, NaN if not given.
func (t Temperature) Kelvin() float64 { return temperatures.si(t.a) }

// Celsius gives °C, NaN if not given.
func (t Temperature) Celsius() float64 { return temperatures.in(t.a, Celsius) }

// Fahrenheit gives °F, NaN if not given.
func (t Temperature) Fahrenheit() float64 { return temperatures.in(t.a, Fahrenheit) }

// In gives the number in unit u, NaN for a unit of something else.
func (t Temperature) In(u Unit) float64 { return temperatures.in(t.a, u) }

// Sub gives t - o, zero value if either is not given.
func (t Temperature) Sub(o Temperature) TemperatureDifference {
	return DifferenceKelvins(t.Kelvin() - o.Kelvin())
}

// String gives the text as typed, or the canonical text of a constructed value.
func (t Temperature) String() string { return temperatures.string(t.a) }

// MarshalText is String as bytes; empty if not given.
func (t Temperature) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText is ParseTemperature.
func (t *Temperature) UnmarshalText(b []byte) (err error) {
	*t, err = ParseTemperature(string(b))
	return err
}
