package moistair

import (
	"fmt"
	"math"
)

// Standard sea level, and the range of the standard atmosphere's formulas.
const (
	SeaLevelPressure = 101325.0 // Pa
	MinElevation     = -5000.0  // m
	MaxElevation     = 11000.0  // m
)

// ASHRAE Fundamentals 2021 (SI) chapter 1, equations (3) and (4).
const (
	pressureLapse    = 2.25577e-5 // 1/m
	pressureExponent = 5.2559
	temperatureLapse = 0.0065 // K/m
	standardSeaLevel = 288.15 // K
)

func checkElevation(z float64) error {
	if z >= MinElevation && z <= MaxElevation {
		return nil
	}
	return fmt.Errorf("elevation %.6g m is outside %.0f to %.0f m, the range of the standard atmosphere", z, MinElevation, MaxElevation)
}

// StandardPressure gives the barometric pressure in Pa at elevation z in m.
// Weather moves the true one by some 2 % either way.
func StandardPressure(z float64) (float64, error) {
	if err := checkElevation(z); err != nil {
		return 0, err
	}
	return SeaLevelPressure * math.Pow(1-pressureLapse*z, pressureExponent), nil
}

// StandardTemperature gives the temperature in K of the standard atmosphere at z in m.
func StandardTemperature(z float64) (float64, error) {
	if err := checkElevation(z); err != nil {
		return 0, err
	}
	return standardSeaLevel - temperatureLapse*z, nil
}

// StandardElevation undoes StandardPressure: the elevation in m at which the
// standard atmosphere has the pressure p in Pa.
func StandardElevation(p float64) (float64, error) {
	z := math.NaN()
	if p > 0 {
		z = (1 - math.Pow(p/SeaLevelPressure, 1/pressureExponent)) / pressureLapse
	}
	// A hair of rounding at the ends is no reason to refuse.
	if z > MinElevation-1e-6 && z < MaxElevation+1e-6 {
		return z, nil
	}
	return 0, fmt.Errorf("air pressure %.6g Pa is that of no elevation between %.0f and %.0f m", p, MinElevation, MaxElevation)
}

// StationPressure gives the true pressure in Pa at elevation z in m from the
// one a weather report states, which is reduced to sea level; t is the outdoor
// temperature in K. The barometric formula with the mean temperature of the
// column (Hess, Introduction to Theoretical Meteorology, 1959, ch. 6), at 6.5 K/km.
func StationPressure(seaLevel, z, t float64) (float64, error) {
	f, err := columnFactor(z, t)
	return seaLevel / f, err
}

// ReducedPressure undoes StationPressure: what a weather report would state.
func ReducedPressure(station, z, t float64) (float64, error) {
	f, err := columnFactor(z, t)
	return station * f, err
}

func columnFactor(z, t float64) (float64, error) {
	if err := checkElevation(z); err != nil {
		return math.NaN(), err
	}
	if err := checkTemperature("outdoor temperature", t); err != nil {
		return math.NaN(), err
	}
	const gas, gravity = 287.055, 9.807
	return math.Exp(z * gravity / (gas * (t + temperatureLapse*z/2))), nil
}
