package rig

import (
	"math"

	"chargehand/charge/moistair"
)

// Moist air as the coils need it, from the fast functions of package moistair.

const (
	airCp   = 1006.0  // J/(kg K), dry air
	vaporCp = 1860.0  // J/(kg K), water vapour
	freeze  = 273.15  // K
	latent0 = 2.501e6 // J/kg at 0 °C
)

// saturatedRatio is the humidity ratio of saturated air, kg/kg.
func saturatedRatio(t, baro float64) float64 {
	w, _ := moistair.SaturationHumidityRatio(math.Max(t, 174), baro)
	return w
}

// airEnthalpy is J per kg of dry air, zero at 0 °C dry.
func airEnthalpy(t, w float64) float64 { return moistair.Enthalpy(t, w) }

func saturatedEnthalpy(t, baro float64) float64 {
	h, _ := moistair.SaturationEnthalpy(math.Max(t, 174), baro)
	return h
}

// saturationTemperature inverts saturatedEnthalpy from a guess.
func saturationTemperature(h, baro, guess float64) float64 {
	if t := moistair.SaturationTemperatureFromEnthalpy(h, baro, guess); t == t {
		return t
	}
	return guess
}

// wetBulb is the wet bulb of air of dry bulb t and humidity ratio w; of
// saturated air the dry bulb.
func wetBulb(t, w, baro float64) float64 {
	if tw, err := moistair.WetBulbFromHumidityRatio(t, w, baro); err == nil {
		return tw
	}
	return t
}
