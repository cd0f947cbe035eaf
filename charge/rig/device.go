package rig

import "math"

// inlet is the refrigerant at the metering device.
type inlet struct {
	p       float64 // pressure, non-condensables included
	t       float64 // temperature
	pSat    float64 // saturation (bubble) pressure at t
	x       float64 // vapour share by mass
	rhoL    float64
	rhoG    float64
	hfg     float64
	cp      float64 // of the liquid, J/(kg K)
	density float64 // homogeneous
}

// shortTube is the flow through a short tube or a valve port per unit of
// Cd*A, kg/(s m2): the liquid flashes and chokes at a pressure a little under
// its saturation pressure, so that
//
//	G = sqrt(2 rho (p_up - p_f)),  p_f = p_sat (1 - margin)
//
// after Aaron and Domanski (1990), whose fitted p_f/p_sat lies between 0.8 and
// 0.95 for air-conditioning tubes; the margin is a constant here. Vapour at
// the inlet enters by the homogeneous density and by a further 1/(1 + k x), the
// form of the two-phase correction of Kim and O'Neal (1994); margin and k are
// spread parameters, not their coefficients. Back pressure matters only above
// the choking pressure.
func shortTube(in *inlet, pDown, margin, k float64) float64 {
	choke := in.pSat * (1 - margin)
	// Smooth maximum of choking and back pressure.
	d := choke - pDown
	w := 0.02 * in.pSat
	choke = pDown + 0.5*(d+math.Sqrt(d*d+w*w))
	dp := in.p - choke
	if dp <= 0 {
		return 1e-6
	}
	return math.Sqrt(2*in.density*dp) / (1 + k*in.x)
}

// capillary is the flow through a long bore per unit of A*sqrt(D/(f L)): the
// liquid length loses p_up - p_sat, the rest flashes in homogeneous
// equilibrium. With Leung's (1986) specific volume v/v0 = w (p0/p - 1) + 1 the
// momentum integral of rho dp has a closed form, so that
//
//	G^2 = 2 rho [ (p_up - p_sat) + p_sat I(w, eta) ] / (f L / D)
//
// eta is the choked outlet, which a long bore reaches near 0.3 of saturation
// pressure. Metastable flashing is left out, as in most design charts.
func capillary(in *inlet, pDown float64) float64 {
	// Leung's omega from saturated liquid or from the two-phase inlet.
	vg, vl := 1/in.rhoG, 1/in.rhoL
	v0 := vl + in.x*(vg-vl)
	alpha := in.x * vg / v0
	om := alpha + in.cp*in.t*in.pSat/v0*math.Pow((vg-vl)/in.hfg, 2)
	eta := math.Max(0.3, math.Min(0.98, pDown/in.pSat))
	// Integral of eta/(w + (1-w) eta) from eta to 1.
	var area float64
	if math.Abs(1-om) < 1e-3 {
		area = (1 - eta*eta) / 2
	} else {
		b := 1 - om
		f := func(x float64) float64 { return x/b - om/(b*b)*math.Log(om+b*x) }
		area = f(1) - f(eta)
	}
	liquid := math.Max(in.p-in.pSat, 0)
	return math.Sqrt(2 / v0 * (liquid + in.pSat*area))
}

// valveLaw is a thermostatic or electronic valve in units of its design flow.
type valveLaw struct {
	open     float64 // full opening
	bleed    float64 // least opening
	static   float64 // superheat at which it starts to open, K
	gradient float64 // superheat per unit of opening, K
}

// stuck is the valve with what faults leave of its travel.
func (v valveLaw) stuck(f Faults) valveLaw {
	v.bleed = math.Max(v.bleed, f.ValveStuckOpen*v.open)
	v.open *= math.Max(1-f.ValveStuckShut, 0.02)
	v.bleed = math.Min(v.bleed, v.open)
	return v
}

// setting is the superheat at which the valve stands at opening u, continued
// steeply under the bleed, where it cannot close any further.
func (v *valveLaw) setting(u float64) float64 {
	if u < v.bleed {
		return v.static + 300*(u-v.bleed)
	}
	return v.static + v.gradient*(u-v.bleed)
}

// residual is zero where the valve is at rest: either superheat is at the
// setting of the opening the flow needs, or the valve is wide open and
// superheat is above. The Fischer-Burmeister function joins the two. It is
// positive while the evaporator wants more than it is given.
func (v *valveLaw) residual(superheat, u float64) float64 {
	a := (superheat - v.setting(u)) / 5
	b := (v.open - u) * 2
	return a + b - math.Sqrt(a*a+b*b+1e-6)
}
