package charge_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// Stories of cold coils and hot discharge lines, and of systems that are left as
// they were found. Every reading is invented; what it means is common practice,
// no source, unless a test says [physics].

func gateOpen(a charge.Advice, name string) bool {
	for _, g := range a.Gates {
		if g.Name == name {
			return true
		}
	}
	return false
}

// firing reports a rule of any strength that fired.
func firing(a charge.Advice, name string) bool {
	r, ok := ruleOf(a, name)
	return ok && r.Fired
}

// supply is the supply air that gives a return-to-supply split in °F.
func supply(t *testing.T, r *roof, split float64) []string {
	t.Helper()
	var dry float64
	_, err := fmt.Sscanf(r.air["return_dry_bulb"], "%f", &dry)
	require.NoError(t, err)
	return []string{"supply_dry_bulb", fmt.Sprintf("%.1f °F", dry-split)}
}

// A coil evaporating under 32 °F freezes the water it takes out of the room's air
// [physics]. Ice keeps the air out, what air passes comes out colder, and the split
// widens although the unit is starved. Thaw first, then charge.
func TestIceOnAStarvedCoil(t *testing.T) {
	for _, c := range []struct {
		name, setup            string
		evaporating, superheat float64
	}{
		{"valve", valveUnit, 24, 45},
		{"device not known", unknownUnit, 15, 55},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := looked(t, c.setup, day("discharge_line", "220 °F"))
			wide := supply(t, r, 33)
			a := r.read(c.evaporating, c.superheat, 97, 0, wide...)
			told(t, a, charge.Wait, "Compressor off, blower on")
			assert.InDelta(t, 30, a.Wait.Minutes(), 10, "a coil thaws in about half an hour")
			assert.True(t, gateOpen(a, "split-ceiling"), "%v", a.Gates)

			// Half an hour later, and just as wide: the job goes on, with a
			// warning of ice.
			r.wait(30)
			a = r.read(c.evaporating, c.superheat, 97, 0, wide...)
			assert.Equal(t, charge.Add, a.Action, "%v", a.Why)
			assert.True(t, firing(a, "coil-cold"))
			assert.Contains(t, join(a.Cautions), "ice on it keeps the air out")
			assert.False(t, gateOpen(a, "split-ceiling"), "%v", a.Gates)
		})
	}
}

// A split that would be usual of a fed coil, over one that is starved and cold,
// is ice as well or nothing at all: with the air side looked at, the unit is short
// and no filter is blamed, however often it is read.
func TestAStarvedColdCoilIsNotBlamedOnAir(t *testing.T) {
	for _, setup := range []string{unknownUnit, valveUnit, `{"kind":"setup","refrigerant":"R-410A","capacity":"3 ton","device":"fixed-orifice"}`} {
		for _, split := range []float64{20, 24, 27} {
			r := looked(t, setup, day())
			for range 3 {
				a := r.read(24, 45, 98, 0, supply(t, r, split)...)
				assert.Equal(t, charge.Add, a.Action, "%v", a.Why)
				assert.Equal(t, "short-of-charge", a.Causes[0].Name)
				r.wait(30)
			}
		}
	}
}

// A wide split over a coil that was never cold: there is no ice, and the air is
// short for another reason.
func TestAWideSplitOverAWarmCoilIsAir(t *testing.T) {
	r := looked(t, unknownUnit, day())
	a := r.read(40, 12, 106, 8, supply(t, r, 33)...)
	told(t, a, charge.Correct, "too little air")
	assert.NotContains(t, join(a.Why), "ice")
}

// A filter does not clog within the hour: a split that was right and is wide after
// two additions, over a coil that ran under freezing, is ice.
func TestIceThatGrewDuringTheJob(t *testing.T) {
	r := looked(t, unknownUnit, day("discharge_line", "215 °F"))
	a := r.read(26, 40, 98, 0, supply(t, r, 20)...)
	require.Equal(t, charge.Add, a.Action, "%v", a.Why)
	r.weigh(6)
	r.wait(20)
	r.read(28, 34, 99, 0.5, supply(t, r, 24)...)
	r.weigh(6)
	r.wait(20)
	a = r.read(30, 28, 101, 1, supply(t, r, 31)...)
	told(t, a, charge.Wait, "ice on it keeps the air out")
	assert.True(t, gateOpen(a, "split-ceiling"), "%v", a.Gates)
}

// In mild weather head is low, an orifice passes less and evaporates colder
// [physics]. While superheat is over the middle of its band charge still raises
// it; under the middle it would not, and the coil is left to freeze for another
// reason.
func TestAColdCoilInMildWeather(t *testing.T) {
	mild := day("outdoor", "66 °F", "return_wet_bulb", "67 °F")
	over := looked(t, orificeUnit, mild).read(30.5, 36, 84, 7)
	require.True(t, over.IfOrifice.Defined)
	assert.False(t, firing(over, "coil-freezing"), "band %.0f to %.0f °F", over.IfOrifice.Low/perF, over.IfOrifice.High/perF)
	assert.NotEqual(t, charge.Correct, over.Action, "%v", over.Why)

	under := looked(t, orificeUnit, mild).read(30.5, 15, 84, 7)
	assert.True(t, firing(under, "coil-freezing"), "band %.0f to %.0f °F", under.IfOrifice.Low/perF, under.IfOrifice.High/perF)
	told(t, under, charge.Correct, "Too little air over the coil")
}

