package belief

import "math/rand/v2"

// While nothing has been weighed in, the size of a system does not show: whatever else the readings tell, it is as open
// as before them. At the first change it is therefore drawn anew for each member, from what the reading leaves of its
// prior, looked up in a few places; the member counts by the mean over them. Otherwise the few members whose size
// happens to suit would carry that reading, and its evidence would hang on them.

// tried is what the newest reading says of a member at some places of the prior of its size.
type tried struct{ z, logl [sizePlaces]float64 }

// sizeShows reports that the newest reading of history is the first at another charge.
func sizeShows(history []observation) bool {
	newest := len(history) - 1
	for i := range history[:newest] {
		if history[i].netKg != history[0].netKg {
			return false
		}
	}
	return history[newest].netKg != history[0].netKg
}

// trySizes looks the reading o, which follows prev, up in one place of each of sizePlaces equal shares of the prior of
// size, for each member.
func (h *hypothesis) trySizes(prev, o *observation) []tried {
	out := make([]tried, len(h.members))
	h.sideBySide(func(l *lot) {
		r := rand.New(&l.rng)
		for i := range l.indices(len(out)) {
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
func (t *tried) mean(power float64) float64 {
	var v [sizePlaces]float64
	for k, l := range t.logl {
		v[k] = power * l
	}
	return logSumExp(v[:]) - log(sizePlaces)
}

// takeSizes gives each member one of the sizes tried, by their likelihoods taken to the given power, and folds the reading
// o in.
func (h *hypothesis) takeSizes(all []tried, power float64, prev, o *observation) {
	h.sideBySide(func(l *lot) {
		r := rand.New(&l.rng)
		for i := range l.indices(len(all)) {
			m, t := &h.members[i], &all[i]
			mean := t.mean(power)
			var w [sizePlaces]float64
			for k, logl := range t.logl {
				w[k] = exp(power*logl - mean)
			}
			m.z[zKg] = t.z[pick(w[:], r.Float64()*sizePlaces)]
			h.weigh(m)
			m.newest = h.advance(m, prev, o)
		}
	})
}
