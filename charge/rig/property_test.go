package rig

import (
	"math/rand"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawSystem is a plausible sized system with its weather, of those that pass
// all filters: a test that turns most systems away would test little.
func drawSystem(t *rapid.T, pass ...func(*System) bool) (*System, Conditions) {
	var list []drawn
	for _, d := range pool() {
		ok := true
		for _, f := range pass {
			ok = ok && f(d.sys)
		}
		if ok {
			list = append(list, d)
		}
	}
	d := rapid.SampledFrom(list).Draw(t, "system")
	return d.sys, d.cond
}

func hasValve(s *System) bool   { return s.Spec().Device.IsValve() }
func isFixed(s *System) bool    { return !hasValve(s) }
func forComfort(s *System) bool { return s.Spec().Application == Comfort }

// String is what rapid prints of a draw.
func (d drawn) String() string { return d.sys.Spec().Refrigerant + " " + d.sys.Spec().Device.String() }

type drawn struct {
	sys  *System
	cond Conditions
}

// pool is 150 plausible systems, sized once.
var pool = sync.OnceValue(func() []drawn {
	rng := rand.New(rand.NewSource(99))
	var out []drawn
	for range 150 {
		spec, cond := Plausible(rng)
		sys, err := Size(spec)
		if err != nil {
			panic(err)
		}
		out = append(out, drawn{sys, cond})
	}
	return out
})

func settle(t require.TestingT, s *System, share float64, c Conditions, f Faults) State {
	st, err := s.Steady(share*s.NameplateKg, c, f)
	require.NoError(t, err)
	return st
}

// Size keeps its promise: at the design conditions with the data plate charge
// in, capacity, superheat and subcooling are what was asked for.
func TestSizeMeetsItsDesign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, _ := drawSystem(t)
		p := s.Spec()
		st := settle(t, s, 1, p.Design, Faults{})
		require.InEpsilon(t, p.CapacityW, st.CapacityW, 2e-3)
		require.InDelta(t, p.DesignSuperheatK, st.SuperheatK, 0.15)
		require.InDelta(t, p.DesignSubcoolingK, st.SubcoolingK, 0.02)
		require.InDelta(t, p.Design.OutdoorK+p.CondensingOverAmbientK-p.CondenserDropK, st.CondensingK, 0.02)
	})
}

// What the trade knows of charge: superheat of a fixed device falls with it,
// subcooling rises (common practice; ASHRAE RP-1173 and NISTIR 7350 measured both).
func TestMonotoneInCharge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, cond := drawSystem(t)
		a := rapid.Float64Range(0.35, 1.3).Draw(t, "share")
		b := a + rapid.Float64Range(0.01, 0.1).Draw(t, "more")
		x, y := settle(t, s, a, cond, Faults{}), settle(t, s, b, cond, Faults{})
		if x.CutOut || y.CutOut {
			return
		}
		require.GreaterOrEqual(t, y.SubcoolingK, x.SubcoolingK-0.02)
		if !s.Spec().Device.IsValve() {
			require.LessOrEqual(t, y.SuperheatK, x.SuperheatK+0.02)
		}
		require.GreaterOrEqual(t, y.LiquidPressurePa, x.LiquidPressurePa*0.9999, "head rises with charge")
	})
}

// Superheat of a fixed device rises with return wet bulb and falls with outdoor
// temperature (the charging table of testdata/lab, everywhere) while the coil
// is well wet, near full charge, with liquid at the device and superheat to move. (A
// starved one can go the other way: heat turns the last of its subcooling into
// vapour at the device.) A few sizings with hardly any slope outdoors are
// plausible: 0.3 K is allowed.
func TestFixedDeviceAgainstWeather(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, cond := drawSystem(t, isFixed, forComfort)
		share := rapid.Float64Range(0.9, 1.05).Draw(t, "share")
		at := settle(t, s, share, cond, Faults{})
		if at.SuperheatK < 1 || at.SubcoolingK < 1.5 || at.CutOut {
			t.Skip("nothing to move")
		}
		humid := cond
		humid.ReturnWetK += 1
		if humid.ReturnWetK < humid.ReturnDryK {
			st := settle(t, s, share, humid, Faults{})
			require.Greater(t, st.SuperheatK, at.SuperheatK-0.25)
			// At the edge of dryness humidity does nothing, and superheat near the
			// whole temperature difference has nowhere to go.
			if at.CondensateKgS*2.5e6 > 0.25*at.CapacityW && at.SuperheatK < 15 {
				require.Greater(t, st.SuperheatK, at.SuperheatK)
			}
		}
		hot := cond
		hot.OutdoorK += 3
		if st := settle(t, s, share, hot, Faults{}); !st.CutOut {
			require.Less(t, st.SuperheatK, at.SuperheatK+0.3)
		}
	})
}

