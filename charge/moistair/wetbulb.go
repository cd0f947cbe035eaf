package moistair

import (
	"fmt"
	"math"
)

// humidityAtWetBulb is equation (33) for a wet and (35) for an iced wick; the
// latent heats fall and specific heats enter in kJ there. Both K; ws is the
// humidity ratio of saturated air at the wet bulb.
func humidityAtWetBulb(dry, wet, ws float64) float64 {
	t, tw := dry-zeroC, wet-zeroC
	if tw < 0 {
		return ((2830-0.24*tw)*ws - 1.006*(t-tw)) / (2830 + 1.86*t - 2.1*tw)
	}
	return ((2501-2.326*tw)*ws - 1.006*(t-tw)) / (2501 + 1.86*t - 4.186*tw)
}

func saturatedHumidity(t, p float64) float64 {
	pw := saturationPressure(t)
	if pw >= p {
		return math.Inf(1)
	}
	return massRatio * pw / (p - pw)
}

// HumidityRatioFromWetBulb takes dry and wet bulb in K and the pressure in Pa.
// A wet bulb above the dry bulb, or lower than dry air would show, is an error.
func HumidityRatioFromWetBulb(dry, wet, p float64) (float64, error) {
	if err := checkTemperature("dry bulb", dry); err != nil {
		return 0, err
	}
	if err := checkTemperature("wet bulb", wet); err != nil {
		return 0, err
	}
	if err := checkPressure(p); err != nil {
		return 0, err
	}
	if wet > dry {
		return 0, fmt.Errorf("wet bulb %.2f K is above the dry bulb %.2f K: check which is which, and the wick", wet, dry)
	}
	ws := saturatedHumidity(wet, p)
	if math.IsInf(ws, 1) {
		return 0, fmt.Errorf("wet bulb %.2f K is above the boiling point of water at %.6g Pa", wet, p)
	}
	w := humidityAtWetBulb(dry, wet, ws)
	if w < 0 {
		// Rounding must not refuse the wet bulb of bone-dry air itself.
		if w > -1e-9 {
			return 0, nil
		}
		lowest, _ := WetBulbFromHumidityRatio(dry, 0, p)
		return 0, fmt.Errorf("wet bulb %.2f K is lower than bone-dry air at %.2f K would show (%.2f K)", wet, dry, lowest)
	}
	return w, nil
}

// RelativeHumidityFromWetBulb takes dry and wet bulb in K and the pressure in
// Pa and gives a fraction.
func RelativeHumidityFromWetBulb(dry, wet, p float64) (float64, error) {
	w, err := HumidityRatioFromWetBulb(dry, wet, p)
	if err != nil {
		return 0, err
	}
	return RelativeHumidity(dry, w, p)
}

// WetBulb gives the thermodynamic wet bulb in K from the dry bulb in K, the
// relative humidity as a fraction and the pressure in Pa.
func WetBulb(dry, rh, p float64) (float64, error) {
	w, err := HumidityRatioFromRelativeHumidity(dry, rh, p)
	if err != nil {
		return 0, err
	}
	return WetBulbFromHumidityRatio(dry, w, p)
}

// WetBulbFromHumidityRatio gives the thermodynamic wet bulb in K of air at dry
// (K) with the humidity ratio w at p (Pa).
func WetBulbFromHumidityRatio(dry, w, p float64) (float64, error) {
	if _, err := RelativeHumidity(dry, w, p); err != nil {
		return 0, err
	}
	if dry >= zeroC && w >= humidityAtWetBulb(dry, zeroC, saturatedHumidity(zeroC, p)) {
		high := dry
		if saturationPressure(dry) >= p {
			high = saturationTemperature(p)
		}
		return wetBulbBetween(zeroC, high, dry, w, p), nil
	}
	// The branch of ice, kept strictly below 0 °C.
	return wetBulbBetween(MinTemperature, min(dry, math.Nextafter(zeroC, 0)), dry, w, p), nil
}

// wetBulbBetween finds where the wet-bulb equation gives w by Newton's method
// inside a shrinking bracket; the equation rises throughout it.
func wetBulbBetween(low, high, dry, w, p float64) float64 {
	t := high - 0.3*(high-low)
	for range 100 {
		ln, slope := lnSaturation(t)
		pw := math.Exp(ln)
		if pw >= p {
			high, t = t, 0.5*(low+t)
			continue
		}
		ws := massRatio * pw / (p - pw)
		miss := humidityAtWetBulb(dry, t, ws) - w
		if miss > 0 {
			high = t
		} else {
			low = t
		}
		// d/dt of the numerator over the denominator; the small terms in which
		// t enters by the latent heat are left out, the bracket covers them.
		rise := massRatio * p * pw * slope / ((p - pw) * (p - pw))
		latent, denominator := 2501-2.326*(t-zeroC), 2501+1.86*(dry-zeroC)-4.186*(t-zeroC)
		if t < zeroC {
			latent, denominator = 2830-0.24*(t-zeroC), 2830+1.86*(dry-zeroC)-2.1*(t-zeroC)
		}
		next := t - miss*denominator/(latent*rise+1.006)
		if !(next > low && next < high) {
			next = 0.5 * (low + high)
		}
		if math.Abs(next-t) < 1e-10 || high-low < 1e-10 {
			return next
		}
		t = next
	}
	return t
}
