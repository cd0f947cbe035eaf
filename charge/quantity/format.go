package quantity

import (
	"math"
	"strconv"
)

// notGiven is shown where there is no value to show.
const notGiven = "-"

// fixed prints x with the given decimals, without a negative zero.
func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if s[0] == '-' {
		for _, c := range s[1:] {
			if c != '0' && c != '.' {
				return s
			}
		}
		return s[1:]
	}
	return s
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// FormatPressure prints gauge pressure to 1 psig or 0.1 barg; "-" if not given.
func FormatPressure(p Pressure, sys System, barometerPa float64) string {
	x := p.In(sys.PressureUnit(), barometerPa)
	if !finite(x) {
		return notGiven
	}
	if sys == SI {
		return fixed(x, 1) + " " + string(BarG)
	}
	return fixed(x, 0) + " " + string(PSIGUnit)
}

// FormatPressurePa is FormatPressure for an absolute pressure in Pa.
func FormatPressurePa(pa float64, sys System, barometerPa float64) string {
	return FormatPressure(AbsolutePascals(pa), sys, barometerPa)
}

// FormatTemperatureK prints a temperature given in K to 0.1 °F or 0.1 °C.
func FormatTemperatureK(k float64, sys System) string {
	if !finite(k) {
		return notGiven
	}
	if sys == SI {
		return fixed(k-zeroCelsius, 1) + " " + string(Celsius)
	}
	return fixed(k/perDegreeF-zeroRankine, 1) + " " + string(Fahrenheit)
}

// FormatDifferenceK prints a difference given in K to 0.1 °F or 0.1 K.
func FormatDifferenceK(k float64, sys System) string {
	if !finite(k) {
		return notGiven
	}
	if sys == SI {
		return fixed(k, 1) + " " + string(KelvinUnit)
	}
	return fixed(k/perDegreeF, 1) + " " + string(Fahrenheit)
}

// FormatMassKg prints a mass given in kg: "8.5 oz", "1 lb 4 oz" (to 0.1 oz), or
// "227 g", "3.740 kg" (to 1 g).
func FormatMassKg(kg float64, sys System) string {
	if !finite(kg) {
		return notGiven
	}
	if sys == SI {
		if g := math.Round(kg * 1e3); math.Abs(g) < 1000 {
			return fixed(g, 0) + " g"
		}
		return fixed(kg, 3) + " kg"
	}
	return poundsOunces(kg, false)
}

// FormatPoundsOunces prints a mass given in kg with the pounds always there:
// "0 lb 8 oz", "8 lb 4.5 oz"; ounces to 0.1.
func FormatPoundsOunces(kg float64) string {
	if !finite(kg) {
		return notGiven
	}
	return poundsOunces(kg, true)
}

func poundsOunces(kg float64, pounds bool) string {
	// Round first: 15.96 oz is 1 lb 0 oz, not 0 lb 16 oz.
	tenths := math.Round(math.Abs(kg) / KilogramsPerOunce * 10)
	sign := ""
	if kg < 0 && tenths > 0 {
		sign = "-"
	}
	lb := math.Floor(tenths / 160)
	oz := formatNumber((tenths-lb*160)/10) + " oz"
	if lb == 0 && !pounds {
		return sign + oz
	}
	return sign + fixed(lb, 0) + " lb " + oz
}
