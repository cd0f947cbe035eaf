package moistair

import (
	"fmt"
	"math"
)

const (
	// massRatio is the molar mass of water over that of dry air, 18.015268/28.966,
	// ASHRAE Fundamentals 2021 (SI) chapter 1, equation (20).
	massRatio = 0.621945
	gasAir    = 287.042 // J/(kg K), dry air, equation (1)

	cpAir   = 1006.0  // J/(kg K), equation (30)
	cpVapor = 1860.0  // J/(kg K)
	hVapor  = 2.501e6 // J/kg, saturated vapour at 0 °C
)

// HumidityRatio gives the humidity ratio of air with the water vapour pressure
// pw at the total pressure p, both Pa (equation 20).
func HumidityRatio(pw, p float64) (float64, error) {
	if err := checkPressure(p); err != nil {
		return 0, err
	}
	if !(pw >= 0 && pw < p) {
		return 0, fmt.Errorf("vapour pressure %.6g Pa is outside 0 to the air pressure %.6g Pa", pw, p)
	}
	return massRatio * pw / (p - pw), nil
}

// VaporPressure gives the water vapour pressure in Pa in air of humidity ratio
// w at p in Pa.
func VaporPressure(w, p float64) (float64, error) {
	if err := checkPressure(p); err != nil {
		return 0, err
	}
	if !(w >= 0) || math.IsInf(w, 0) {
		return 0, fmt.Errorf("humidity ratio %.6g is not zero or more", w)
	}
	return p * w / (massRatio + w), nil
}

// HumidityRatioFromRelativeHumidity takes the dry bulb in K, the relative
// humidity as a fraction and the pressure in Pa (equations 12, 20).
func HumidityRatioFromRelativeHumidity(dry, rh, p float64) (float64, error) {
	if err := checkTemperature("dry bulb", dry); err != nil {
		return 0, err
	}
	if !(rh >= 0 && rh <= 1) {
		return 0, fmt.Errorf("relative humidity %.4g %% is outside 0 to 100 %%", rh*100)
	}
	return HumidityRatio(rh*saturationPressure(dry), p)
}

// RelativeHumidity gives the relative humidity as a fraction of air at dry (K)
// with the humidity ratio w at p (Pa). Supersaturated air is an error.
func RelativeHumidity(dry, w, p float64) (float64, error) {
	if err := checkTemperature("dry bulb", dry); err != nil {
		return 0, err
	}
	pw, err := VaporPressure(w, p)
	if err != nil {
		return 0, err
	}
	rh := pw / saturationPressure(dry)
	if rh > 1+1e-9 {
		return 0, fmt.Errorf("humidity ratio %.6g at %.2f K and %.6g Pa is %.4g %% relative humidity: air holds no more than 100 %%", w, dry, p, rh*100)
	}
	return min(rh, 1), nil
}

// DewPoint gives the dew (or frost) point in K of air of humidity ratio w at
// p in Pa. Air drier than a frost point of 173.15 K is an error.
func DewPoint(w, p float64) (float64, error) {
	pw, err := VaporPressure(w, p)
	if err != nil {
		return 0, err
	}
	return SaturationTemperature(pw)
}

// Enthalpy gives the enthalpy in J/kg of dry air, zero for dry air and liquid
// water at 0 °C, of air at dry (K) with the humidity ratio w (equation 30).
func Enthalpy(dry, w float64) float64 {
	t := dry - zeroC
	return cpAir*t + w*(hVapor+cpVapor*t)
}

// TemperatureFromEnthalpy undoes Enthalpy: the dry bulb in K.
func TemperatureFromEnthalpy(h, w float64) float64 {
	return (h-w*hVapor)/(cpAir+w*cpVapor) + zeroC
}

// SpecificVolume gives m3/kg of dry air of air at dry (K) with the humidity
// ratio w at p (Pa) (equation 26).
func SpecificVolume(dry, w, p float64) float64 {
	return gasAir * dry * (1 + w/massRatio) / p
}
