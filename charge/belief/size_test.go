package belief

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

func TestSizeIsOpenUntilChargeMoves(t *testing.T) {
	net := func(kg ...float64) (h []observation) {
		for _, x := range kg {
			h = append(h, observation{netKg: x})
		}
		return h
	}
	require.True(t, unsized(net(0, 0.2)))
	require.True(t, unsized(net(0, 0, 0, -0.2)))
	require.False(t, unsized(net(0, 0)))
	require.False(t, unsized(net(0, 0.2, 0.2)))
	require.False(t, unsized(net(0, 0.2, 0, 0.1)), "it moved before")
}

// A reading after the first change that only small systems explain is not carried
// by the few members that happen to be small: measured over other random numbers
// the log evidence of a valve scatters by 0.23, and by 0.58 where each member keeps
// the size it was drawn with.
func TestTheEvidenceAfterTheFirstChangeHangsOnNoHandful(t *testing.T) {
	first, second := reading(0, 0, 42, 3, 33, 97, 85, 80, 62), reading(20, 10, 13, 4, 40, 103, 85, 80, 62)
	var gain []float64
	for k := range 8 {
		b := &Belief{unit: checked(Unit{Refrigerant: "R-410A", CapacityW: 5 * ton})}
		b.history = append(b.history, b.observe(first))
		b.hyps = hypotheses(&b.unit)
		for i, h := range b.hyps {
			h.rng = *rand.NewPCG(uint64(1000+k), uint64(i))
		}
		b.draws()
		for _, h := range b.hyps {
			if h.device == ExpansionValve && h.cause == causeNone {
				before := h.evidence
				history := append(b.history[:1:1], b.observe(second))
				h.update(history, history, false)
				gain = append(gain, h.evidence-before)
			}
		}
	}
	require.Less(t, stat.StdDev(gain, nil), 0.4)
}