// A system found as it should be: read until sure, and nothing goes in.
func TestASystemFoundInItsBandIsLeftAlone(t *testing.T) {
	for name, setup := range map[string]string{"valve stated": valveUnit,
		"device not known": `{"kind":"setup","refrigerant":"R-410A","capacity":"3 ton","target_subcooling":"10 °F"}`} {
		t.Run(name, func(t *testing.T) {
			r := looked(t, setup, day())
			var a charge.Advice
			for i, sh := range []float64{11, 10.5, 11.3} {
				a = r.read(44, sh, 106, 10)
				assert.NotContains(t, []charge.Action{charge.Add, charge.Recover, charge.Correct}, a.Action, "reading %d: %v", i+1, a.Why)
				r.wait(8)
			}
			assert.Equal(t, charge.Stop, a.Action, "%v", a.Why)
			assert.Zero(t, a.AddedKg)
			assert.Zero(t, a.AmountKg)
		})
	}
}

// Too much liquid at a valve nobody charged yet. Air in the condenser looks alike;
// what tells is the liquid: a condenser that only holds too much has time to cool
// it near outdoor air [physics].
func TestTooMuchSubcoolingAsFoundIsComparedFirst(t *testing.T) {
	air := day("supply_dry_bulb", "57 °F", "discharge_line", "165 °F")
	const outdoor, subcooling = 88.0, 18.0 // 8 over the data plate, or over what is usual
	for name, setup := range map[string]string{"plate known": valveUnit,
		"plate not known": `{"kind":"setup","refrigerant":"R-410A","capacity":"3 ton","device":"expansion-valve"}`} {
		t.Run(name, func(t *testing.T) {
			warm := looked(t, setup, air).read(45, 11, outdoor+12+subcooling, subcooling)
			assert.Equal(t, charge.Correct, warm.Action, "%v", warm.Why)
			assert.Contains(t, join(warm.Why), "air in the system")
			assert.Contains(t, join(warm.Why), "pressure above saturation means air", "the standing pressure is compared")
			assert.Zero(t, warm.AmountKg)

			cool := looked(t, setup, air).read(45, 11, outdoor+2+subcooling, subcooling)
			assert.Equal(t, charge.Recover, cool.Action, "%v", cool.Why)
			assert.Positive(t, cool.AmountKg)
		})
	}
}

// What a device does shows when charge is moved: a level alone names none.
func TestNoDeviceIsNamedBeforeAnythingWentIn(t *testing.T) {
	for _, levels := range [][2]float64{{25, 12}, {25, 6}, {8, 10}, {12, 15}, {40, 0}} {
		r := looked(t, unknownUnit, day())
		for range 4 {
			a := r.read(40, levels[0], 106, levels[1])
			assert.Equal(t, charge.DeviceUnknown, a.Belief.Verdict, "superheat %g, subcooling %g", levels[0], levels[1])
			r.wait(8)
		}
	}
}

// Gas that comes back hot leaves hotter [physics], so the line of a starved unit is
// cooled by charge. That excuses it only so far: where oil chars, the unit does not
// run to be charged.
func TestAHotDischargeLineOfAStarvedUnit(t *testing.T) {
	a := looked(t, unknownUnit, day()).read(18, 70, 98, 0, "discharge_line", "255 °F")
	assert.Equal(t, charge.Add, a.Action, "%v", a.Why)
	assert.True(t, firing(a, "discharge-warm"))
	assert.Contains(t, join(a.Cautions), "unit off, liquid into the liquid side")

	a = looked(t, unknownUnit, day()).read(18, 70, 98, 0, "discharge_line", "310 °F")
	told(t, a, charge.Stop, "recover what is in and weigh in")
	assert.True(t, fired(a, "discharge-ceiling"))
}

// At the chart's hot, dry end a wet bulb a degree low turns a number into a dash.
// The published target-superheat chart prints a target at 93 °F and 63 °F wet bulb
// and none at 95/62: an orifice there is brought just over its floor, and told why.
// Two degrees drier no thermometer explains, and it is weighed in.
func TestTheChartsHotDryEnd(t *testing.T) {
	const orifice = `{"kind":"setup","refrigerant":"R-410A","capacity":"3 ton","device":"fixed-orifice"}`
	air := map[string]string{"outdoor": "95 °F", "return_dry_bulb": "76 °F", "return_wet_bulb": "62 °F"}
	a := looked(t, orifice, air).read(36, 22, 108, 6)
	assert.NotEqual(t, charge.Stop, a.Action, "%v", a.Why)
	require.True(t, a.Target.Defined)
	assert.InDelta(t, 5*perF, a.Target.Low, 1e-6, "never under the floor")
	assert.InDelta(t, 10*perF, a.Target.High, 1e-6)
	assert.Contains(t, join(a.Cautions), "a degree on the thermometers decides")

	air["return_wet_bulb"] = "60 °F"
	a = looked(t, orifice, air).read(36, 22, 108, 6)
	told(t, a, charge.Stop, "the chart gives a dash here")
	assert.True(t, gateOpen(a, "no-target"))
}
