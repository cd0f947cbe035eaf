package rig

import (
	"fmt"
	"math"
)

// A solve goes through three lines, each catching what the one before leaves:
// Newton from a good guess with a damped step; the same from neighbours along
// the charge curve; nested bisection, which needs only monotone residuals.

const (
	residualTol = 1e-9
	newtonSteps = 25
)

// solveAt finds te and w for a given z.
func (k *working) solveAt(te, w, z float64, p *point) bool {
	if k.newton2(te, w, z, p) {
		return true
	}
	return k.nested(z, p)
}

// newton2 is a damped Newton on (te, w) with a difference Jacobian.
func (k *working) newton2(te, w, z float64, p *point) bool {
	if !k.at(te, w, z, p) {
		return false
	}
	var q point
	for range newtonSteps {
		r1, r2 := p.r1, p.r2
		norm := math.Abs(r1) + math.Abs(r2)
		if norm < residualTol {
			return true
		}
		const h = 1e-4
		m := k.warmM
		if !k.at(te+h, w, z, &q) {
			return false
		}
		a11, a21 := (q.r1-r1)/h, (q.r2-r2)/h
		k.warmM = m
		if !k.at(te, w+h, z, &q) {
			return false
		}
		a12, a22 := (q.r1-r1)/h, (q.r2-r2)/h
		k.warmM = m
		det := a11*a22 - a12*a21
		if det == 0 || math.IsNaN(det) {
			return false
		}
		de := -(a22*r1 - a12*r2) / det
		dw := -(a11*r2 - a21*r1) / det
		scale := 1.0
		if big := math.Max(math.Abs(de)/6, math.Abs(dw)/8); big > 1 {
			scale = 1 / big
		}
		ok := false
		for range 12 {
			if k.at(te+scale*de, w+scale*dw, z, &q) {
				n := math.Abs(q.r1) + math.Abs(q.r2)
				if n < norm*(1-0.1*scale) || n < residualTol {
					ok = true
					break
				}
			}
			scale /= 2
			k.warmM = m
		}
		if !ok {
			return norm < 1e-7
		}
		te += scale * de
		w += scale * dw
		*p = q
	}
	return math.Abs(p.r1)+math.Abs(p.r2) < 1e-6
}

// nested bisects te for the device with w bisected inside for the condenser.
func (k *working) nested(z float64, p *point) bool {
	s := k.s
	lo, hi := s.teLow+0.01, math.Min(k.air.dry+5, s.tcHigh-8)
	inner := func(te float64, p *point) (float64, bool) {
		a, b := math.Max(te+0.5, s.teLow+3), s.tcHigh-0.01
		if k.tset > 0 {
			a = math.Min(a, k.tset-45)
			a = math.Max(a, s.teLow+3)
		}
		any := false
		for range 46 {
			w := (a + b) / 2
			if !k.at(te, w, z, p) {
				// Too low a head for the loop: go up.
				a = w
				continue
			}
			any = true
			if p.r2 > 0 {
				b = w
			} else {
				a = w
			}
			if b-a < 1e-9 {
				break
			}
		}
		if !any || math.Abs(p.r2) > 1e-3 {
			return 0, false
		}
		return p.r1, true
	}
	var q point
	tried := false
	for range 60 {
		te := (lo + hi) / 2
		r, ok := inner(te, p)
		if !ok {
			hi = te // too warm an evaporator for any head
			continue
		}
		if r > 0 {
			lo = te
		} else {
			hi = te
		}
		if hi-lo < 1e-10 {
			break
		}
		if !tried && hi-lo < 0.5 && math.Abs(p.r1)+math.Abs(p.r2) < 1e-4 {
			// Near enough for Newton, unless a kink lies between.
			tried = true
			if k.newton2(p.te, p.w, z, &q) {
				*p = q
				return true
			}
		}
	}
	if math.Abs(p.r1)+math.Abs(p.r2) < 1e-6 {
		return true
	}
	if math.Abs(p.r1)+math.Abs(p.r2) < 1e-2 && k.newton2(p.te, p.w, z, &q) {
		*p = q
		return true
	}
	return false
}

