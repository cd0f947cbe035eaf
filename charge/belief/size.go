package belief

import (
	"math"
	"math/rand/v2"
)

// While nothing has been weighed in, the size of a system does not show: whatever else the readings tell, it is as open
// as before them. At the first change it is therefore drawn anew for each member, from what the reading leaves of its
// prior, looked up in a few places; the member counts by the mean over them. Otherwise the few members whose size
// happens to suit would carry that reading, and its evidence would hang on them.

// sized is what the newest reading says of a member at some places of the prior of its size.
type sized struct{ z, logl [sizePlaces]float64 }

// unsized reports that the newest reading of history is the first after a change.
func unsized(history []observation) bool {
	n := len(history) - 1
	for i := range history[:n] {
		if history[i].netKg != history[0].netKg {
			return false
		}
	}
	return history[n].netKg != history[0].netKg
}

// sizes looks the reading o, which follows prev, up in one place of each of sizePlaces equal shares of the prior of size.
func (h *hypothesis) sizes(prev, o *observation) []sized {
	out := make([]sized, len(h.members))
	h.sideBySide(func(l *lot) {
		r := rand.New(&l.rng)
		for i := l.first; i < len(out); i += l.apart {
			for k := range sizePlaces {
				m := h.members[i]
				m.z[zKg] = normalQuantile((float64(k) + r.Float64()) / sizePlaces)
				h.weigh(&m)
				out[i].z[k], out[i].logl[k] = m.z[zKg], h.advance(&m, prev, o)
			}
		}
	})
	return out
}

// mean is the log of the mean likelihood over the places, each taken to the given power.
func (s *sized) mean(power float64) float64 {
	var v [sizePlaces]float64
	for k, l := range s.logl {
		v[k] = power * l
	}
	return logSumExp(v[:]) - log(sizePlaces)
}

// size gives each member one of its places by their likelihoods, taken to the given power, and folds the reading o in.
func (h *hypothesis) size(places []sized, power float64, prev, o *observation) {
	h.sideBySide(func(l *lot) {
		r := rand.New(&l.rng)
		for i := l.first; i < len(places); i += l.apart {
			m, s := &h.members[i], &places[i]
			u := log(r.Float64()) + s.mean(power) + log(sizePlaces)
			at, acc := sizePlaces-1, math.Inf(-1)
			for k := range sizePlaces {
				acc = logSumExp([]float64{acc, power * s.logl[k]})
				if acc >= u {
					at = k
					break
				}
			}
			m.z[zKg] = s.z[at]
			h.weigh(m)
			m.newest = h.advance(m, prev, o)
		}
	})
}
