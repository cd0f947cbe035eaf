package quantity

import "strings"

// System is the family of units a screen shows and takes bare numbers in.
type System int

// The two systems.
const (
	US System = iota // psig, °F, oz and lb, ft, ton
	SI               // barg, °C and K, g and kg, m, kW
)

// String is "US" or "SI".
func (s System) String() string {
	if s == SI {
		return "SI"
	}
	return "US"
}

func (s System) pick(us, si Unit) Unit {
	if s == SI {
		return si
	}
	return us
}

// PressureUnit is the default unit for pressures (gauge).
func (s System) PressureUnit() Unit { return s.pick(PSIGUnit, BarG) }

// BarometerUnit is the default unit for barometric pressure (absolute).
func (s System) BarometerUnit() Unit { return s.pick(InHg, HPa) }

// TemperatureUnit is the default unit for temperatures.
func (s System) TemperatureUnit() Unit { return s.pick(Fahrenheit, Celsius) }

// DifferenceUnit is the default unit for superheat, subcooling and splits.
func (s System) DifferenceUnit() Unit { return s.pick(FahrenheitDegrees, KelvinUnit) }

// MassUnit is the default unit for a weighed amount.
func (s System) MassUnit() Unit { return s.pick(Ounce, Gram) }

// CylinderUnit is the default unit for cylinder and data plate masses.
func (s System) CylinderUnit() Unit { return s.pick(PoundOunce, Kilogram) }

// LengthUnit is the default unit for line lengths and elevations.
func (s System) LengthUnit() Unit { return s.pick(Foot, Meter) }

// DiameterUnit is the default unit for tube diameters.
func (s System) DiameterUnit() Unit { return s.pick(Inch, Millimeter) }

// PowerUnit is the default unit for capacities.
func (s System) PowerUnit() Unit { return s.pick(Ton, Kilowatt) }

// ParseSystem reads "us" or "si" in any letter case.
func ParseSystem(s string) (System, bool) {
	switch strings.ToLower(s) {
	case "us":
		return US, true
	case "si":
		return SI, true
	}
	return US, false
}
