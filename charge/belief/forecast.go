package belief

import (
	"math"
	"slices"
)

// Bands are the 5th, 50th and 95th percentile of the settled reading, K.
type Bands struct{ Superheat, Subcooling [3]float64 }

// Fork is a forecast under both devices and under each.
type Fork struct{ Both, IfOrifice, IfValve Bands }

// sample is a member drawn from the posterior with the random numbers its outcomes use, so that forecasts of
// different amounts differ by the amount alone.
type sample struct {
	m      *member
	cause  cause
	normal [4]float64 // superheat, subcooling, target, spare
	kgStar float64    // mass to the target from now, set by the planner
}

// draw thins the members of device index d (0 orifice, 1 valve) to equally weighted samples.
func (b *Belief) draw(d int) []sample {
	if b.samples[d] != nil || len(b.hyps) == 0 {
		return b.samples[d]
	}
	p := b.posterior()
	total := 0.0
	for i, h := range b.hyps {
		if int(h.device)-1 == d {
			total += p[i]
		}
	}
	out := make([]sample, 0, sampleSize)
	u, acc := 0.5/sampleSize, 0.0
	for i, h := range b.hyps {
		if int(h.device)-1 != d {
			continue
		}
		share := 1.0
		if total > 0 {
			share = p[i] / total
		}
		for k := range h.members {
			acc += share * exp(h.members[k].logw)
			for acc >= u && len(out) < sampleSize {
				n := len(out)
				s := sample{m: &h.members[k], cause: h.cause}
				for j := range s.normal { // additive recurrence: even in each dimension, uncorrelated between them
					_, f := math.Modf(0.5 + float64(n+1)*recurrence[j])
					s.normal[j] = normalQuantile(f)
				}
				out = append(out, s)
				u += 1.0 / sampleSize
			}
		}
	}
	b.samples[d] = out
	return out
}

// recurrence holds the square roots of small primes, less their whole parts (Richtmyer's sequence).
var recurrence = [4]float64{0.41421356237309515, 0.7320508075688772, 0.2360679774997898, 0.6457513110645907}

// settled is the settled reading of s after kg more, without noise, and the variance of its standing part.
func (s *sample) settled(kg float64, w weather) (y, v [channels]float64) {
	m := s.m
	y = m.law.at(m.x+kg/m.kg, w)
	for c := range channels {
		q := shareOf[c] * (y[c] - m.last[c]) * m.disc
		v[c] = m.vari[c] + q*q
		if kg != 0 {
			v[c] += 0.04 * degF * degF * m.disc
		}
		y[c] += m.off[c]
	}
	return y, v
}

// Forecast returns the bands of the settled reading after kg more at the present weather. Instrument noise and the
// session's instrument bias are included, hunting is not. Before any reading every band is NaN.
func (b *Belief) Forecast(kg float64) Fork {
	var f Fork
	if len(b.history) == 0 {
		n := math.NaN()
		x := Bands{[3]float64{n, n, n}, [3]float64{n, n, n}}
		return Fork{x, x, x}
	}
	o := &b.history[len(b.history)-1]
	dev := b.inferred()
	share := [2]float64{dev.FixedOrifice, dev.ExpansionValve}
	var all [2]weighted
	for d := range 2 {
		var one [2]weighted
		for i := range b.draw(d) {
			s := &b.samples[d][i]
			y, v := s.settled(kg, o.w)
			for k, c := range [2]int{chSH, chSC} {
				x := y[c] + s.normal[k]*forecastSpread*math.Sqrt(v[c]+o.noise[c]+whiteOf[c]*whiteOf[c])
				if c == chSH {
					x = max(x, -3*degF)
				}
				one[k] = append(one[k], weigh{x, 1})
				all[k] = append(all[k], weigh{x, share[d]})
			}
		}
		bands := Bands{one[0].bands(), one[1].bands()}
		if d == 0 {
			f.IfOrifice = bands
		} else {
			f.IfValve = bands
		}
	}
	f.Both = Bands{all[0].bands(), all[1].bands()}
	return f
}

type weigh struct{ x, w float64 }
type weighted []weigh

// at returns the weighted quantiles of v at the given probabilities.
func (v weighted) at(ps ...float64) []float64 {
	out := make([]float64, len(ps))
	if len(v) == 0 {
		for i := range out {
			out[i] = math.NaN()
		}
		return out
	}
	slices.SortFunc(v, func(a, b weigh) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return 0
	})
	total := 0.0
	for _, e := range v {
		total += e.w
	}
	for i, p := range ps {
		acc := 0.0
		out[i] = v[len(v)-1].x
		for _, e := range v {
			if acc += e.w; acc >= p*total {
				out[i] = e.x
				break
			}
		}
	}
	return out
}

func (v weighted) bands() (b [3]float64) {
	copy(b[:], v.at(0.05, 0.5, 0.95))
	return b
}
