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
	accepted       float64  // share of the last moves taken
	rng            rand.PCG // its own stream, so that hypotheses may be worked on side by side
}

// weight is the log of prior times evidence.
func (h *hypothesis) weight() float64 { return h.prior + h.evidence }

// start draws the members given the first reading. The charge found on arrival is drawn from what the reading leaves of
// its prior: the likelihood is looked up in one place of each of startCells equal shares of the prior, then more closely
// about the best.
func (h *hypothesis) start(n int, o *observation) {
	r := rand.New(&h.rng)
	h.seen = 1
	h.members = make([]member, n)
	total := make([]float64, n)
	var cell, pos [startCells + 3*startFine]float64
	var ll [startCells + 3*startFine]float64
	table := startQuantiles
	if h.cause != causeNone {
		table = faultQuantiles
	}
	for i := range h.members {
		m := &h.members[i]
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
		top := ll[0]
		for j := range k {
			if ll[j] > top {
				top = ll[j]
			}
		}
		sum := 0.0
		for j := range k {
			cell[j] *= math.Exp(ll[j] - top)
			sum += cell[j]
		}
		pick, acc, at := r.Float64()*sum, 0.0, k-1
		for j := range k {
			if acc += cell[j]; acc >= pick {
				at = j
				break
			}
		}
		m.z[zStart] = normalQuantile(pos[at])
		m.start = quantile(table, pos[at])
		h.anchor(m, o)
		h.advance(m, nil, o)
		total[i] = top + math.Log(sum)
		m.logw = total[i]
	}
	h.evidence = logSumExp(total) - math.Log(float64(n))
	h.normalise()
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
	return -math.Log(math.Sqrt(scale) * tails * tails * tails)
}

// level is the tail factor of a channel's first reading, q squared standard deviations off. What is off in superheat or
// subcooling then is the standing error of clamp and gauge, which has bounds, not a slip: the tail is nearly normal.
func level(c int, q float64) float64 {
	if c == chSH || c == chSC {
		u := q / (likelihoodDof + 1)
		return 1 + u*(1+u*(0.5+u/6)) // e^u to third order; the sixth root of the normal's own tail
	}
	return 1 + q/likelihoodDof
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
		keep := math.Exp(-max(dt, 0) / m.settle)
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
		t := 1 + r*r/(likelihoodDof*s)
		if prev == nil {
			t = level(c, r*r/s)
		}
		scale *= s
		tails *= t
		// A reading far off moves the offset less, as a Student likelihood would have it.
		if far := t * likelihoodDof / (likelihoodDof + 1); far > 1 {
			v *= far
		}
		gain := m.vari[c] / (m.vari[c] + v)
		m.off[c] += gain * r
		m.vari[c] *= 1 - gain
	}
	sum := -math.Log(math.Sqrt(scale) * tails * tails * tails) // (dof+1)/2 = 3
	m.last, m.x = settled, x
	m.logl += sum
	return sum
}

// update folds the newest reading of history into every member. When it would leave few members with weight its
// likelihood is let in by powers, from zero to one, with moves in between (annealed importance sampling, Neal 2001).
// Moves are judged by the readings of past, which ends with the newest; a hypothesis that is out of the running (idle)
// is only weighed.
func (h *hypothesis) update(history, past []observation, idle bool) {
	h.seen++
	o, prev := &history[len(history)-1], &history[len(history)-2]
	for i := range h.members {
		m := &h.members[i]
		m.newest = h.advance(m, prev, o)
	}
	// A reading repeated at the same charge shares the errors of the curves with the one before it: it counts in part.
	share := 1.0
	if o.netKg == prev.netKg && math.Abs(o.w.out-prev.w.out) < degF {
		share = repeatShare
	}
	n := float64(len(h.members))
	moves := movesSide
	if h.cause == causeNone {
		moves = int(clamp(movesMain/float64(len(past)), movesLeast, movesMost)) // a move costs as much as the history is long
	}
	w := make([]float64, len(h.members))
	for power, stage := 0.0, 1; power < 1; stage++ {
		step := 1 - power
		if !idle && stage < mostStages {
			step = h.largestStep(step, keepShare*n)
		}
		for i := range h.members {
			m := &h.members[i]
			m.logw += step * m.newest
			w[i] = m.logw
		}
		h.evidence += share * logSumExp(w)
		h.normalise()
		power = min(power+step, 1)
		if power > 0.999 {
			power = 1
		}
		if e := h.effective() / n; !idle && (power < 1 || e < resampleUnder) {
			h.rejuvenate(past, power, moves)
		}
	}
}

