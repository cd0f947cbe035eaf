package moistair

import "math"

// The functions of this file serve inner loops: no errors, no allocation, no
// exponentials. They read the saturation pressure from a table of cubics, one
// a kelvin, that follows value and slope of the equation at both ends: within
// 2e-7 of the equation above -30 °C, within 4e-6 down to -100 °C.

const (
	firstCell = triplePoint - 100 // so that the kink between ice and water is a node
	cells     = 300
)

var cubics = tabulate()

func tabulate() (table [cells][4]float64) {
	for i := range table {
		a := firstCell + float64(i)
		b := a + 1
		if i == 99 {
			b = math.Nextafter(triplePoint, 0) // stay over ice up to the node
		} else if i == 100 {
			a = triplePoint
		}
		la, sa := lnSaturation(a)
		lb, sb := lnSaturation(b)
		pa, pb := math.Exp(la), math.Exp(lb)
		da, db := pa*sa, pb*sb
		table[i] = [4]float64{pa, da, 3*(pb-pa) - 2*da - db, 2*(pa-pb) + da + db}
	}
	return table
}

// FastSaturationPressure gives the saturation pressure in Pa at t in K and its
// slope in Pa/K; NaN outside 173.16 to 473.16 K.
func FastSaturationPressure(t float64) (p, slope float64) {
	x := t - firstCell
	if !(x >= 0 && x < cells) {
		return math.NaN(), math.NaN()
	}
	i := int(x)
	c := &cubics[i]
	x -= float64(i)
	return c[0] + x*(c[1]+x*(c[2]+x*c[3])), c[1] + x*(2*c[2]+x*3*c[3])
}

// SaturationHumidityRatio gives the humidity ratio of saturated air at t (K)
// and p (Pa), and its slope in 1/K. NaN out of range or where water boils.
func SaturationHumidityRatio(t, p float64) (w, slope float64) {
	pw, dpw := FastSaturationPressure(t)
	if !(pw < p) {
		return math.NaN(), math.NaN()
	}
	inv := 1 / (p - pw)
	w = massRatio * pw * inv
	return w, massRatio * p * dpw * inv * inv
}

// SaturationEnthalpy gives the enthalpy of saturated air at t (K) and p (Pa)
// in J/kg of dry air, and its slope in J/(kg K): the specific heat of
// saturated air that a wet coil sees. NaN out of range or where water boils.
func SaturationEnthalpy(t, p float64) (h, slope float64) {
	w, dw := SaturationHumidityRatio(t, p)
	c := t - zeroC
	latent := hVapor + cpVapor*c
	return cpAir*c + w*latent, cpAir + w*cpVapor + dw*latent
}

// SaturationTemperatureFromEnthalpy undoes SaturationEnthalpy, in K: for air
// of enthalpy h it is, within a few hundredths of a kelvin, the wet bulb. guess is a
// starting temperature in K. NaN if there is no answer.
func SaturationTemperatureFromEnthalpy(h, p, guess float64) float64 {
	t := guess
	for range 50 {
		have, slope := SaturationEnthalpy(t, p)
		if have != have {
			return math.NaN()
		}
		// The curve bends upwards: Newton from above comes down safely, from
		// below it may leap, so a step up is held.
		step := min(max((h-have)/slope, -30), 10)
		t += step
		if math.Abs(step) < 1e-9 {
			return t
		}
	}
	return math.NaN()
}
