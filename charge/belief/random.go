package belief

import "math"

// normalCDF is the distribution function of the standard normal.
func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// normalQuantile is its inverse, by the rational approximation of Acklam (2003), relative error 1.2e-9.
func normalQuantile(p float64) float64 {
	const low = 0.02425
	tail := func(q float64) float64 {
		return (((((-7.784894002430293e-03*q-3.223964580411365e-01)*q-2.400758277161838e+00)*q-2.549732539343734e+00)*q+4.374664141464968e+00)*q + 2.938163982698783e+00) /
			((((7.784695709041462e-03*q+3.224671290700398e-01)*q+2.445134137142996e+00)*q+3.754408661907416e+00)*q + 1)
	}
	switch {
	case p <= 0:
		return -8
	case p >= 1:
		return 8
	case p < low:
		return tail(math.Sqrt(-2 * math.Log(p)))
	case p > 1-low:
		return -tail(math.Sqrt(-2 * math.Log(1-p)))
	}
	q := p - 0.5
	r := q * q
	return (((((-3.969683028665376e+01*r+2.209460984245205e+02)*r-2.759285104469687e+02)*r+1.383577518672690e+02)*r-3.066479806614716e+01)*r + 2.506628277459239e+00) * q /
		(((((-5.447609879822406e+01*r+1.615858368580409e+02)*r-1.556989798598866e+02)*r+6.680131188771972e+01)*r-1.328068155288572e+01)*r + 1)
}

// pick is the index of the first of the weights w at which their sum reaches u, the last when it never does.
func pick(w []float64, u float64) int {
	acc := 0.0
	for i, x := range w {
		if acc += x; acc >= u {
			return i
		}
	}
	return len(w) - 1
}

// quantile reads a piecewise linear quantile function given by its corners (probability, value).
func quantile(table [][2]float64, p float64) float64 {
	for i := 1; i < len(table); i++ {
		if p <= table[i][0] {
			a, b := table[i-1], table[i]
			return a[1] + (p-a[0])/(b[0]-a[0])*(b[1]-a[1])
		}
	}
	return table[len(table)-1][1]
}

// tableSuperheat is the target superheat of a fixed orifice by the one-line formula, K, at least 5 °F.
func tableSuperheat(outK, wetK float64) float64 {
	out, wet := (outK-zeroF)/degF, (wetK-zeroF)/degF
	return math.Max((3*wet-80-out)/2, 5) * degF
}
