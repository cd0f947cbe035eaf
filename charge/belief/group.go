package belief

import (
	"math"
	"math/rand/v2"
	"slices"
)

// hypothesis is one device together with one cause, and the members that stand for it. Its evidence is the product of
// the mean likelihoods of the readings, so hypotheses compare by Bayes' rule however their members are resampled.
type hypothesis struct {
	device         Device
	cause          cause
	unit           *Unit
	dischargeLevel float64
	dischargeSD    float64
	prior          float64 // log
	evidence       float64 // log
	members        []member
}

// weight is the log of prior times evidence.
func (h *hypothesis) weight() float64 { return h.prior + h.evidence }

// start draws the members given the first reading.
func (h *hypothesis) start(n int, o *observation, r *rand.Rand) {
	h.members = make([]member, n)
	var ll, pos [startGrid]float64
	var kept [startGrid]member
	total := make([]float64, n)
	for i := range h.members {
		m := &h.members[i]
		for j := range m.z {
			m.z[j] = r.NormFloat64()
		}
		h.decode(m, o)
		best := math.Inf(-1)
		table := startQuantiles
		if h.cause != causeNone {
			table = faultQuantiles
		}
		for j := range startGrid {
			pos[j] = (float64(j) + r.Float64()) / startGrid
			m.start = quantile(table, pos[j])
			h.anchor(m, o)
			ll[j] = m.logl + h.first(m, o)
			best = math.Max(best, ll[j])
		}
		sum := 0.0
		for j := range ll {
			sum += math.Exp(ll[j] - best)
		}
		pick, acc := r.Float64()*sum, 0.0
		k := startGrid - 1
		for j := range ll {
			if acc += math.Exp(ll[j] - best); acc >= pick {
				k = j
				break
			}
		}
		m.z[zStart] = normalQuantile(pos[k])
		m.start = quantile(table, pos[k])
		h.anchor(m, o)
		h.advance(m, nil, o)
		total[i] = best + math.Log(sum/startGrid)
		m.logw = total[i]
	}
	_ = kept
	h.evidence = logSumExp(total) - math.Log(float64(n))
	h.normalise()
}

// first is the log likelihood of the first reading, without touching the member's running part.
func (h *hypothesis) first(m *member, o *observation) float64 {
	y := m.law.at(m.start, o.w)
	var sum float64
	for c := range channels {
		if !given(o.y[c]) {
			continue
		}
		v := h.levelVariance(m, c, o) + h.white(m, c, o, &y)
		sum += logStudent(o.y[c]-y[c], v)
	}
	return sum
}

// levelVariance is the prior variance of the standing offset of channel c: instrument and what the law leaves open.
func (h *hypothesis) levelVariance(m *member, c int, o *observation) float64 {
	k := m.disc * m.disc
	switch c {
	case chSH:
		return o.bias[c] + k*discSH*discSH
	case chSC:
		return o.bias[c] + k*discSC*discSC
	case chEvap:
		return o.bias[c] + k*discEvap*discEvap
	case chCond:
		return o.bias[c] + condOverAirSD*condOverAirSD
	case chSplit:
		sd := splitSD
		if h.unit.Application != Comfort {
			sd = splitBoxSD
		}
		return o.bias[c] + sd*sd
	}
	return o.bias[c] + h.dischargeSD*h.dischargeSD
}

// white is the variance of one reading of channel c about the member's settled curve and offset.
func (h *hypothesis) white(m *member, c int, o *observation, y *[channels]float64) float64 {
	v := o.noise[c] + discWhite*discWhite*m.disc*m.disc
	switch c {
	case chSH:
		v += m.hunt * m.hunt
	case chCond, chSplit:
		v += 0.25 * degF * degF
	case chDisch:
		v += 4 * degF * degF
		if y[chSH] < 4*degF { // wet suction: the discharge says little
			v += 36 * degF * degF
		}
	}
	return v
}

func logStudent(r, variance float64) float64 {
	return -0.5*math.Log(variance) - (likelihoodDof+1)/2*math.Log1p(r*r/(likelihoodDof*variance))
}

// fraction is the charge fraction of m when netKg has been weighed in.
func (m *member) fraction(netKg float64) float64 { return m.start + netKg/m.kg }

