package rig

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func newPlant(t testing.TB, spec Spec, o PlantOptions) (*System, *Plant) {
	t.Helper()
	s, err := Size(spec)
	require.NoError(t, err)
	if o.ChargeKg != 0 {
		o.ChargeKg *= s.NameplateKg // given as a share
	}
	p, err := NewPlant(s, o)
	require.NoError(t, err)
	return s, p
}

// After an increment the readings reach the steady state, most of the way in
// five minutes and all of it in twenty (waits of 10 to 20 min are common
// practice; makers print 5 to 20).
func TestPlantSettlesAfterAnIncrement(t *testing.T) {
	for _, spec := range []Spec{
		{Refrigerant: "R-410A"},
		{Refrigerant: "R-22", CapacityW: 6 * wattsPerTon},
		{Refrigerant: "R-134a", Application: MediumTemperature, CapacityW: 1500, Device: CapillaryTube},
		{Refrigerant: "R-32", Device: ElectronicValve},
	} {
		s, p := newPlant(t, spec, PlantOptions{ChargeKg: 0.85})
		before := p.State()
		p.Add(0.08 * s.NameplateKg)
		require.NoError(t, p.Advance(20*time.Second))
		early := p.State()
		require.NoError(t, p.Advance(5*time.Minute))
		five := p.State()
		require.NoError(t, p.Advance(15*time.Minute))
		after := p.State()
		want, err := p.Settled()
		require.NoError(t, err)
		require.InDelta(t, want.SuperheatK, after.SuperheatK, 0.15, spec.Refrigerant)
		require.InDelta(t, want.SubcoolingK, after.SubcoolingK, 0.1)
		require.InDelta(t, want.DischargeLineK, after.DischargeLineK, 1.5)
		require.InDelta(t, want.SuperheatK, five.SuperheatK, 0.4*math.Abs(want.SuperheatK-before.SuperheatK)+0.6)
		require.Greater(t, math.Abs(early.SubcoolingK-want.SubcoolingK), 0.3*math.Abs(before.SubcoolingK-want.SubcoolingK), "not at once")
	}
}

// What is weighed in spreads in about the time the flow needs to carry the
// charge round once: a fraction 1/e is still under way after it.
func TestChargeMigratesOnceRound(t *testing.T) {
	s, p := newPlant(t, Spec{Refrigerant: "R-410A"}, PlantOptions{ChargeKg: 0.9})
	round := p.ChargeKg() / p.State().FlowKgS
	require.Greater(t, round, 30.0)
	require.Less(t, round, 120.0)
	added := 0.05 * s.NameplateKg
	p.Add(added)
	require.NoError(t, p.Advance(time.Duration(round*float64(time.Second))))
	require.InDelta(t, math.Exp(-1), (p.charge-p.settled)/added, 0.04)
}

// The controller of an electronic valve steps towards its setting: suction
// pressure comes to rest later than with a thermostatic one.
func TestElectronicValveIsSlower(t *testing.T) {
	left := func(d Device) float64 {
		_, p := newPlant(t, Spec{Refrigerant: "R-410A", Device: d, ValveGradientK: 5}, PlantOptions{})
		before := p.shown.SuctionPressurePa
		require.NoError(t, p.SetFaults(Faults{LowAirflow: 0.3}))
		require.NoError(t, p.Advance(time.Minute))
		return (p.shown.SuctionPressurePa - p.target.SuctionPressurePa) / (before - p.target.SuctionPressurePa)
	}
	require.Greater(t, left(ElectronicValve), left(ThermostaticValve)+0.15)
}

func TestPlantIsDeterministicForASeed(t *testing.T) {
	run := func(seed int64) []State {
		_, p := newPlant(t, Spec{Refrigerant: "R-410A", Device: ThermostaticValve, ValveGradientK: 1.8}, PlantOptions{ChargeKg: 0.9, GustK: 0.4, Seed: seed})
		var out []State
		for range 40 {
			require.NoError(t, p.Advance(17*time.Second))
			out = append(out, p.State())
		}
		return out
	}
	require.Equal(t, run(3), run(3))
	require.NotEqual(t, run(3), run(4))
}

