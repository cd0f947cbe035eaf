package rig

import (
	"testing"

	"chargehand/refrigerants"

	"github.com/stretchr/testify/require"
)

// The patterns a technician is taught (common practice, as in service
// textbooks' fault tables): what each fault does to superheat (SH), subcooling
// (SC), evaporating (ET) and condensing temperature (CT) and to capacity (Q) of
// a system that is right otherwise. + higher, - lower, 0 within the tolerance
// of a field reading, ? not said.
func TestFaultSignatures(t *testing.T) {
	orifice, err := Size(Spec{Refrigerant: "R-410A"})
	require.NoError(t, err)
	valve, err := Size(Spec{Refrigerant: "R-410A", Device: ThermostaticValve})
	require.NoError(t, err)
	for _, c := range []struct {
		name    string
		sys     *System
		f       Faults
		pattern string // SH SC ET CT Q
	}{
		{"orifice, low air flow", orifice, Faults{LowAirflow: 0.4}, "-0-0-"},
		{"orifice, dirty condenser", orifice, Faults{CondenserFouling: 0.5}, "-?++-"},
		{"orifice, weak fan", orifice, Faults{CondenserFan: 0.5}, "-?++-"},
		{"orifice, restriction", orifice, Faults{Restriction: 0.6}, "++-?-"},
		{"orifice, non-condensables", orifice, Faults{NonCondensable: 0.5}, "-+?+-"},
		{"orifice, weak compressor", orifice, Faults{WeakCompressor: 0.4}, "-?+--"},
		{"valve, low air flow", valve, Faults{LowAirflow: 0.4}, "0?-0-"},
		{"valve, dirty condenser", valve, Faults{CondenserFouling: 0.5}, "0?0+-"},
		{"valve, restriction", valve, Faults{Restriction: 0.9}, "++-?-"},
		{"valve, non-condensables", valve, Faults{NonCondensable: 0.5}, "0+0+-"},
		{"valve, weak compressor", valve, Faults{WeakCompressor: 0.4}, "0?+--"},
		{"valve, stuck open", valve, Faults{ValveStuckOpen: 0.8}, "--+??"},
		{"valve, stuck shut", valve, Faults{ValveStuckShut: 0.6}, "++---"},
		{"valve, bulb loose", valve, Faults{BulbLoose: 0.6}, "-???0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			at := settle(t, c.sys, 1, Comfort.Rating(), Faults{})
			st := settle(t, c.sys, 1, Comfort.Rating(), c.f)
			require.False(t, st.CutOut)
			checkLaws(t, c.sys, c.sys.NameplateKg, c.f, st)
			moves := []struct {
				name      string
				by, quiet float64
			}{
				{"superheat", st.SuperheatK - at.SuperheatK, 1.2},
				{"subcooling", st.SubcoolingK - at.SubcoolingK, 1.2},
				{"evaporating", st.EvaporatingK - at.EvaporatingK, 0.7},
				{"condensing", st.CondensingK - at.CondensingK, 1.2},
				{"capacity", (st.CapacityW/at.CapacityW - 1) * 100, 2},
			}
			for i, m := range moves {
				switch c.pattern[i] {
				case '+':
					require.Greater(t, m.by, 0.0, m.name)
				case '-':
					require.Less(t, m.by, 0.0, m.name)
				case '0':
					require.InDelta(t, 0, m.by, m.quiet, m.name)
				}
			}
		})
	}
}

// A restriction that starves the device cannot be filled away: charge raises
// subcooling while superheat stays high (the wrong move of the fault table).
func TestChargeDoesNotCureARestriction(t *testing.T) {
	s, err := Size(Spec{Refrigerant: "R-410A"})
	require.NoError(t, err)
	f := Faults{Restriction: 0.8}
	a, b := settle(t, s, 1, Comfort.Rating(), f), settle(t, s, 1.1, Comfort.Rating(), f)
	require.Greater(t, b.SubcoolingK, a.SubcoolingK)
	require.Greater(t, b.SuperheatK, 10.0)
}

// The trap of the head-pressure control (trade): its bypass stuck open leaves a
// bubbling or saturated liquid line with the drop leg strongly subcooled.
func TestStuckHeadPressureControl(t *testing.T) {
	s, err := Size(Spec{Refrigerant: "R-404A", Device: ThermostaticValve, Application: MediumTemperature, CapacityW: 5000, ReceiverM3: 0.006})
	require.NoError(t, err)
	c := MediumTemperature.Rating()
	sound := settle(t, s, 0.85, c, Faults{})
	require.Less(t, sound.CondensingK-sound.DropLegK, 2.0)
	stuck := settle(t, s, 0.85, c, Faults{HeadPressure: 1})
	require.Greater(t, stuck.CondensingK-stuck.DropLegK, 8.0)
	require.Less(t, stuck.SubcoolingK, 1.0)
	require.Greater(t, stuck.CondensingK, sound.CondensingK)
}

// In the cold a flooding control holds the head at its setting by filling the
// condenser, as long as the charge lasts; short, the head falls and the glass
// bubbles (trade: flooding allowance is weighed in on top).
func TestFloodingControl(t *testing.T) {
	f, err := lookup("R-404A")
	require.NoError(t, err)
	set := f.bubbleP(302)
	s, err := Size(Spec{Refrigerant: "R-404A", Device: ThermostaticValve, Application: MediumTemperature, CapacityW: 5000, ReceiverM3: 0.006, HeadPressurePa: set})
	require.NoError(t, err)
	c := MediumTemperature.Rating()
	c.OutdoorK = fahrenheit(20)
	enough := settle(t, s, 1.3, c, Faults{})
	require.InEpsilon(t, set, enough.DischargePressurePa, 0.01)
	require.Greater(t, enough.LiquidZone, 0.5, "most of the condenser is flooded")
	short := settle(t, s, 0.8, c, Faults{})
	require.Less(t, short.DischargePressurePa, 0.9*set)
	require.Greater(t, short.LiquidVapor, 0.02)
}

