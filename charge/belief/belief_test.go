package belief

import (
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// reading gives a reading from figures in °F, as a technician would say them.
func reading(minutes, netOz, sh, sc, evap, cond, outdoor, dry, wet float64) Reading {
	r := NewReading()
	r.Minutes, r.NetKg = minutes, netOz*oz
	if netOz != 0 {
		r.SinceChange = 15
	}
	r.SuperheatK, r.SubcoolingK = sh*degF, sc*degF
	r.EvaporatingK, r.CondensingK = zeroF+evap*degF, zeroF+cond*degF
	r.OutdoorK, r.ReturnDryK, r.ReturnWetK = zeroF+outdoor*degF, zeroF+dry*degF, zeroF+wet*degF
	return r
}

func checked(u Unit) Unit {
	u.AirSideChecked, u.CondenserChecked = true, true
	return u
}

func band(mid, half float64) Band {
	return Band{Low: (mid - half) * degF, Mid: mid * degF, High: (mid + half) * degF, Defined: true}
}

// A 5 ton R-410A split after its condenser was washed: common practice, no source.
func TestPracticeReadingIsShortOfCharge(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 5 * ton}))
	b.Observe(reading(0, 0, 42, 3, 33, 97, 85, 80, 62))
	require.Equal(t, ShortOfCharge, b.Causes()[0].Name)
	p := b.Plan(Goal{OrificeSuperheat: band(8.9, 5), ValveSubcooling: band(10, 3), SuperheatFloorK: 5 * degF})
	require.Equal(t, Add, p.Move)
	require.InDelta(t, 8, p.Kg/oz, 4)
	require.Equal(t, Unknown, b.Device().Verdict)

	b.Observe(reading(20, 10, 13, 4, 40, 103, 85, 80, 62))
	b.Observe(reading(40, 16, 7, 4, 41, 104, 85, 80, 62))
	require.Greater(t, b.Device().FixedOrifice, 0.8)
}

func TestSameReadingsGiveTheSameBelief(t *testing.T) {
	run := func() DevicePosterior {
		b := New(checked(Unit{Refrigerant: "R-22", CapacityW: 3 * ton}))
		b.Observe(reading(0, 0, 30, 2, 36, 108, 90, 76, 64))
		b.Observe(reading(15, 6, 22, 4, 38, 110, 90, 76, 64))
		return b.Device()
	}
	require.Equal(t, run(), run())
}

func TestTheBeliefDoesNotHangOnTheProcessors(t *testing.T) {
	run := func(processors int) DevicePosterior {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		b := New(checked(Unit{Refrigerant: "R-22", CapacityW: 3 * ton}))
		b.Observe(reading(0, 0, 30, 2, 36, 108, 90, 76, 64))
		b.Observe(reading(15, 6, 22, 4, 38, 110, 90, 76, 64))
		b.Observe(reading(30, 12, 10, 8, 40, 112, 90, 76, 64))
		return b.Device()
	}
	require.Equal(t, run(1), run(8))
}

// drawn is the belief in a five ton system after its first reading, from random
// numbers of its own for each k.
func drawn(k int, first Reading) *Belief {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 5 * ton}))
	b.history = append(b.history, b.observe(first))
	b.hyps = hypotheses(&b.unit)
	for i, h := range b.hyps {
		h.rng = *rand.NewPCG(uint64(1000+k), uint64(i))
	}
	b.draws()
	return b
}

// A first reading that is not what the prior expects is carried by few members of
// those first drawn. With more drawn its evidence hangs on no handful: measured
// over other random numbers its log odds scatter by 0.2, and by 0.4 without.
func TestTheEvidenceOfAnOddFirstReadingHangsOnNoHandful(t *testing.T) {
	var odds []float64
	for k := range 8 {
		b := drawn(k, reading(0, 0, 45, 11, 30, 100, 85, 78, 66))
		var fault, sound []float64
		for _, h := range b.hyps {
			if h.cause == causeNone {
				sound = append(sound, h.weight())
			} else {
				fault = append(fault, h.weight())
			}
		}
		odds = append(odds, logSumExp(fault)-logSumExp(sound))
	}
	require.Less(t, stat.StdDev(odds, nil), 0.33)
}

func TestCloneIsIndependent(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-22", CapacityW: 3 * ton}))
	b.Observe(reading(0, 0, 30, 2, 36, 108, 90, 76, 64))
	before := b.Device()
	c := b.Clone()
	c.Observe(reading(15, 6, 12, 2, 42, 110, 90, 76, 64))
	require.Equal(t, before, b.Device())
	require.NotEqual(t, before, c.Device())
}

func TestNothingIsSaidBeforeAReading(t *testing.T) {
	b := New(Unit{Refrigerant: "R-410A"})
	require.Equal(t, Unknown, b.Device().Verdict)
	require.Empty(t, b.Causes())
	require.Equal(t, Measure, b.Plan(Goal{}).Move)
	require.True(t, math.IsNaN(b.Forecast(0).Both.Superheat[1]))
}