// A valve holds superheat from where it begins to hold up to overcharge, and
// is a hole of fixed size below (trade: starved region, knee, control region).
func TestValveHoldsAndStarves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, _ := drawSystem(t, hasValve)
		p := s.Spec()
		full := settle(t, s, 1, p.Design, Faults{})
		for share := 1.0; share < 1.25; share += 0.05 {
			st := settle(t, s, share, p.Design, Faults{})
			if !st.CutOut {
				require.InDelta(t, full.SuperheatK, st.SuperheatK, 3, "held at %.2f", share)
			}
		}
		low := settle(t, s, 0.5, p.Design, Faults{})
		require.True(t, low.ValveWideOpen)
		less := settle(t, s, 0.45, p.Design, Faults{})
		require.Greater(t, less.SuperheatK, low.SuperheatK, "wide open it answers like an orifice")
		require.Less(t, low.SubcoolingK, 0.5)
	})
}

// A state found through a marched curve is the state found alone.
func TestSweepAgreesWithSteady(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, cond := drawSystem(t)
		sw, err := s.Sweep(cond, Faults{}, 40)
		require.NoError(t, err)
		for i := 1; i < len(sw.States); i++ {
			require.Greater(t, sw.States[i].ChargeKg, sw.States[i-1].ChargeKg, "charge is monotone along the march")
		}
		kg := rapid.Float64Range(0.35, 1.3).Draw(t, "share") * s.NameplateKg
		a, err := sw.At(kg)
		require.NoError(t, err)
		b, err := s.Steady(kg, cond, Faults{})
		require.NoError(t, err)
		require.Equal(t, a.CutOut, b.CutOut)
		if !a.CutOut {
			require.InDelta(t, b.SuperheatK, a.SuperheatK, 1e-3)
			require.InDelta(t, b.SubcoolingK, a.SubcoolingK, 1e-3)
			require.InEpsilon(t, b.SuctionPressurePa, a.SuctionPressurePa, 1e-5)
		}
	})
}

// Where the first vapour enters the liquid line the charge does not jump: every
// charge has a state of its own.
func TestNoGapWhereLiquidEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, cond := drawSystem(t)
		k, err := s.begin(cond, Faults{})
		require.NoError(t, err)
		var p point
		total := func(z float64) float64 {
			te, w, _, m := s.guess(0.8, k)
			k.warmM = m
			if !k.solveAt(te, w, z, &p) {
				t.Skip("no state at the edge in this weather")
			}
			k.hold(&p)
			return p.inv.Total()
		}
		require.InEpsilon(t, total(-1e-8), total(1e-8), 1e-5)
	})
}

// Severity nothing is no fault at all, and small severities are small.
func TestFaultsAreContinuous(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, cond := drawSystem(t)
		share := rapid.Float64Range(0.7, 1.1).Draw(t, "share")
		at := settle(t, s, share, cond, Faults{})
		if at.CutOut {
			return
		}
		const e = 1e-3
		for name, f := range map[string]Faults{
			"airflow": {LowAirflow: e}, "fouling": {CondenserFouling: e}, "fan": {CondenserFan: e}, "restriction": {Restriction: e},
			"gas": {NonCondensable: e}, "compressor": {WeakCompressor: e}, "open": {ValveStuckOpen: e}, "shut": {ValveStuckShut: e},
			"bulb": {BulbLoose: e}, "wrong": {WrongRefrigerant: e},
		} {
			st := settle(t, s, share, cond, f)
			require.InDelta(t, at.SuperheatK, st.SuperheatK, 0.5, name)
			require.InDelta(t, at.SubcoolingK, st.SubcoolingK, 0.5, name)
			require.InEpsilon(t, at.LiquidPressurePa, st.LiquidPressurePa, 0.01, name)
		}
	})
}
