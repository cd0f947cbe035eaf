package quantity

import "math"

// Pressure is a gauge or an absolute pressure, whichever was given.
type Pressure struct{ a amount }

// Below a perfect vacuum under the highest barometer ever recorded (1084.8 hPa,
// WMO archive) a gauge pressure cannot be; above 100 MPa it is a typing slip.
const (
	lowestGauge     = -110e3
	highestPressure = 100e6
)

var pressures = newKind(kind{
	name:    "pressure",
	example: "118 psig",
	units: []unitDef{
		{unit: PSIGUnit, scale: PascalsPerPSI, gauge: true, names: []string{"psi g", "psi gauge"}},
		{unit: PSIAUnit, scale: PascalsPerPSI, names: []string{"psi a", "psi abs"}},
		{unit: KPaG, scale: 1e3, gauge: true, names: []string{"kpa g"}},
		{unit: KPa, scale: 1e3, names: []string{"kpaa", "kpa a", "kpa abs"}},
		{unit: BarG, scale: 1e5, gauge: true, names: []string{"bar g"}},
		{unit: Bar, scale: 1e5, names: []string{"bara", "bar a", "bar abs"}},
		{unit: MPaG, scale: 1e6, gauge: true, names: []string{"mpa g"}},
		{unit: MPa, scale: 1e6, names: []string{"mpaa", "mpa a", "mpa abs"}},
		{unit: PaG, scale: 1, gauge: true, names: []string{"pa g"}},
		{unit: Pa, scale: 1, names: []string{"paa", "pa a", "pa abs"}},
		{unit: HPa, scale: 100, names: []string{"mbar"}},
		{unit: InHg, scale: paPerInHg, names: []string{"inhga", "inhgabs", "in hg abs"}},
		{unit: InHgVac, scale: -paPerInHg, gauge: true, names: []string{"inhgvac", "inhg vacuum", "in hg vac"}},
	},
	refused: map[string]string{
		"psi":   "psi does not say which: gauge is psig, absolute is psia",
		"inhg":  "inHg does not say which: a barometer is \"inHg abs\", a vacuum on a compound gauge \"inHg vac\"",
		"in hg": "inHg does not say which: a barometer is \"inHg abs\", a vacuum on a compound gauge \"inHg vac\"",
	},
	check: func(d *unitDef, si float64) string {
		switch {
		case math.IsNaN(si) || si > highestPressure:
			return "over 100 MPa; no refrigerant circuit holds that"
		case d.gauge && si < lowestGauge:
			return "below a perfect vacuum"
		case !d.gauge && si < 0:
			return "below absolute zero pressure; a vacuum on a gauge is psig, kPag or barg"
		}
		return ""
	},
})

// ParsePressure reads a pressure with its unit, such as "118.2 psig". Errors are *ParseError.
func ParsePressure(s string) (Pressure, error) {
	a, err := pressures.parse(s, "", false)
	return Pressure{a}, err
}

// ParsePressureIn reads what is typed in a screen, where a bare number is in def.
func ParsePressureIn(s string, def Unit) (Pressure, error) {
	a, err := pressures.parse(s, def, true)
	return Pressure{a}, err
}

// GaugePascals makes a gauge pressure from pascals over the barometer.
func GaugePascals(pa float64) Pressure { return Pressure{pressures.make(pa, PaG)} }

// AbsolutePascals makes an absolute pressure from pascals.
func AbsolutePascals(pa float64) Pressure { return Pressure{pressures.make(pa, Pa)} }

// PSIG makes a gauge pressure from pounds a square inch.
func PSIG(x float64) Pressure { return Pressure{pressures.make(x, PSIGUnit)} }

// PSIA makes an absolute pressure from pounds a square inch.
func PSIA(x float64) Pressure { return Pressure{pressures.make(x, PSIAUnit)} }

// PressureOf makes a pressure from a number in any unit of pressure.
func PressureOf(x float64, u Unit) Pressure { return Pressure{pressures.make(x, u)} }

// IsZero reports that no pressure was given. (0 psig is given.)
func (p Pressure) IsZero() bool { return p.a.unit == 0 }

// IsValid is the opposite of IsZero.
func (p Pressure) IsValid() bool { return p.a.unit != 0 }

// IsGauge reports whether the pressure was given as gauge pressure.
func (p Pressure) IsGauge() bool { return p.a.unit != 0 && pressures.units[p.a.unit-1].gauge }

// Unit is the unit the pressure was given in, "" if not given.
func (p Pressure) Unit() Unit { return pressures.unit(p.a) }

// Absolute gives Pa absolute; barometerPa is the site's barometric pressure in
// Pa, needed for gauge pressures only. NaN if not given. The result can be
// slightly negative if a gauge vacuum is deeper than the barometer allows.
func (p Pressure) Absolute(barometerPa float64) float64 {
	si := pressures.si(p.a)
	if p.IsGauge() {
		return si + barometerPa
	}
	return si
}

// Gauge gives Pa over the barometer, NaN if not given.
func (p Pressure) Gauge(barometerPa float64) float64 {
	si := pressures.si(p.a)
	if p.IsGauge() {
		return si
	}
	return si - barometerPa
}

// In gives the number in unit u, crossing between gauge and absolute with the
// site's barometric pressure where needed. NaN for a unit of something else.
func (p Pressure) In(u Unit, barometerPa float64) float64 {
	id := pressures.id(u)
	if id == 0 || p.a.unit == 0 {
		return math.NaN()
	}
	d := &pressures.units[id-1]
	if d.gauge == p.IsGauge() {
		return pressures.in(p.a, u)
	}
	if d.gauge {
		return p.Gauge(barometerPa) / d.scale
	}
	return p.Absolute(barometerPa) / d.scale
}

// String gives the text as typed, or the canonical text of a constructed value.
func (p Pressure) String() string { return pressures.string(p.a) }

// MarshalText is String as bytes; empty if not given.
func (p Pressure) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText is ParsePressure.
func (p *Pressure) UnmarshalText(b []byte) (err error) {
	*p, err = ParsePressure(string(b))
	return err
}
