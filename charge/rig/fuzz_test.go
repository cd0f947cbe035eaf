package rig

import (
	"math"
	"testing"
)

// FuzzSteady tries sizes, charges, weather and faults at random: whatever comes
// in, the answer is an error or a state of finite numbers that adds up. It must
// neither hang nor panic.
func FuzzSteady(f *testing.F) {
	f.Add(uint8(0), uint8(0), 10550.0, 6.7, 5.5, 11.0, 20.0, 308.0, 300.0, 292.0, 1.0, 0.0, 0.0, 0.0)
	f.Add(uint8(3), uint8(2), 3000.0, 4.0, 8.0, 14.0, 18.0, 290.0, 295.0, 290.0, 0.4, 0.5, 0.5, 0.0)
	f.Add(uint8(6), uint8(1), 900.0, 9.0, 2.0, 9.0, 7.0, 318.0, 276.0, 275.0, 1.4, 0.0, 1.0, 1.0)
	f.Add(uint8(9), uint8(6), 40000.0, 11.0, 3.0, 16.0, 22.0, 286.0, 305.0, 297.0, 0.05, 1.0, 0.0, 0.5)
	names := []string{"R-410A", "R-22", "R-32", "R-454B", "R-407C", "R-134a", "R-404A", "R-290", "R-455A", "R-448A"}
	f.Fuzz(func(t *testing.T, fluid, kind uint8, capacity, sh, sc, over, td, outdoor, dry, wet, share, restriction, air, gas float64) {
		spec := Spec{
			Refrigerant: names[int(fluid)%len(names)], Device: Device(kind % 4), CapacityW: capacity,
			DesignSuperheatK: sh, DesignSubcoolingK: sc, CondensingOverAmbientK: over, EvaporatorTDK: td,
			MicroChannel: kind&16 != 0,
		}
		if kind&32 != 0 {
			spec.Application = MediumTemperature
			spec.ReceiverM3 = 1e-6 * capacity
		}
		for _, v := range []float64{capacity, sh, sc, over, td} {
			if !(v >= 0 && v < 1e7) {
				if _, err := Size(spec); err == nil && math.IsNaN(v) {
					t.Fatalf("sized from %v", spec)
				}
				return
			}
		}
		sys, err := Size(spec)
		if err != nil {
			return
		}
		st, err := sys.Steady(share*sys.NameplateKg, Conditions{OutdoorK: outdoor, ReturnDryK: dry, ReturnWetK: wet},
			Faults{Restriction: restriction, LowAirflow: air, NonCondensable: gas})
		if err != nil {
			return
		}
		for i, v := range []float64{st.SuperheatK, st.SubcoolingK, st.SuctionPressurePa, st.LiquidPressurePa, st.SuctionLineK, st.LiquidLineK,
			st.DischargeLineK, st.SupplyDryK, st.SupplyWetK, st.CapacityW, st.PowerW, st.FlowKgS, st.Inventory.Total()} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("reading %d is %v in %+v of %+v", i, v, st, spec)
			}
		}
		if !st.CutOut && !st.LowCutOut {
			if d := st.Inventory.Total()/(share*sys.NameplateKg) - 1; math.Abs(d) > 1e-5 {
				t.Fatalf("mass off by %g", d)
			}
			if math.Abs(st.EnergyResidual) > 1e-3 {
				t.Fatalf("energy off by %g", st.EnergyResidual)
			}
		}
	})
}
