package belief

import (
	"flag"
	"fmt"
	"math"
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"chargehand/charge/rig"
)

// The members must be able to be any system of the rig, which is solved from first principles and shares nothing with
// the law: their curves are fitted to charge curves of plausible systems, with the prior as penalty, and what is left over
// and how far into the prior's tails the fit had to go is what is tested.

var fitSystems = flag.Int("fit", 16, "systems of the rig the members are fitted to; from 100 the table of the fits is printed")

// sweepRow is a settled state: charge fraction, weather, channels.
type sweepRow struct {
	x float64
	w weather
	y [channels]float64
}

type fitting struct {
	h    *hypothesis
	rows []sweepRow
	o    observation
}

const fitParameters = zCount + 6 // and one standing offset a channel

// member decodes parameters: the standard normals, then offsets in prior standard deviations.
func (f *fitting) member(p []float64) (m *member, off [channels]float64) {
	m = &member{}
	copy(m.z[:], p)
	f.h.decode(m, &f.o)
	m.law.dt = m.dtPrior + p[zCount]*m.dtSD
	f.h.shape(m, &f.o)
	off[chSH], off[chSC] = 0.3*degF*p[zCount+1], 0.3*degF*p[zCount+2]
	for i, c := range [...]int{chCond, chSplit, chDisch} {
		off[c] = math.Sqrt(f.h.levelVariance(c, &observation{})) * p[zCount+3+i]
	}
	return m, off
}

// tolerance is what the law may leave of a row: less near the target than deep in starvation.
func tolerance(c int, r *sweepRow) float64 {
	t := [channels]float64{1 * degF, 0.7 * degF, 0.8 * degF, 0.8 * degF, 0.8 * degF, 4 * degF}[c]
	if r.y[chSH] > 25*degF {
		t *= 2
	}
	if c == chDisch && r.y[chSH] < degF {
		t *= 6
	}
	return t
}

func (f *fitting) residuals(p []float64) []float64 {
	m, off := f.member(p)
	out := make([]float64, 0, len(f.rows)*channels+len(p))
	each := 1 / math.Sqrt(float64(len(f.rows))/12)
	for i := range f.rows {
		r := &f.rows[i]
		y := m.law.at(r.x, r.w)
		for c := range channels {
			out = append(out, (r.y[c]-y[c]-off[c])/tolerance(c, r)*each)
		}
	}
	return append(out, p...)
}

// solve is a damped Gauss-Newton (Marquardt 1963) from the prior's middle.
func (f *fitting) solve() []float64 {
	p := make([]float64, fitParameters)
	r := f.residuals(p)
	cost, damp := dot(r, r), 1.0
	for range 60 {
		jac := make([][]float64, len(p))
		for j := range p {
			q := slices.Clone(p)
			q[j] += 1e-4
			jac[j] = f.residuals(q)
			for i := range r {
				jac[j][i] = (jac[j][i] - r[i]) / 1e-4
			}
		}
		a := make([][]float64, len(p))
		for j := range a {
			a[j] = make([]float64, len(p)+1)
			for k := range jac {
				a[j][k] = dot(jac[j], jac[k])
			}
			a[j][len(p)] = -dot(jac[j], r)
			a[j][j] += damp*a[j][j] + 1e-6
		}
		q := slices.Clone(p)
		for j, d := range eliminate(a) {
			q[j] += clamp(d, -1, 1)
		}
		rq := f.residuals(q)
		if c := dot(rq, rq); c < cost {
			small := cost-c < 1e-4*cost
			p, r, cost, damp = q, rq, c, max(damp/3, 1e-6)
			if small {
				break
			}
		} else if damp *= 4; damp > 1e8 {
			break
		}
	}
	return p
}

func dot(a, b []float64) (s float64) {
	for i := range a {
		s += a[i] * b[i]
	}
	return s
}

// eliminate solves a linear system given as rows with the right side last.
func eliminate(a [][]float64) []float64 {
	n := len(a)
	for i := range n {
		p := i
		for k := i; k < n; k++ {
			if math.Abs(a[k][i]) > math.Abs(a[p][i]) {
				p = k
			}
		}
		a[i], a[p] = a[p], a[i]
		for k := range n {
			if k != i {
				f := a[k][i] / a[i][i]
				for c := i; c <= n; c++ {
					a[k][c] -= f * a[i][c]
				}
			}
		}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = a[i][n] / a[i][i]
	}
	return out
}