// newton3 finds all three unknowns for a charge.
func (k *working) newton3(te, w, z, kg float64, p *point) bool {
	eval := func(te, w, z float64, p *point) (float64, bool) {
		if z > zTop || z < zBottom || !k.at(te, w, z, p) {
			return 0, false
		}
		k.hold(p)
		return math.Log(p.inv.Total() / kg), true
	}
	r3, ok := eval(te, w, z, p)
	if !ok {
		return false
	}
	var q point
	for range newtonSteps {
		r := [3]float64{p.r1, p.r2, r3}
		norm := math.Abs(r[0]) + math.Abs(r[1]) + math.Abs(r[2])
		if norm < residualTol {
			return true
		}
		var a [3][4]float64
		m := k.warmM
		steps := [3]float64{1e-4, 1e-4, 1e-5}
		for j := range 3 {
			x := [3]float64{te, w, z}
			x[j] += steps[j]
			q3, ok := eval(x[0], x[1], x[2], &q)
			if !ok {
				return false
			}
			k.warmM = m
			a[0][j] = (q.r1 - r[0]) / steps[j]
			a[1][j] = (q.r2 - r[1]) / steps[j]
			a[2][j] = (q3 - r[2]) / steps[j]
		}
		for i := range 3 {
			a[i][3] = -r[i]
		}
		d, ok := solve3(&a)
		if !ok {
			return false
		}
		scale := 1.0
		if big := math.Max(math.Max(math.Abs(d[0])/6, math.Abs(d[1])/8), math.Abs(d[2])/0.4); big > 1 {
			scale = 1 / big
		}
		ok = false
		for range 8 {
			n3, fine := eval(te+scale*d[0], w+scale*d[1], z+scale*d[2], &q)
			if fine {
				n := math.Abs(q.r1) + math.Abs(q.r2) + math.Abs(n3)
				if n < norm*(1-0.1*scale) || n < residualTol {
					r3 = n3
					ok = true
					break
				}
			}
			scale /= 2
			k.warmM = m
		}
		if !ok {
			return norm < 1e-7
		}
		te, w, z = te+scale*d[0], w+scale*d[1], z+scale*d[2]
		*p = q
	}
	return math.Abs(p.r1)+math.Abs(p.r2)+math.Abs(r3) < 1e-6
}

// solve3 is Gauss elimination with pivoting on an augmented matrix.
func solve3(a *[3][4]float64) (x [3]float64, ok bool) {
	for c := range 3 {
		best := c
		for r := c + 1; r < 3; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[best][c]) {
				best = r
			}
		}
		a[c], a[best] = a[best], a[c]
		if a[c][c] == 0 || math.IsNaN(a[c][c]) {
			return x, false
		}
		for r := c + 1; r < 3; r++ {
			f := a[r][c] / a[c][c]
			for j := c; j < 4; j++ {
				a[r][j] -= f * a[c][j]
			}
		}
	}
	for r := 2; r >= 0; r-- {
		v := a[r][3]
		for j := r + 1; j < 3; j++ {
			v -= a[r][j] * x[j]
		}
		x[r] = v / a[r][r]
	}
	return x, true
}

// Range of the marching variable.
const (
	zBottom = -0.97
	zTop    = 30.0
)

// ConvergenceError reports a charge and conditions without a solution.
type ConvergenceError struct {
	ChargeKg   float64
	Conditions Conditions
	Why        string
}

func (e *ConvergenceError) Error() string {
	return fmt.Sprintf("rig: no steady state at %.3f kg, outdoor %.1f K, return %.1f/%.1f K: %s",
		e.ChargeKg, e.Conditions.OutdoorK, e.Conditions.ReturnDryK, e.Conditions.ReturnWetK, e.Why)
}

// Steady is the state the system settles to with this charge in.
func (s *System) Steady(chargeKg float64, c Conditions, f Faults) (State, error) {
	var warm node
	return s.steadyFrom(&warm, chargeKg, c, f)
}

// steadyFrom starts from warm, where that is not zero, and leaves the solution
// in it.
func (s *System) steadyFrom(warm *node, chargeKg float64, c Conditions, f Faults) (State, error) {
	k, err := s.begin(c, f)
	if err != nil {
		return State{}, err
	}
	var p point
	if warm.m > 0 {
		k.warmM = warm.m
		if k.newton3(warm.te, warm.w, warm.z, chargeKg, &p) {
			*warm = node{p.te, p.w, p.z, p.m, chargeKg}
			return k.state(&p), nil
		}
	}
	if err := k.charged(chargeKg, &p); err != nil {
		return State{}, err
	}
	*warm = node{p.te, p.w, p.z, p.m, chargeKg}
	return k.state(&p), nil
}

// charged solves for a charge.
func (k *working) charged(kg float64, p *point) error {
	s := k.s
	if !(kg > 0) {
		return &ConvergenceError{kg, k.cond, "the charge must be more than nothing"}
	}
	te, w, z, m := s.guess(kg/s.NameplateKg, k)
	k.warmM = m
	if k.newton3(te, w, z, kg, p) {
		return nil
	}
	// March the curve and start again from the two points around.
	marched := k.march(24)
	if len(marched) < 2 {
		return &ConvergenceError{kg, k.cond, "no point of the charge curve converges"}
	}
	return k.between(marched, kg, p)
}
