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

// count is how many of n members are the lot's.
func (l *lot) count(n int) int { return (n - l.first + l.apart - 1) / l.apart }

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
// the given power (Metropolis 1953, Hastings 1970). Where there is a distribution fitted to the members, three steps of
// four are drawn from it, else they are stirred as often as not.
func (l *lot) move(h *hypothesis, history []observation, most prospects, power float64, steps int, fit *fitted) {
	r := rand.New(&l.rng)
	var at []whitened // where the lot's members stand in turn, as far as known
	var known []bool
	if fit != nil {
		at, known = make([]whitened, l.count(len(h.members))), make([]bool, l.count(len(h.members)))
	}
	for range steps {
		i := -1
		for m := range l.of(h.members) {
			i++
			c := *m
			prior := 0.0
			var u whitened
			kind := r.Uint64() & 3
			leans := fit != nil && kind < 3
			switch {
			case leans:
				if !known[i] {
					at[i], known[i] = fit.white(&m.z), true
				}
				u = at[i]
				prior = fit.lean(&c, &u, r)
			case fit == nil && kind < 2:
				stir(&c, r)
			default:
				prior = l.differ(h, &c, r)
			}
			h.decode(&c, &history[0])
			now := m.logl - (1-power)*m.newest
			least := now - prior - r.ExpFloat64()
			if h.retrace(&c, history, most, least) && c.logl-(1-power)*c.newest > least {
				c.logw = m.logw
				*m = c
				if fit != nil {
					at[i], known[i] = u, leans
				}
			}
		}
	}
}

const _ = uint(64 - 2*zCount) // a word holds two bits for each number

// stir moves some of c's numbers by a Crank-Nicolson step, which leaves the prior as it is. No single size of step suits
// a first reading and a tenth.
func stir(c *member, r *rand.Rand) {
	beta := moveSteps[r.IntN(len(moveSteps))]
	keep := math.Sqrt(1 - beta*beta)
	bits := r.Uint64() // two for each number
	for j := range c.z {
		if bits&3 == 0 {
			c.z[j] = keep*c.z[j] + beta*r.NormFloat64()
		}
		bits >>= 2
	}
}

// differ moves c along the difference of two other members of its lot (differential evolution, ter Braak 2006), in a
// random share of the numbers: the members' own spread shows in which directions their numbers trade against each other.
// It returns the log ratio of the prior.
func (l *lot) differ(h *hypothesis, c *member, r *rand.Rand) float64 {
	n := l.count(len(h.members))
	other := func() *member { return &h.members[l.first+l.apart*r.IntN(n)] }
	a, b := other(), other()
	share := [3]uint64{1, 2, 4}[r.IntN(3)] // quarters of the numbers that move
	bits := r.Uint64()                     // two for each number
	moved := 0.0
	var take [zCount]bool
	for j := range take {
		if bits&3 < share {
			take[j] = true
			moved++
		}
		bits >>= 2
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
