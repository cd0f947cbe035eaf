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
	spare          []member // the other buffer of a resampling
	seen           int      // readings folded in
	rng            rand.PCG // its own stream, so that hypotheses may be worked on side by side
	lots           []lot
}

// weight is the log of prior times evidence.
func (h *hypothesis) weight() float64 { return h.prior + h.evidence }

// count is how many members stand for h.
func (h *hypothesis) count() int {
	if h.cause == causeNone {
		return particlesMain
	}
	return particlesSide
}

// draw adds n members drawn given the first reading, and finds the evidence of all so far. Their weights are not
// normalised: see settle.
func (h *hypothesis) draw(n int, o *observation) {
	h.seen = 1
	if h.lots == nil {
		h.deal()
	}
	h.members = slices.Grow(h.members, n)[:len(h.members)+n]
	fresh := h.members[len(h.members)-n:]
	h.sideBySide(func(l *lot) {
		r := rand.New(&l.rng)
		for m := range l.of(fresh) {
			m.logw = h.found(m, o, r)
		}
	})
	h.evidence = logSumExp(h.weights()) - log(float64(len(h.members)))
}

// vague reports evidence that hangs on a few of the members drawn.
func (h *hypothesis) vague() bool { return effective(h.weights()) < surelyDrawn }

// settle leaves n members of those drawn given the first reading, and spreads them out where few carry the weight.
func (h *hypothesis) settle(n int, history []observation) {
	h.normalise()
	if len(h.members) > n || h.effective() < resampleUnder*float64(n) {
		h.resample(n)
		h.rejuvenate(history, 1, 2)
	}
}

// found draws m given the first reading, and returns its log weight. The charge found on arrival is drawn from what the
// reading leaves of its prior: the likelihood is looked up in one place of each of startCells equal shares of the prior,
// then more closely about the best.
func (h *hypothesis) found(m *member, o *observation, r *rand.Rand) float64 {
	var cell, pos [startCells + 3*startFine]float64
	var ll [startCells + 3*startFine]float64
	table := startQuantiles
	if h.cause != causeNone {
		table = faultQuantiles
	}
	for j := range m.z {
		m.z[j] = r.NormFloat64()
	}
	h.decode(m, o)
	try := func(k int, p float64) {
		pos[k] = p
		m.start = quantile(table, p)
		h.anchor(m, o)
		ll[k] = m.logl + h.first(m, o)
	}
	best := 0
	for j := range startCells {
		try(j, (float64(j)+r.Float64())/startCells)
		cell[j] = 1.0 / startCells
		if ll[j] > ll[best] {
			best = j
		}
	}
	k := startCells
	for j := max(best-1, 0); j <= min(best+1, startCells-1); j++ {
		for f := range startFine {
			try(k, (float64(j)+(float64(f)+r.Float64())/startFine)/startCells)
			cell[k] = 1.0 / startCells / (startFine + 1)
			k++
		}
		cell[j] = 1.0 / startCells / (startFine + 1)
	}
	top := slices.Max(ll[:k])
	sum := 0.0
	for j := range k {
		cell[j] *= exp(ll[j] - top)
		sum += cell[j]
	}
	at := pick(cell[:k], r.Float64()*sum)
	m.z[zStart] = normalQuantile(pos[at])
	m.start = quantile(table, pos[at])
	h.anchor(m, o)
	h.advance(m, nil, o)
	m.logw = top + log(sum)
	return m.logw
}

// first is the log likelihood of the first reading, without touching the member's running part.
func (h *hypothesis) first(m *member, o *observation) float64 {
	y := m.law.at(m.start, o.w)
	scale, tails := 1.0, 1.0
	for c := range channels {
		r := o.y[c] - y[c]
		if r != r {
			continue
		}
		s := h.levelVariance(c, o) + h.white(m, c, o, &y)
		scale *= s
		tails *= level(c, r*r/s)
	}
	return -log(math.Sqrt(scale) * tails * tails * tails)
}

// level is the tail factor of a channel's first reading, q squared standard deviations off. What is off in superheat or
// subcooling then is the standing error of clamp and gauge, which has bounds, not a slip: the tail is nearly normal, and
// that of subcooling thinner, since a starved system has none and what is read then is error alone.
func level(c int, q float64) float64 {
	if c != chSH && c != chSC {
		return 1 + q/likelihoodDof
	}
	u := q / (likelihoodDof + 1)
	if c == chSC {
		u *= 1 + bounded*u
	}
	return 1 + u*(1+u*(0.5+u/6)) // e^u to third order; the sixth root of the normal's own tail
}

// levelVariance is the prior variance of the standing offset of channel c: instrument and what the law leaves open.
func (h *hypothesis) levelVariance(c int, o *observation) float64 {
	switch c {
	case chSH:
		return o.bias[c] + discSH*discSH
	case chSC:
		return o.bias[c] + discSC*discSC
	case chEvap:
		return o.bias[c] + discEvap*discEvap
	case chCond:
		sd := condOverAirSD
		if h.unit.Application != Comfort {
			sd = condOverBoxSD
		}
		return o.bias[c] + sd*sd
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
	v := o.noise[c] + whiteOf[c]*whiteOf[c]*m.disc*m.disc
	switch c {
	case chSH:
		v += m.hunt * m.hunt
	case chDisch:
		if y[chSH] < 4*degF { // wet suction: the discharge says little
			v += 36 * degF * degF
		}
	}
	return v
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
			m.off[c], m.vari[c], m.lag[c] = 0, h.levelVariance(c, o), 0
		}
	} else {
		dt := o.time - prev.time
		if o.netKg != prev.netKg && o.change < dt {
			dt = o.change
		}
		keep := exp(-max(dt, 0) / m.settle)
		wet, out := o.w.wet-prev.w.wet, o.w.out-prev.w.out
		weather := discPerOut*discPerOut*out*out + discPerWet*discPerWet*wet*wet
		for c := range channels {
			step := settled[c] - m.last[c]
			m.lag[c] = (m.lag[c] - step) * keep
			y[c] += m.lag[c]
			moved[c] = unsettled * m.lag[c]
			q := shareOf[c] * step * m.disc
			m.vari[c] += q*q + 0.3*weather*m.disc
			if x != m.x {
				m.vari[c] += 0.04 * degF * degF * m.disc
			}
		}
	}
	// The densities of the channels are multiplied before the logarithm is taken: it costs more than all the rest.
	scale, tails := 1.0, 1.0
	for c := range channels {
		r := o.y[c] - y[c] - m.off[c]
		if r != r { // not taken
			continue
		}
		v := h.white(m, c, o, &y) + moved[c]*moved[c]
		s := m.vari[c] + v
		precision := 1 / s
		t := 1 + r*r*precision*(1/likelihoodDof)
		if prev == nil {
			t = level(c, r*r*precision)
		}
		scale *= s
		tails *= t
		gain := m.vari[c] * precision
		// A reading far off moves the offset less, as a Student likelihood would have it.
		if far := t * (likelihoodDof / (likelihoodDof + 1)); far > 1 {
			gain = m.vari[c] / (m.vari[c] + far*v)
		}
		m.off[c] += gain * r
		m.vari[c] *= 1 - gain
	}
	sum := -log(math.Sqrt(scale) * tails * tails * tails) // (dof+1)/2 = 3
	m.last, m.x = settled, x
	m.logl += sum
	return sum
}