// largestStep is the largest power of the newest likelihood, up to most, that leaves least effective members.
func (h *hypothesis) largestStep(most, least float64) float64 {
	size := func(p float64) float64 {
		top := math.Inf(-1)
		for i := range h.members {
			top = max(top, h.members[i].logw+p*h.members[i].newest)
		}
		s, q := 0.0, 0.0
		for i := range h.members {
			w := math.Exp(h.members[i].logw + p*h.members[i].newest - top)
			s += w
			q += w * w
		}
		return s * s / q
	}
	if size(most) >= least {
		return most
	}
	lo, hi := 0.0, most
	for range 10 {
		mid := 0.5 * (lo + hi)
		if size(mid) >= least {
			lo = mid
		} else {
			hi = mid
		}
	}
	return max(lo, 0.02*most)
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
// whole history, its newest reading taken to the given power, so that survivors spread out again.
func (h *hypothesis) rejuvenate(history []observation, power float64, steps int) {
	r := rand.New(&h.rng)
	n := len(h.members)
	next := h.spare
	if len(next) != n {
		next = make([]member, n)
	}
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
	h.members, h.spare = next, h.members
	if len(history) < h.seen {
		for i := range h.members { // the history was thinned: judge what is there by the same readings
			h.retrace(&h.members[i], history, math.Inf(-1))
		}
	}
	taken := 0
	for range steps {
		for i := range h.members {
			m := &h.members[i]
			c := *m
			prior := 0.0
			if r.Uint64()&3 != 0 {
				prior = h.differ(&c, r)
			} else {
				// Some of the numbers move, by a step of some size: no single size suits a first reading and a tenth.
				beta := moveSteps[r.IntN(len(moveSteps))]
				keep := math.Sqrt(1 - beta*beta)
				for j := range c.z {
					if r.Uint64()&3 == 0 {
						c.z[j] = keep*m.z[j] + beta*r.NormFloat64()
					}
				}
			}
			h.decode(&c, &history[0])
			now := m.logl - (1-power)*m.newest
			h.retrace(&c, history, m.logl-hopeless-40)
			if math.Log(r.Float64()) < c.logl-(1-power)*c.newest-now+prior {
				c.logw = m.logw
				*m = c
				taken++
			}
		}
	}
	h.accepted = float64(taken) / float64(steps*n)
}

// differ moves c along the difference of two other members (differential evolution, ter Braak 2006), in a random share of
// the numbers: the members' own spread shows in which directions their numbers trade against each other. It returns the
// log ratio of the prior.
func (h *hypothesis) differ(c *member, r *rand.Rand) float64 {
	n := len(h.members)
	a, b := &h.members[r.IntN(n)], &h.members[r.IntN(n)]
	share := [3]uint64{8, 16, 32}[r.IntN(3)] // thirty-seconds of the numbers that move
	moved := 0.0
	var take [zCount]bool
	for j := range take {
		if r.Uint64()&31 < share {
			take[j] = true
			moved++
		}
	}
	gamma := 2.38 / math.Sqrt(2*max(moved, 1)) * (0.3 + 0.9*r.Float64())
	if r.Uint64()&7 == 0 {
		gamma = 1
	}
	prior := 0.0
	for j := range take {
		if take[j] {
			old := c.z[j]
			c.z[j] += gamma*(a.z[j]-b.z[j]) + 0.02*r.NormFloat64()
			prior += 0.5 * (old*old - c.z[j]*c.z[j])
		}
	}
	return prior
}

// retrace folds a whole history into m, which has been decoded and anchored; it gives up when the likelihood falls under
// least, since such a move is never taken.
func (h *hypothesis) retrace(m *member, history []observation, least float64) {
	h.anchor(m, &history[0])
	var prev *observation
	for t := range history {
		m.newest = h.advance(m, prev, &history[t])
		prev = &history[t]
		if m.logl < least {
			return
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
