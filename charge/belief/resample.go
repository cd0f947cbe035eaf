package belief

import (
	"math"
	"math/rand/v2"
	"slices"
)

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
