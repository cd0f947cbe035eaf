package quantity

import "math"

// Power is a cooling capacity or an electrical power; never negative.
type Power struct{ a amount }

var powers = newKind(kind{
	name:    "power",
	example: "3 ton",
	units: []unitDef{
		{unit: Ton, scale: 12000 * wPerBTUH, names: []string{"tons"}},
		{unit: Kilowatt, scale: 1e3},
		{unit: Watt, scale: 1},
		{unit: BTUH, scale: wPerBTUH, names: []string{"btuh", "btu/hr"}},
	},
	check: func(_ *unitDef, si float64) string {
		switch {
		case math.IsNaN(si) || si > 1e9:
			return "over 1 GW"
		case si < 0:
			return "below zero"
		}
		return ""
	},
})

// ParsePower reads a power with its unit: "3 ton", "10.5 kW", "36000 Btu/h". Errors are *ParseError.
func ParsePower(s string) (Power, error) {
	a, err := powers.parse(s, "", false)
	return Power{a}, err
}

// ParsePowerIn reads what is typed in a screen, where a bare number is in def.
func ParsePowerIn(s string, def Unit) (Power, error) {
	a, err := powers.parse(s, def, true)
	return Power{a}, err
}

// Watts makes a power from W.
func Watts(x float64) Power { return Power{powers.make(x, Watt)} }

// Tons makes a power from tons of refrigeration.
func Tons(x float64) Power { return Power{powers.make(x, Ton)} }

// IsZero reports that no power was given.
func (p Power) IsZero() bool { return p.a.unit == 0 }

// IsValid is the opposite of IsZero.
func (p Power) IsValid() bool { return p.a.unit != 0 }

// Unit is the unit the power was given in, "" if not given.
func (p Power) Unit() Unit { return powers.unit(p.a) }

// Watts gives W, NaN if not given.
func (p Power) Watts() float64 { return powers.in(p.a, Watt) }

// Kilowatts gives kW, NaN if not given.
func (p Power) Kilowatts() float64 { return powers.in(p.a, Kilowatt) }

// Tons gives tons of refrigeration, NaN if not given.
func (p Power) Tons() float64 { return powers.in(p.a, Ton) }

// BTUPerHour gives Btu/h, NaN if not given.
func (p Power) BTUPerHour() float64 { return powers.in(p.a, BTUH) }

// In gives the number in unit u, NaN for a unit of something else.
func (p Power) In(u Unit) float64 { return powers.in(p.a, u) }

// String gives the text as typed, or the canonical text of a constructed value.
func (p Power) String() string { return powers.string(p.a) }

// MarshalText is String as bytes; empty if not given.
func (p Power) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText is ParsePower.
func (p *Power) UnmarshalText(b []byte) (err error) {
	*p, err = ParsePower(string(b))
	return err
}
