package quantity

import (
	"math"
	"strings"
)

// heaviest catches slips; no cylinder or system comes near (kg).
const heaviest = 1e6

// Mass is an amount of refrigerant; negative when recovered.
type Mass struct{ a amount }

var masses = newKind(kind{
	name:    "mass",
	example: "8 oz",
	units: []unitDef{
		{unit: Ounce, scale: KilogramsPerOunce, names: []string{"ounce", "ounces"}},
		{unit: Pound, scale: KilogramsPerPound, names: []string{"lbs", "pound", "pounds"}},
		{unit: Gram, scale: 1e-3},
		{unit: Kilogram, scale: 1},
	},
	compounds: []compound{{Pound, Ounce, 16}, {Kilogram, Gram, 1000}},
	fractions: true,
	check: func(_ *unitDef, si float64) string {
		if !(math.Abs(si) <= heaviest) { // NaN too
			return "more than 1000 t"
		}
		return ""
	},
})

// ParseMass reads a mass with its unit: "8 oz", "1 lb 4 oz", "8.25 lb", "227 g", "-4 oz". Errors are *ParseError.
func ParseMass(s string) (Mass, error) {
	a, err := masses.parse(s, "", false)
	return Mass{a}, err
}

// ParseMassIn reads what is typed in a screen, where a bare number is in def. With
// a default of Pound, Ounce or PoundOunce, "8-4" is 8 lb 4 oz; with PoundOunce a
// bare number is refused, since 8 lb and 8 oz are both likely.
func ParseMassIn(s string, def Unit) (Mass, error) {
	if long, ok := dashed(s); ok {
		if def != Pound && def != Ounce && def != PoundOunce {
			return Mass{}, masses.fail(s, "a dash between numbers means pounds and ounces; write 8 lb 4 oz")
		}
		s = long
	}
	if def == PoundOunce {
		a, err := masses.parse(s, Ounce, true)
		if err == nil && !strings.ContainsAny(strings.ToLower(s), "ogkl") {
			return Mass{}, masses.fail(s, "pounds or ounces? write 8-0, 8lb or 8oz")
		}
		return Mass{a}, err
	}
	a, err := masses.parse(s, def, true)
	return Mass{a}, err
}

// dashed rewrites "8-4" as "8 lb 4 oz".
func dashed(s string) (string, bool) {
	if len(s) > maxText {
		return "", false
	}
	t := strings.Trim(plain.Replace(s), " ")
	lead := ""
	if t != "" && (t[0] == '-' || t[0] == '+') {
		lead, t = t[:1], t[1:]
	}
	lb, oz, ok := strings.Cut(t, "-")
	if !ok || lb == "" || oz == "" || digits(lb) != len(lb) || strings.Trim(oz, "0123456789.,") != "" {
		return "", false
	}
	return lead + lb + " lb " + oz + " oz", true
}

// Kilograms makes a mass from kg.
func Kilograms(x float64) Mass { return Mass{masses.make(x, Kilogram)} }

// Grams makes a mass from g.
func Grams(x float64) Mass { return Mass{masses.make(x, Gram)} }

// Ounces makes a mass from oz.
func Ounces(x float64) Mass { return Mass{masses.make(x, Ounce)} }

// Pounds makes a mass from decimal lb.
func Pounds(x float64) Mass { return Mass{masses.make(x, Pound)} }

// IsZero reports that no mass was given.
func (m Mass) IsZero() bool { return m.a.unit == 0 }

// IsValid is the opposite of IsZero.
func (m Mass) IsValid() bool { return m.a.unit != 0 }

// Unit is the unit the mass was given in, "" if not given.
func (m Mass) Unit() Unit { return masses.unit(m.a) }

// Kilograms gives kg, NaN if not given.
func (m Mass) Kilograms() float64 { return masses.in(m.a, Kilogram) }

// Grams gives g, NaN if not given.
func (m Mass) Grams() float64 { return masses.in(m.a, Gram) }

// Ounces gives oz, NaN if not given.
func (m Mass) Ounces() float64 { return masses.in(m.a, Ounce) }

// Pounds gives decimal lb, NaN if not given.
func (m Mass) Pounds() float64 { return masses.in(m.a, Pound) }

// In gives the number in unit u, NaN for a unit of something else.
func (m Mass) In(u Unit) float64 { return masses.in(m.a, u) }

// String gives the text as typed, or the canonical text of a constructed value.
func (m Mass) String() string { return masses.string(m.a) }

// MarshalText is String as bytes; empty if not given.
func (m Mass) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText is ParseMass.
func (m *Mass) UnmarshalText(b []byte) (err error) {
	*m, err = ParseMass(string(b))
	return err
}
