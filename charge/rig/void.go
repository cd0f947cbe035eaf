package rig

import "math"

// What liquid a two-phase zone holds follows from its void fraction. The
// void fraction follows from a slip ratio K = (rho_l/rho_g)^y, y = 1/3 being
// Zivi (1964) and larger exponents holding more liquid, as Hughmark (1962) and
// Premoli (1971) do and as measured charges ask for (Rice 1987). It is averaged
// over quality at constant heat flux, which has a closed form:
//
//	alpha(x) = x / (S + (1-S) x),  S = K rho_g/rho_l

// lineSlip is the slip exponent in pipes, where velocities are high: Zivi.
const lineSlip = 1.0 / 3

// meanVoid is the mean void fraction between two qualities.
func meanVoid(xa, xb, slip float64) float64 {
	if xb < xa {
		xa, xb = xb, xa
	}
	b := 1 - slip
	if xb-xa < 1e-4 {
		x := (xa + xb) / 2
		return x / (slip + b*x)
	}
	return 1/b - slip/(b*b)*math.Log((slip+b*xb)/(slip+b*xa))/(xb-xa)
}

// flowSlip is how slip grows where flow is less than design, K ~ (m/m_d)^-0.4:
// Hughmark's flow parameter goes with G^0.42 and his K_H with its power 0.2 near
// the values of refrigerant coils, which moves the mean void fraction as much.
const flowSlip = 0.4

// slipRatio is S of the formula above at a flow relative to design.
func slipRatio(rhoL, rhoG, y, rel float64) float64 {
	// Far under design flow the law is out of its range: it levels off near half.
	rel = 0.5 + 0.5*(rel-0.5+math.Sqrt((rel-0.5)*(rel-0.5)+0.01))
	return math.Min(math.Pow(rhoG/rhoL, 1-y)*math.Pow(rel, -flowSlip), 0.98)
}

// twoPhaseDensity is the mean density of a zone between two qualities.
func twoPhaseDensity(xa, xb, rhoL, rhoG, y, rel float64) float64 {
	slip := slipRatio(rhoL, rhoG, y, rel)
	a := meanVoid(xa, xb, slip)
	return a*rhoG + (1-a)*rhoL
}

// pointDensity is the density at one quality with slip.
func pointDensity(x, rhoL, rhoG, y float64) float64 {
	slip := slipRatio(rhoL, rhoG, y, 1)
	a := x / (slip + (1-slip)*x)
	return a*rhoG + (1-a)*rhoL
}
