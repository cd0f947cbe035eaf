package rig

import (
	"math"
	"math/rand"
	"os"
	"strconv"
	"testing"

	"chargehand/charge/moistair"

	"github.com/stretchr/testify/require"
)

// TestConvergence solves random plausible systems at random charges from 35 to
// 140 % of the data plate. RIG_SYSTEMS sets their number; 10,000 is the figure
// reported.
func TestConvergence(t *testing.T) {
	n := 600
	if v, err := strconv.Atoi(os.Getenv("RIG_SYSTEMS")); err == nil {
		n = v
	}
	type family struct {
		name  string
		draw  func(*rand.Rand) (Spec, Conditions)
		fault bool
		share float64
	}
	for _, f := range []family{
		{"sound", Plausible, false, 1},
		{"faulty", Plausible, true, 0.5},
		{"receiver", PlausibleReceiver, false, 0.3},
		{"faulty receiver", PlausibleReceiver, true, 0.3},
	} {
		t.Run(f.name, func(t *testing.T) {
			rng := rand.New(rand.NewSource(2026))
			failed, cutout, worst := 0, 0, 0.0
			count := int(float64(n) * f.share)
			for range count {
				spec, cond := f.draw(rng)
				share := between(rng, 0.35, 1.40)
				var faults Faults
				if f.fault {
					faults = PlausibleFault(rng, spec)
				}
				sys, err := Size(spec)
				if err != nil {
					failed++
					t.Errorf("size %+v: %v", spec, err)
					continue
				}
				st, err := sys.Steady(share*sys.NameplateKg, cond, faults)
				if err != nil {
					failed++
					t.Errorf("%.0f %% of %+v: %v", share*100, spec, err)
					continue
				}
				if st.CutOut || st.LowCutOut {
					cutout++
					continue
				}
				worst = math.Max(worst, math.Abs(st.EnergyResidual))
				checkLaws(t, sys, share*sys.NameplateKg, faults, st)
			}
			t.Logf("%d systems, %d failed, %d past a limit, worst energy residual %.1e", count, failed, cutout, worst)
			t.Logf("bar: rig steady state on random plausible systems, %s | converged on all of 10,000 | %d of %d, %d of them stopped by their pressure controls; energy within %.0e | RIG_SYSTEMS=10000 go test -v -run Convergence ./charge/rig",
				f.name, count-failed, count, cutout, worst)
		})
	}
}

// checkLaws holds the state found for a charge to mass, energy, entropy and
// plain sense.
func checkLaws(t require.TestingT, sys *System, kg float64, f Faults, st State) {
	require.InEpsilon(t, kg, st.Inventory.Total(), 1e-6, "mass: the inventory is the charge asked for")
	require.InEpsilon(t, kg, st.ChargeKg, 1e-6)
	require.Less(t, math.Abs(st.EnergyResidual), 1e-3, "energy: balance closes to 0.1 %%")
	require.InDelta(t, st.CapacityW, airHeat(t, sys, f, st), 1e-3*sys.Spec().CapacityW, "energy: the air loses what the refrigerant takes up")
	require.GreaterOrEqual(t, st.EntropyMade, 0.0, "entropy: the compressor makes some")
	// Heat given off by the condenser is what evaporator, lines and compressor took in.
	for name, v := range map[string]float64{"suction pressure": st.SuctionPressurePa, "flow": st.FlowKgS, "power": st.PowerW, "capacity": st.CapacityW} {
		require.Greater(t, v, 0.0, name)
	}
	require.Greater(t, st.LiquidPressurePa, st.SuctionPressurePa)
	require.GreaterOrEqual(t, st.DischargePressurePa, st.LiquidPressurePa)
	require.GreaterOrEqual(t, st.SuperheatK, -8.0, "no lower than the glide of a zeotrope")
	if st.SuctionQuality >= 1 {
		require.GreaterOrEqual(t, st.SuperheatK, -1e-6)
	}
	require.LessOrEqual(t, st.SupplyDryK, st.Conditions.ReturnDryK+1e-6)
	require.LessOrEqual(t, st.SupplyWetK, st.SupplyDryK+1e-6)
	require.GreaterOrEqual(t, st.CondensateKgS, -1e-9)
	require.Greater(t, st.DischargeLineK, st.Conditions.OutdoorK-5)
}

// airHeat is what return air loses on its way to the supply, from its dry and
// wet bulbs alone.
func airHeat(t require.TestingT, sys *System, f Faults, st State) float64 {
	c := st.Conditions
	in, err := moistair.HumidityRatioFromWetBulb(c.ReturnDryK, c.ReturnWetK, c.BarometerPa)
	require.NoError(t, err)
	out, err := moistair.HumidityRatioFromWetBulb(st.SupplyDryK, math.Min(st.SupplyWetK, st.SupplyDryK), c.BarometerPa)
	require.NoError(t, err)
	flow := sys.evapAir * (1 - 0.85*f.LowAirflow) * c.BarometerPa / 101325
	return flow * (moistair.Enthalpy(c.ReturnDryK, in) - moistair.Enthalpy(st.SupplyDryK, out))
}