func TestFaultsOutOfRangeAreNamed(t *testing.T) {
	s, err := Size(Spec{Refrigerant: "R-410A"})
	require.NoError(t, err)
	_, err = s.Steady(s.NameplateKg, Comfort.Rating(), Faults{Restriction: 1.2})
	require.ErrorContains(t, err, "restriction")
	_, err = s.Steady(-1, Comfort.Rating(), Faults{})
	require.ErrorContains(t, err, "charge")
	bad := Comfort.Rating()
	bad.ReturnWetK = bad.ReturnDryK + 3
	_, err = s.Steady(s.NameplateKg, bad, Faults{})
	require.ErrorContains(t, err, "wet bulb")
}

func TestSpecsThatCannotBeBuilt(t *testing.T) {
	for field, spec := range map[string]Spec{
		"unknown":                {Refrigerant: "R-999"},
		"CapacityW":              {Refrigerant: "R-410A", CapacityW: -5},
		"DesignSubcoolingK":      {Refrigerant: "R-410A", DesignSubcoolingK: 15},
		"HeadPressurePa":         {Refrigerant: "R-410A", HeadPressurePa: 2e6},
		"CondensingOverAmbientK": {Refrigerant: "R-410A", CondensingOverAmbientK: 60},
	} {
		_, err := Size(spec)
		require.ErrorContains(t, err, field)
	}
}

// A severity of one is what the comments of Faults promise.
func TestSeveritiesMeanWhatTheySay(t *testing.T) {
	s, err := Size(Spec{Refrigerant: "R-410A", Device: ThermostaticValve})
	require.NoError(t, err)
	c := Comfort.Rating()
	begin := func(f Faults) *working {
		k, err := s.begin(c, f)
		require.NoError(t, err)
		return k
	}
	sound := begin(Faults{})
	require.InDelta(t, 0.15, begin(Faults{LowAirflow: 1}).air.flow/sound.air.flow, 1e-9)
	require.InDelta(t, 0.66, begin(Faults{LowAirflow: 0.4}).air.flow/sound.air.flow, 1e-9)
	dirty := begin(Faults{CondenserFouling: 1})
	require.InDelta(t, 0.35, dirty.condAir/sound.condAir, 1e-9)
	require.InDelta(t, 0.55, dirty.condUA/sound.condUA, 1e-9)
	require.InDelta(t, 0.08, begin(Faults{CondenserFan: 1}).condAir/sound.condAir, 1e-9)
	require.InDelta(t, 0.20*s.designPc, begin(Faults{NonCondensable: 1}).pnc, 1e-6)
	weak := begin(Faults{WeakCompressor: 1})
	require.InDelta(t, 0.5, weak.etaV/sound.etaV, 1e-9)
	require.InDelta(t, 0.75, weak.etaS/sound.etaS, 1e-9)
	require.InDelta(t, 0.3*sound.valve.open, begin(Faults{ValveStuckOpen: 0.3}).valve.bleed, 1e-9)
	require.InDelta(t, 0.7*sound.valve.open, begin(Faults{ValveStuckShut: 0.3}).valve.open, 1e-9)
	// Fans move volume: a mile up both coils get less air by weight.
	c.BarometerPa = 84000
	high := begin(Faults{})
	require.InDelta(t, 84000.0/101325, high.condAir/sound.condAir, 1e-9)
	require.InDelta(t, 84000.0/101325, high.air.flow/sound.air.flow, 1e-9)
	c.BarometerPa = 101325
	// The gauge reads the sum of refrigerant and air (Dalton).
	gas := settle(t, s, 1, c, Faults{NonCondensable: 0.5})
	require.InEpsilon(t, gas.DischargePressurePa, s.fluid.dewP(gas.CondensingInK)+0.10*s.designPc, 1e-4)
}

// Some R-22 in R-410A pulls its pressures down by Raoult's law on the two
// vapour pressures at one temperature.
func TestAnotherRefrigerantShiftsPressures(t *testing.T) {
	s, err := Size(Spec{Refrigerant: "R-410A"})
	require.NoError(t, err)
	sound := settle(t, s, 1, Comfort.Rating(), Faults{})
	mixed := settle(t, s, 1, Comfort.Rating(), Faults{WrongRefrigerant: 0.2, Contaminant: "R-22"})
	r22, err := refrigerants.Lookup("R-22")
	require.NoError(t, err)
	r410a, err := refrigerants.Lookup("R-410A")
	require.NoError(t, err)
	for name, p := range map[string][2]float64{
		"suction": {sound.SuctionPressurePa, mixed.SuctionPressurePa}, "liquid": {sound.LiquidPressurePa, mixed.LiquidPressurePa},
	} {
		at, err := r410a.DewTemperature(p[0])
		require.NoError(t, err)
		other, err := r22.DewPressure(at)
		require.NoError(t, err)
		require.Less(t, other, p[0], "R-22 boils at less pressure")
		require.InEpsilon(t, 0.8*p[0]+0.2*other, p[1], 1e-4, name)
	}
	require.Less(t, mixed.EvaporatingK, sound.EvaporatingK)
	require.Greater(t, mixed.SuperheatK, sound.SuperheatK, "the gauge is read as R-410A")
}
