package quantity

import "math"

// TemperatureDifference is a distance between two temperatures: superheat, subcooling, split,
// glide. It has no 32 °F offset.
type TemperatureDifference struct{ a amount }

var differences = newKind(kind{
	name:    "temperature difference",
	example: "13 °F",
	units: []unitDef{
		{unit: FahrenheitDegrees, scale: perDegreeF, names: fahrenheitNames},
		{unit: Celsius, scale: 1, names: celsiusNames},
		{unit: KelvinUnit, scale: 1},
	},
	check: func(_ *unitDef, si float64) string {
		switch {
		case math.IsNaN(si) || si > highestTemperature:
			return "more than 2000 K apart"
		case si < -highestTemperature:
			return "more than 2000 K apart"
		}
		return ""
	},
})

// ParseTemperatureDifference reads a temperature difference with its unit: "13 °F", "5 K", "5 °C". Errors are *ParseError.
func ParseTemperatureDifference(s string) (TemperatureDifference, error) {
	a, err := differences.parse(s, "", false)
	return TemperatureDifference{a}, err
}

// ParseTemperatureDifferenceIn reads what is typed in a screen, where a bare number is in def.
func ParseTemperatureDifferenceIn(s string, def Unit) (TemperatureDifference, error) {
	a, err := differences.parse(s, def, true)
	return TemperatureDifference{a}, err
}

// DifferenceKelvins makes a difference from K.
func DifferenceKelvins(k float64) TemperatureDifference {
	return TemperatureDifference{differences.make(k, KelvinUnit)}
}

// DifferenceFahrenheit makes a difference from Fahrenheit degrees.
func DifferenceFahrenheit(f float64) TemperatureDifference {
	return TemperatureDifference{differences.make(f, FahrenheitDegrees)}
}

// IsZero reports that no temperature difference was given.
func (d TemperatureDifference) IsZero() bool { return d.a.unit == 0 }

// IsValid is the opposite of IsZero.
func (d TemperatureDifference) IsValid() bool { return d.a.unit != 0 }

// Unit is the unit the temperature difference was given in, "" if not given.
func (d TemperatureDifference) Unit() Unit { return differences.unit(d.a) }

// Kelvins gives K, NaN if not given.
func (d TemperatureDifference) Kelvins() float64 { return differences.in(d.a, KelvinUnit) }

// FahrenheitDegrees gives Fahrenheit degrees, NaN if not given.
func (d TemperatureDifference) FahrenheitDegrees() float64 {
	return differences.in(d.a, FahrenheitDegrees)
}

// In gives the number in unit u, NaN for a unit of something else.
func (d TemperatureDifference) In(u Unit) float64 { return differences.in(d.a, u) }

// String gives the text as typed, or the canonical text of a constructed value.
func (d TemperatureDifference) String() string { return differences.string(d.a) }

// MarshalText is String as bytes; empty if not given.
func (d TemperatureDifference) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText is ParseTemperatureDifference.
func (d *TemperatureDifference) UnmarshalText(b []byte) (err error) {
	*d, err = ParseTemperatureDifference(string(b))
	return err
}
