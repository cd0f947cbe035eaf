package belief

import (
	"math"
	"slices"
	"sync"
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

// draw gives the equally weighted samples of device index d (0 orifice, 1 valve), and makes those of both when first asked.
func (b *Belief) draw(d int) []sample {
	if b.samples[d] == nil && len(b.hyps) > 0 {
		p := b.posterior()
		var wait sync.WaitGroup
		for each := range b.samples {
			wait.Go(func() { b.samples[each] = b.thin(each, p) })
		}
		wait.Wait()
	}
	return b.samples[d]
}

// thin draws the samples of device index d, where p is the probability of each hypothesis.
func (b *Belief) thin(d int, p []float64) []sample {
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
				out = append(out, sample{m: &h.members[k], cause: h.cause, normal: normals[len(out)]})
				u += 1.0 / sampleSize
			}
		}
	}
	return out
}

// normals are the random numbers of each sample: an additive recurrence, even in each dimension and uncorrelated between
// them, by the square roots of small primes (Richtmyer's sequence).
var normals = func() (all [sampleSize][4]float64) {
	for n := range all {
		for j, prime := range [4]float64{2, 3, 5, 7} {
			_, f := math.Modf(0.5 + float64(n+1)*math.Sqrt(prime))
			all[n][j] = normalQuantile(f)
		}
	}
	return all
}()

// settled is the settled reading of s after kg more, without noise.
func (s *sample) settled(kg float64, w weather) (y [channels]float64) {
	m := s.m
	y = m.law.at(m.x+kg/m.kg, w)
	for c := range channels {
		y[c] += m.off[c]
	}
	return y
}

// standing is the variance of the standing part of channel c of a settled reading y of s after kg more.
func (s *sample) standing(c int, kg float64, y *[channels]float64) float64 {
	m := s.m
	q := shareOf[c] * (y[c] - m.off[c] - m.last[c]) * m.disc
	v := m.vari[c] + q*q
	if kg != 0 {
		v += 0.04 * degF * degF * m.disc
	}
	return v
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
	b.draw(0) // both, before they are used side by side
	var each [2][2]weighted
	var wait sync.WaitGroup
	for d := range each {
		wait.Go(func() { each[d] = b.read(d, kg, o) })
	}
	wait.Wait()
	f.IfOrifice = Bands{each[0][0].bands(), each[0][1].bands()}
	f.IfValve = Bands{each[1][0].bands(), each[1][1].bands()}
	dev := b.inferred()
	both := func(k int) [3]float64 {
		return merge(each[0][k].times(dev.FixedOrifice), each[1][k].times(dev.ExpansionValve)).bands()
	}
	f.Both = Bands{both(0), both(1)}
	return f
}

// read gives the settled superheat and subcooling of the samples of device index d after kg more in the weather of o, with
// the noise of a reading, each in ascending order.
func (b *Belief) read(d int, kg float64, o *observation) (v [2]weighted) {
	for k := range v {
		v[k] = make(weighted, len(b.samples[d]))
	}
	for i := range b.samples[d] {
		s := &b.samples[d][i]
		y := s.settled(kg, o.w)
		for k, c := range [2]int{chSH, chSC} {
			x := y[c] + s.normal[k]*math.Sqrt(s.standing(c, kg, &y)+o.noise[c]+whiteOf[c]*whiteOf[c])
			if c == chSH {
				x = max(x, -3*degF)
			}
			v[k][i] = weigh{x, 1}
		}
	}
	for k, c := range [2]int{chSH, chSC} {
		v[k].sort()
		v[k].narrow(forecastSpread[c])
	}
	return v
}

// weigh is a value and its weight.
type weigh struct{ x, w float64 }

// weighted is values with their weights.
type weighted []weigh

// at returns the weighted quantiles of v, which it sorts, at the given probabilities.
func (v weighted) at(ps ...float64) []float64 {
	v.sort()
	return v.quantiles(ps...)
}

func (v weighted) sort() {
	slices.SortFunc(v, func(a, b weigh) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return 0
	})
}

// narrow draws v, in ascending order, together about its median to a share of its spread.
func (v weighted) narrow(share float64) {
	if len(v) == 0 {
		return
	}
	mid := v[len(v)/2].x
	for i := range v {
		v[i].x = mid + share*(v[i].x-mid)
	}
}

// quantiles are those of v in ascending order; not a number where v is empty.
func (v weighted) quantiles(ps ...float64) []float64 {
	out := make([]float64, len(ps))
	if len(v) == 0 {
		for i := range out {
			out[i] = math.NaN()
		}
		return out
	}
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

// bands are the percentiles of Bands of v in ascending order.
func (v weighted) bands() (b [3]float64) {
	copy(b[:], v.quantiles(0.05, 0.5, 0.95))
	return b
}

// times is v with every weight multiplied by w.
func (v weighted) times(w float64) weighted {
	out := slices.Clone(v)
	for i := range out {
		out[i].w *= w
	}
	return out
}

// merge puts a and b, both in ascending order, into one.
func merge(a, b weighted) weighted {
	out := make(weighted, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if b[0].x < a[0].x {
			out, b = append(out, b[0]), b[1:]
		} else {
			out, a = append(out, a[0]), a[1:]
		}
	}
	return append(append(out, a...), b...)
}