// fitTo draws a system of the rig, comfort cooling or a box with a valve, and sweeps its charge at three weathers. It
// reports false when the draw is not one that is charged by these methods.
func fitTo(rng *rand.Rand, a Application) (*fitting, bool) {
	spec, c := rig.Plausible(rng)
	out, wet := (c.OutdoorK-zeroF)/degF, (c.ReturnWetK-zeroF)/degF
	switch {
	case (spec.Application == rig.Comfort) != (a == Comfort), out < 65, out > 108:
		return nil, false
	case a == Comfort && (wet < 56 || !spec.Device.IsValve() && (3*wet-80-out)/2 < 5), a != Comfort && !spec.Device.IsValve():
		return nil, false
	}
	sys, err := rig.Size(spec)
	if err != nil {
		return nil, false
	}
	u := &Unit{Refrigerant: spec.Refrigerant, NameplateKg: sys.NameplateKg, Application: a}
	device := FixedOrifice
	if spec.Device.IsValve() {
		device, u.TargetSubcoolingK = ExpansionValve, spec.DesignSubcoolingK
	}
	f := &fitting{}
	for _, h := range hypotheses(u) {
		if h.device == device && h.cause == causeNone {
			f.h = h
		}
	}
	for i := range 3 {
		at := c
		at.OutdoorK += float64(i) * 2.5 * degF
		sw, err := sys.Sweep(at, rig.Faults{}, 60)
		if err != nil {
			return nil, false
		}
		for j := range sw.States {
			s := &sw.States[j]
			x := s.ChargeKg / sys.NameplateKg
			if x < 0.6 || x > 1.2 {
				continue
			}
			f.rows = append(f.rows, sweepRow{x, weather{at.OutdoorK, at.ReturnDryK, at.ReturnWetK}, [channels]float64{
				s.SuperheatK, s.SubcoolingK, s.EvaporatingK - at.ReturnDryK, s.CondensingK - at.OutdoorK,
				at.ReturnDryK - s.SupplyDryK, s.DischargeLineK - s.CondensingK}})
		}
	}
	if len(f.rows) < 60 {
		return nil, false
	}
	f.o.w = f.rows[0].w
	for c := range f.o.y {
		f.o.y[c] = math.NaN() // nothing to anchor on: the level is a parameter here
	}
	return f, true
}

func TestMembersCanBeTheSystemsOfTheRig(t *testing.T) {
	t.Run("comfort", func(t *testing.T) { fits(t, Comfort) })
	t.Run("boxes", func(t *testing.T) { fits(t, MediumTemperature) })
}

// fits fits the members to systems of one application and looks at what is left over.
func fits(t *testing.T, a Application) {
	rng := rand.New(rand.NewSource(11))
	var sh, sc, size []float64
	var zs [fitParameters][2][]float64
	for len(sh) < *fitSystems {
		f, ok := fitTo(rng, a)
		if !ok {
			continue
		}
		p := f.solve()
		m, off := f.member(p)
		var sum [channels]float64
		n := 0.0
		for i := range f.rows {
			if r := &f.rows[i]; r.y[chSH] < 25*degF && r.x < 1.1 { // where jobs end
				y := m.law.at(r.x, r.w)
				for c := range channels {
					e := (r.y[c] - y[c] - off[c]) / degF
					sum[c] += e * e
				}
				n++
			}
		}
		sh, sc, size = append(sh, math.Sqrt(sum[chSH]/n)), append(sc, math.Sqrt(sum[chSC]/n)), append(size, dot(p, p))
		for j := range p {
			zs[j][f.h.device-1] = append(zs[j][f.h.device-1], p[j])
		}
	}
	slices.Sort(sh)
	slices.Sort(sc)
	slices.Sort(size)
	at := func(v []float64, q float64) float64 { return v[int(q*float64(len(v)-1))] }
	t.Logf("residual superheat median %.2f, nine tenths %.2f °F; subcooling %.2f, %.2f °F; squared length in the prior median %.0f, nine tenths %.0f of %d",
		at(sh, 0.5), at(sh, 0.9), at(sc, 0.5), at(sc, 0.9), at(size, 0.5), at(size, 0.9), fitParameters)
	require.Less(t, at(sh, 0.5), 0.8, "superheat left over by the law, °F")
	require.Less(t, at(sc, 0.5), 0.7, "subcooling left over by the law, °F")
	require.Less(t, at(size, 0.9), float64(fitParameters), "a draw of the prior itself has this squared length")
	if *fitSystems >= 100 {
		for j := range zs {
			s := fmt.Sprintf("%2d", j)
			for d := range zs[j] {
				if v := zs[j][d]; len(v) > 2 {
					slices.Sort(v)
					s += fmt.Sprintf("   %v: %5.2f %5.2f %5.2f", Device(d+1), at(v, 0.1), at(v, 0.5), at(v, 0.9))
				}
			}
			t.Log(s)
		}
	}
}
