package moistair

import (
	"fmt"
	"math"
)

// Range of the Hyland-Wexler equations, K.
const (
	MinTemperature = 173.15
	MaxTemperature = 473.15
)

const (
	zeroC       = 273.15
	triplePoint = 273.16 // K; ice below, water above
)

// lnSaturation gives ln(pws/Pa) and its slope (1/K). Hyland and Wexler (1983)
// as printed in ASHRAE Fundamentals 2021 (SI) chapter 1, equations (5) ice
// and (6) water.
func lnSaturation(t float64) (ln, slope float64) {
	if t < triplePoint {
		const c1, c2, c3, c4, c5, c6, c7 = -5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019
		ln = c1/t + c2 + t*(c3+t*(c4+t*(c5+t*c6))) + c7*math.Log(t)
		slope = -c1/(t*t) + c3 + t*(2*c4+t*(3*c5+t*4*c6)) + c7/t
		return ln, slope
	}
	const c8, c9, c10, c11, c12, c13 = -5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 6.5459673
	ln = c8/t + c9 + t*(c10+t*(c11+t*c12)) + c13*math.Log(t)
	slope = -c8/(t*t) + c10 + t*(2*c11+t*3*c12) + c13/t
	return ln, slope
}

func saturationPressure(t float64) float64 {
	ln, _ := lnSaturation(t)
	return math.Exp(ln)
}

// SaturationPressure gives the pressure in Pa of water vapour over ice (below
// 273.16 K) or water at t in K.
func SaturationPressure(t float64) (float64, error) {
	if err := checkTemperature("temperature", t); err != nil {
		return 0, err
	}
	return saturationPressure(t), nil
}

// SaturationTemperature gives the temperature in K at which water or ice has
// the vapour pressure p in Pa: the dew or frost point.
func SaturationTemperature(p float64) (float64, error) {
	lowest, highest := saturationPressure(MinTemperature), saturationPressure(MaxTemperature)
	if !(p >= lowest && p <= highest) {
		return 0, fmt.Errorf("vapour pressure %.6g Pa is outside %.3g to %.3g Pa, the range of the equation", p, lowest, highest)
	}
	return saturationTemperature(p), nil
}

// saturationTemperature runs Newton in ln p over 1/T, nearly a straight line.
func saturationTemperature(p float64) float64 {
	goal := math.Log(p)
	t := 5400 / (5400/triplePoint - (goal - 6.416)) // ln(611.66 Pa); slope of a straight line near 20 °C
	t = min(max(t, MinTemperature), MaxTemperature)
	for range 20 {
		ln, slope := lnSaturation(t)
		inverse := 1/t - (ln-goal)/(-slope*t*t)
		next := min(max(1/inverse, MinTemperature), MaxTemperature)
		if inverse <= 0 {
			next = MaxTemperature
		}
		if math.Abs(next-t) < 1e-10 {
			return next
		}
		t = next
	}
	return t
}

func checkTemperature(what string, t float64) error {
	if t >= MinTemperature && t <= MaxTemperature {
		return nil
	}
	return fmt.Errorf("%s %.6g K is outside %.2f to %.2f K, the range of the equations", what, t, MinTemperature, MaxTemperature)
}

// Range of site pressures, Pa: from above the highest mountain to well below
// sea level and beyond any duct.
const (
	MinPressure = 10e3
	MaxPressure = 500e3
)

func checkPressure(p float64) error {
	if p >= MinPressure && p <= MaxPressure {
		return nil
	}
	return fmt.Errorf("air pressure %.6g Pa is outside %.0f to %.0f Pa", p, float64(MinPressure), float64(MaxPressure))
}
