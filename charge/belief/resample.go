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
	// A reading repeated at the same charge shares the errors of the curves with the one before it: it counts in part.
	share := 1.0
	if o.netKg == prev.netKg && math.Abs(o.w.out-prev.w.out) < degF {
		share = repeatShare
	}
	n := len(h.members)
	moves := movesSide
	if h.cause == causeNone {
		moves = int(clamp(movesMain/float64(len(past)), movesLeast, movesMost)) // a move costs as much as the history is long
	}
	var sizes []tried // until the members have taken one
	if !idle && sizeShows(history) {
		sizes = h.trySizes(prev, o)
	} else {
		h.sideBySide(func(l *lot) {
			for m := range l.of(h.members) {
				m.newest = h.advance(m, prev, o)
			}
		})
	}
	gain := func(i int, from, to float64) float64 {
		if sizes != nil {
			return sizes[i].mean(to)
		}
		return (to - from) * h.members[i].newest
	}
	for power, stage := 0.0, 1; power < 1; stage++ {
		next := 1.0
		if !idle && stage < mostStages {
			next = h.nextPower(power, keepShare*float64(n), gain)
		}
		for i := range h.members {
			h.members[i].logw += gain(i, power, next)
		}
		if sizes != nil {
			h.takeSizes(sizes, next, prev, o)
			sizes = nil
		}
		h.evidence += share * h.normalise()
		power = next
		if power > 0.999 {
			power = 1
		}
		if !idle && (power < 1 || h.effective() < resampleUnder*float64(n)) {
			h.resample(n)
			h.rejuvenate(past, power, moves)
		}
	}
}

// nextPower is the largest power of the newest likelihood over from, up to one, that leaves least effective members, where
// gain is what a member's log weight gains from one power to another.
func (h *hypothesis) nextPower(from, least float64, gain func(i int, from, to float64) float64) float64 {
	w := make([]float64, len(h.members))
	left := func(to float64) float64 {
		for i := range w {
			w[i] = h.members[i].logw + gain(i, from, to)
		}
		return effective(w)
	}
	if left(1) >= least {
		return 1
	}
	lo, hi := from, 1.0
	for range 10 {
		mid := 0.5 * (lo + hi)
		if left(mid) >= least {
			lo = mid
		} else {
			hi = mid
		}
	}
	return max(lo, from+0.02*(1-from))
}

// weights are the log weights of the members.
func (h *hypothesis) weights() []float64 {
	w := make([]float64, len(h.members))
	for i := range h.members {
		w[i] = h.members[i].logw
	}
	return w
}

// normalise makes the weights sum to one, and returns the log of what they summed to.
func (h *hypothesis) normalise() float64 {
	t := logSumExp(h.weights())
	for i := range h.members {
		h.members[i].logw -= t
	}
	return t
}

// effective is the effective number of the members, whose weights sum to one.
func (h *hypothesis) effective() float64 { return effective(h.weights()) }

// effective is the effective number of samples with the given log weights, (sum w)² / sum w².
func effective(logw []float64) float64 {
	top := slices.Max(logw)
	s, q := 0.0, 0.0
	for _, l := range logw {
		w := exp(l - top)
		s += w
		q += w * w
	}
	return s * s / q
}

// resample draws n of the members by weight, evenly (systematic resampling).
func (h *hypothesis) resample(n int) {
	next := h.spare
	if len(next) != n {
		next = make([]member, n)
	}
	u, acc, k := rand.New(&h.rng).Float64()/float64(n), exp(h.members[0].logw), 0
	for i := range next {
		for acc < u && k < len(h.members)-1 {
			k++
			acc += exp(h.members[k].logw)
		}
		next[i] = h.members[k]
		next[i].logw = -log(float64(n))
		u += 1 / float64(n)
	}
	if len(h.members) != n {
		h.members = nil // too many to keep
	}
	h.members, h.spare = next, h.members
}

// rejuvenate moves each of the members, resampled, with steps under the likelihood of the whole history, its newest
// reading taken to the given power, so that survivors spread out again.
func (h *hypothesis) rejuvenate(history []observation, power float64, steps int) {
	most := h.prospects(history, power)
	if len(history) < h.seen { // the history was thinned: judge what is there by the same readings
		h.sideBySide(func(l *lot) {
			for m := range l.of(h.members) {
				h.retrace(m, history, most, math.Inf(-1))
			}
		})
	}
	var f *fitted
	if h.cause == causeNone && steps >= fitFrom { // the others' members are too few
		f = fit(h.members)
	}
	h.sideBySide(func(l *lot) { l.move(h, history, most, power, steps, f) })
}

// retrace folds a whole history into m, which has been decoded. It gives up, and reports so, as soon as the likelihood
// can no longer reach least by what is most to come, since such a move is never taken.
func (h *hypothesis) retrace(m *member, history []observation, most prospects, least float64) bool {
	h.anchor(m, &history[0])
	var prev *observation
	for t := range history {
		if m.logl+most.from(t, m) < least {
			return false
		}
		m.newest = h.advance(m, prev, &history[t])
		prev = &history[t]
	}
	return true
}

func logSumExp(v []float64) float64 {
	m := slices.Max(v)
	if math.IsInf(m, -1) {
		return m
	}
	s := 0.0
	for _, x := range v {
		s += exp(x - m)
	}
	return m + log(s)
}
