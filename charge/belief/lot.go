package belief

import (
	"iter"
	"math"
	"math/rand/v2"
	"sync"
)

// lots is how many the members of a device without another fault are dealt into, so that as many processors can work on
// them. It is a constant and not the number of processors: a belief hangs on its readings alone.
const lots = 4

// lot is one of the lots of a hypothesis' members: every apart-th from first on. Copies of one member, which a
// resampling leaves side by side, fall into different lots.
type lot struct {
	first, apart int
	rng          rand.PCG // its own stream, so that the outcome does not hang on who is done first
}

// deal makes the lots, as soon as the members are.
func (h *hypothesis) deal() {
	n := 1
	if h.cause == causeNone {
		n = lots
	}
	h.lots = make([]lot, n)
	for i := range h.lots {
		h.lots[i] = lot{i, n, *rand.NewPCG(h.rng.Uint64(), h.rng.Uint64())}
	}
}

// sideBySide works on every lot of h's members.
func (h *hypothesis) sideBySide(work func(*lot)) {
	var wait sync.WaitGroup
	for i := range h.lots {
		wait.Go(func() { work(&h.lots[i]) })
	}
	wait.Wait()
}

// indices gives the places of the lot's members among n.
func (l *lot) indices(n int) iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := l.first; i < n; i += l.apart {
			if !yield(i) {
				return
			}
		}
	}
}

// of gives the members of the lot.
func (l *lot) of(members []member) iter.Seq[*member] {
	return func(yield func(*member) bool) {
		for i := range l.indices(len(members)) {
			if !yield(&members[i]) {
				return
			}
		}
	}
}

// move moves each member of the lot some steps, under the likelihood of the whole history, its newest reading taken to
// the given power (Metropolis 1953, Hastings 1970).
func (l *lot) move(h *hypothesis, history []observation, power float64, steps int) {
	r := rand.New(&l.rng)
	for range steps {
		for m := range l.of(h.members) {
			c := *m
			prior := 0.0
			if r.Uint64()&1 != 0 {
				prior = l.differ(h, &c, r)
			} else {
				stir(&c, r)
			}
			h.decode(&c, &history[0])
			now := m.logl - (1-power)*m.newest
			h.retrace(&c, history, m.logl-hopeless-40)
			if -r.ExpFloat64() < c.logl-(1-power)*c.newest-now+prior {
				c.logw = m.logw
				*m = c
			}
		}
	}
}

// stir moves some of c's numbers by a Crank-Nicolson step, which leaves the prior as it is. No single size of step suits
// a first reading and a tenth.
func stir(c *member, r *rand.Rand) {
	beta := moveSteps[r.IntN(len(moveSteps))]
	keep := math.Sqrt(1 - beta*beta)
	for j := range c.z {
		if r.Uint64()&3 == 0 {
			c.z[j] = keep*c.z[j] + beta*r.NormFloat64()
		}
	}
}

// differ moves c along the difference of two other members of its lot (differential evolution, ter Braak 2006), in a
// random share of the numbers: the members' own spread shows in which directions their numbers trade against each other.
// It returns the log ratio of the prior.
func (l *lot) differ(h *hypothesis, c *member, r *rand.Rand) float64 {
	n := (len(h.members) - l.first + l.apart - 1) / l.apart
	other := func() *member { return &h.members[l.first+l.apart*r.IntN(n)] }
	a, b := other(), other()
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
