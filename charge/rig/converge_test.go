package rig

import (
	"math"
	"math/rand"
	"os"
	"strconv"
	"testing"

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
				checkLaws(t, st)
			}
			t.Logf("%d systems, %d failed, %d past a limit, worst energy residual %.1e", count, failed, cutout, worst)
		})
	}
}

// checkLaws holds a state to mass, energy, entropy and plain sense.
func checkLaws(t require.TestingT, st State) {
	require.InEpsilon(t, st.ChargeKg, st.Inventory.Total(), 1e-6, "mass: the inventory is the charge")
	require.Less(t, math.Abs(st.EnergyResidual), 1e-3, "energy: balance closes to 0.1 %%")
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