// A stiff valve hunts with a period of minutes (common practice: 1 to 6 min),
// superheat more than subcooling; a slack one is quiet, and so is a starved one.
func TestHunting(t *testing.T) {
	swing := func(gradient, charge float64) (sh, sc, period float64) {
		_, p := newPlant(t, Spec{Refrigerant: "R-410A", Device: ThermostaticValve, ValveGradientK: gradient}, PlantOptions{ChargeKg: charge, Seed: 1})
		require.NoError(t, p.Advance(20*time.Minute))
		loSH, hiSH, loSC, hiSC := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		var seen, suction []float64
		for range 360 {
			require.NoError(t, p.Advance(5*time.Second))
			st := p.State()
			loSH, hiSH = math.Min(loSH, st.SuperheatK), math.Max(hiSH, st.SuperheatK)
			loSC, hiSC = math.Min(loSC, st.SubcoolingK), math.Max(hiSC, st.SubcoolingK)
			seen, suction = append(seen, st.SuperheatK), append(suction, st.SuctionPressurePa)
		}
		// Where superheat stands high the coil is short of refrigerant: suction
		// pressure stands low.
		if hiSH-loSH > 1 {
			require.Less(t, correlation(seen, suction), -0.8)
		}
		crossings, middle := 0, (hiSH+loSH)/2
		for i := 1; i < len(seen); i++ {
			if (seen[i]-middle)*(seen[i-1]-middle) < 0 {
				crossings++
			}
		}
		return hiSH - loSH, hiSC - loSC, 2 * 5 * float64(len(seen)) / math.Max(float64(crossings), 1) / 60
	}
	sh, sc, period := swing(1.8, 1)
	require.Greater(t, sh, 2.0)
	require.Less(t, sc, sh/3)
	require.Greater(t, period, 0.8)
	require.Less(t, period, 6.0)
	quiet, _, _ := swing(5, 1)
	require.Less(t, quiet, 0.8)
	starved, _, _ := swing(1.8, 0.74)
	require.Less(t, starved, 0.3)
}

// correlation is Pearson's coefficient.
func correlation(x, y []float64) float64 {
	var mx, my, xy, xx, yy float64
	for i := range x {
		mx, my = mx+x[i]/float64(len(x)), my+y[i]/float64(len(y))
	}
	for i := range x {
		dx, dy := x[i]-mx, y[i]-my
		xy, xx, yy = xy+dx*dy, xx+dx*dx, yy+dy*dy
	}
	return xy / math.Sqrt(xx*yy)
}

func TestPlantWeatherLeakAndFaults(t *testing.T) {
	c := Comfort.Rating()
	hot := c
	hot.OutdoorK += 6
	s, p := newPlant(t, Spec{Refrigerant: "R-410A"}, PlantOptions{
		Weather: []Weather{{0, c}, {30 * time.Minute, hot}}, LeakKgPerHour: 0.1,
	})
	start := p.State()
	require.NoError(t, p.Advance(time.Hour))
	require.Equal(t, time.Hour, p.Clock())
	require.InDelta(t, hot.OutdoorK, p.Conditions().OutdoorK, 1e-9)
	require.InDelta(t, s.NameplateKg-0.1, p.ChargeKg(), 0.005, "the leak")
	require.Greater(t, p.State().LiquidPressurePa, start.LiquidPressurePa)

	p.SetLeak(0)
	require.NoError(t, p.SetFaults(Faults{CondenserFan: 0.5}))
	require.NoError(t, p.Advance(time.Minute))
	failing := p.State()
	require.Greater(t, failing.LiquidPressurePa, start.LiquidPressurePa*1.05, "a fan failure acts within a minute")
	require.NoError(t, p.SetFaults(Faults{}))
	require.NoError(t, p.Advance(20*time.Minute))
	want, err := p.Settled()
	require.NoError(t, err)
	require.InEpsilon(t, want.LiquidPressurePa, p.State().LiquidPressurePa, 0.002, "restored")
	require.Error(t, p.SetFaults(Faults{Restriction: 3}))
}

// Refrigerant is neither made nor lost but by Add and the leak, and never runs under nothing.
func TestPlantCharge(t *testing.T) {
	s, p := newPlant(t, Spec{Refrigerant: "R-410A"}, PlantOptions{})
	for _, kg := range []float64{0.2, -0.5, 0.1} {
		p.Add(kg)
		require.NoError(t, p.Advance(90*time.Second))
	}
	require.InDelta(t, s.NameplateKg-0.2, p.ChargeKg(), 1e-9)
	p.Add(-100)
	require.Greater(t, p.ChargeKg(), 0.0)
	require.NoError(t, p.Advance(30*time.Minute))
	require.True(t, p.State().LowCutOut)
}

// A poorly blown coil ices over in tens of minutes, keeps its ice while it runs,
// and is clear after 40 minutes of rest (common practice: stop and thaw).
func TestIcing(t *testing.T) {
	_, p := newPlant(t, Spec{Refrigerant: "R-410A", Device: ThermostaticValve}, PlantOptions{ChargeKg: 0.95, Faults: Faults{LowAirflow: 0.85}})
	air := p.State().SupplyDryK
	require.NoError(t, p.Advance(5*time.Minute))
	require.Less(t, p.IceKg(), 0.5, "not at once")
	require.NoError(t, p.Advance(55*time.Minute))
	require.Greater(t, p.IceKg(), 1.0)
	require.Less(t, p.State().SupplyDryK, air, "less air, colder")
	p.Rest(40 * time.Minute)
	require.Zero(t, p.IceKg())
	require.NoError(t, p.SetFaults(Faults{}))
	require.NoError(t, p.Advance(time.Hour))
	require.Zero(t, p.IceKg())
	require.Equal(t, 160*time.Minute, p.Clock())
}
