package quantity

import "math"

// Current is an electrical current; never negative.
type Current struct{ a amount }

var currents = newKind(kind{
	name:    "current",
	example: "12.3 A",
	units: []unitDef{
		{unit: Ampere, scale: 1, names: []string{"amp", "amps"}},
	},
	check: func(_ *unitDef, si float64) string {
		switch {
		case math.IsNaN(si) || si > 1e5:
			return "over 100,000 A"
		case si < 0:
			return "below zero"
		}
		return ""
	},
})

// ParseCurrent reads a current with its unit: "12.3 A". Errors are *ParseError.
func ParseCurrent(s string) (Current, error) {
	a, err := currents.parse(s, "", false)
	return Current{a}, err
}

// ParseCurrentIn reads what is typed in a screen, where a bare number is in def.
func ParseCurrentIn(s string, def Unit) (Current, error) {
	a, err := currents.parse(s, def, true)
	return Current{a}, err
}

// Amperes makes a current from A.
func Amperes(x float64) Current { return Current{currents.make(x, Ampere)} }

// IsZero reports that no current was given.
func (c Current) IsZero() bool { return c.a.unit == 0 }

// IsValid is the opposite of IsZero.
func (c Current) IsValid() bool { return c.a.unit != 0 }

// Unit is the unit the current was given in, "" if not given.
func (c Current) Unit() Unit { return currents.unit(c.a) }

// Amperes gives A, NaN if not given.
func (c Current) Amperes() float64 { return currents.in(c.a, Ampere) }

// In gives the number in unit u, NaN for a unit of something else.
func (c Current) In(u Unit) float64 { return currents.in(c.a, u) }

// String gives the text as typed, or the canonical text of a constructed value.
func (c Current) String() string { return currents.string(c.a) }

// MarshalText is String as bytes; empty if not given.
func (c Current) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText is ParseCurrent.
func (c *Current) UnmarshalText(b []byte) (err error) {
	*c, err = ParseCurrent(string(b))
	return err
}
