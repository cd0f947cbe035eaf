package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"chargehand/charge/belief/signature"
)

// restricted has far too much superheat and more subcooling than an orifice that starves can have; readings are invented.
func restricted(full bool) Reading {
	r := reading(0, 0, 45, 22, 25, 106, 95, 80, 67)
	if full {
		r.SupplyDryK, r.DischargeK = r.ReturnDryK-11*degF, zeroF+205*degF
	}
	return r
}

func share(b *Belief, cause string) float64 {
	for _, c := range b.Causes() {
		if c.Name == cause {
			return c.P
		}
	}
	return 0
}

// High superheat with high subcooling is a restriction in every table of symptoms (common practice, no single source).
func TestAFullReadingShowsARestriction(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
	b.Observe(restricted(true))
	require.True(t, b.glanced)
	require.Greater(t, share(b, Restriction), 0.9)
}

// The mark is taken in once, from the first reading that is full, and from none where it was not learnt.
func TestTheMarkIsTakenInOnce(t *testing.T) {
	u := checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton})
	b := New(u)
	b.Observe(restricted(false))
	require.False(t, b.glanced)
	b.Observe(restricted(true))
	require.True(t, b.glanced)
	before := b.hyps[0].evidence
	b.glance(restricted(true))
	require.Equal(t, before, b.hyps[0].evidence)

	iced := restricted(true)
	iced.Ice = true
	b = New(u)
	b.Observe(iced)
	require.False(t, b.glanced)
	u.Receiver = true
	b = New(u)
	b.Observe(restricted(true))
	require.False(t, b.glanced)
}

// Half of the evidence is the members', half the mark's: the log likelihood ratio of each cause is their mean.
func TestPooledEvidenceIsTheMean(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
	b.Observe(reading(0, 0, 35, 1, 31, 105, 95, 80, 67)) // not full
	full := reading(0, 0, 35, 1, 31, 105, 95, 80, 67)
	full.SupplyDryK, full.DischargeK = full.ReturnDryK-15*degF, zeroF+195*degF
	look := Look(b.unit, full)
	mark, ok := signature.Evidence(&look)
	require.True(t, ok)
	ratio := func(c cause) float64 { // against charge alone, both devices alike likely before
		var with, without []float64
		for _, h := range b.hyps {
			switch h.cause {
			case c:
				with = append(with, h.evidence)
			case causeNone:
				without = append(without, h.evidence)
			}
		}
		return logSumExp(with) - logSumExp(without)
	}
	var before [causes]float64
	for c := causeAirflow; c < causes; c++ {
		before[c] = ratio(c)
	}
	b.glance(full)
	for c := causeAirflow; c < causes; c++ {
		require.InDelta(t, 0.5*before[c]+0.5*mark[markOf[c]], ratio(c), 0.05, "%s, but for what overfeeding adds", causeName[c])
	}
}