// advance folds reading o, which follows prev (nil at first), into the member's running part and adds its log
// likelihood to logl.
func (h *hypothesis) advance(m *member, prev, o *observation) float64 {
	x := m.fraction(o.netKg)
	y := m.law.at(x, o.w)
	settled := y
	var moved [channels]float64
	if prev == nil {
		for c := range channels {
			m.off[c], m.vari[c], m.lag[c] = 0, h.levelVariance(m, c, o), 0
		}
	} else {
		dt := o.time - prev.time
		if o.netKg != prev.netKg && o.change < dt {
			dt = o.change
		}
		keep := math.Exp(-math.Max(dt, 0) / m.settle)
		wet, out := o.w.wet-prev.w.wet, o.w.out-prev.w.out
		weather := discPerOut*discPerOut*out*out + discPerWet*discPerWet*wet*wet
		for c := range channels {
			step := settled[c] - m.last[c]
			m.lag[c] = (m.lag[c] - step) * keep
			y[c] += m.lag[c]
			moved[c] = unsettled * m.lag[c]
			q := discShare * step * m.disc
			m.vari[c] += q*q + 0.3*weather*m.disc
			if x != m.x {
				m.vari[c] += 0.04 * degF * degF * m.disc
			}
		}
	}
	sum := 0.0
	for c := range channels {
		if !given(o.y[c]) {
			continue
		}
		v := h.white(m, c, o, &y) + moved[c]*moved[c]
		s := m.vari[c] + v
		r := o.y[c] - y[c] - m.off[c]
		sum += logStudent(r, s)
		// A reading far off moves the offset less, as a Student likelihood would have it.
		v *= math.Max(1, (likelihoodDof+r*r/s)/(likelihoodDof+1))
		gain := m.vari[c] / (m.vari[c] + v)
		m.off[c] += gain * r
		m.vari[c] *= 1 - gain
	}
	m.last, m.x = settled, x
	m.logl += sum
	return sum
}

// update folds the newest reading of history into every member.
func (h *hypothesis) update(history []observation) {
	o, prev := &history[len(history)-1], &history[len(history)-2]
	w := make([]float64, len(h.members))
	for i := range h.members {
		m := &h.members[i]
		m.logw += h.advance(m, prev, o)
		w[i] = m.logw
	}
	h.evidence += logSumExp(w)
	h.normalise()
}

// normalise makes the weights sum to one.
func (h *hypothesis) normalise() {
	w := make([]float64, len(h.members))
	for i := range h.members {
		w[i] = h.members[i].logw
	}
	t := logSumExp(w)
	for i := range h.members {
		h.members[i].logw -= t
	}
}

// effective is the effective number of members, 1 / sum w².
func (h *hypothesis) effective() float64 {
	s := 0.0
	for i := range h.members {
		w := math.Exp(h.members[i].logw)
		s += w * w
	}
	return 1 / s
}

// rejuvenate resamples the members by weight and moves each with Crank-Nicolson steps under the likelihood of the
// whole history, so that survivors spread out again.
func (h *hypothesis) rejuvenate(history []observation, r *rand.Rand, steps int) {
	n := len(h.members)
	next := make([]member, n)
	u, acc, k := r.Float64()/float64(n), math.Exp(h.members[0].logw), 0
	for i := range next {
		for acc < u && k < n-1 {
			k++
			acc += math.Exp(h.members[k].logw)
		}
		next[i] = h.members[k]
		next[i].logw = -math.Log(float64(n))
		u += 1 / float64(n)
	}
	h.members = next
	for step := range steps {
		for i := range h.members {
			m := &h.members[i]
			c := *m
			beta := moveStep
			if step%2 == 1 {
				beta = moveStep / 4
			}
			keep := math.Sqrt(1 - beta*beta)
			for j := range c.z {
				c.z[j] = keep*m.z[j] + beta*r.NormFloat64()
			}
			h.decode(&c, &history[0])
			var prev *observation
			for t := range history {
				h.advance(&c, prev, &history[t])
				prev = &history[t]
				if c.logl < m.logl-25 {
					break
				}
			}
			if math.Log(r.Float64()) < c.logl-m.logl {
				c.logw = m.logw
				*m = c
			}
		}
	}
}

func logSumExp(v []float64) float64 {
	m := slices.Max(v)
	if math.IsInf(m, -1) {
		return m
	}
	s := 0.0
	for _, x := range v {
		s += math.Exp(x - m)
	}
	return m + math.Log(s)
}
