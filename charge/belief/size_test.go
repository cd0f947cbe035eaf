package belief

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

func TestSizeShowsWhenChargeFirstMoves(t *testing.T) {
	net := func(kg ...float64) (h []observation) {
		for _, x := range kg {
			h = append(h, observation{netKg: x})
		}
		return h
	}
	require.True(t, sizeShows(net(0, 0.2)))
	require.True(t, sizeShows(net(0, 0, 0, -0.2)))
	require.False(t, sizeShows(net(0, 0)))
	require.False(t, sizeShows(net(0, 0.2, 0.2)))
	require.False(t, sizeShows(net(0, 0.2, 0, 0.1)), "it moved before")
}

// A reading after the first change that only small systems explain is not carried
// by the few members that happen to be small: measured over other random numbers
// the log evidence of a valve scatters by 0.23, and by 0.58 where each member keeps
// the size it was drawn with.
func TestTheEvidenceAfterTheFirstChangeHangsOnNoHandful(t *testing.T) {
	first, second := reading(0, 0, 42, 3, 33, 97, 85, 80, 62), reading(20, 10, 13, 4, 40, 103, 85, 80, 62)
	var gain []float64
	for k := range 8 {
		b := drawn(k, first)
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
