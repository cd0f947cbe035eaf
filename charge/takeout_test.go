package charge_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// What comes out again, what is left alone, and how much is weighed. Readings are
// invented; what they mean is common practice, no source, unless one is named.

// after is the reading when oz ounces have been weighed in and have settled.
func (r *roof) after(oz, evap, sh, cond, sc float64) charge.Advice {
	r.weigh(oz)
	r.wait(20)
	return r.read(evap, sh, cond, sc)
}

const mildValveSetup = `{"kind":"setup","refrigerant":"R-22","capacity":"7 ton","target_subcooling":"15 °F"}`

// In mild, humid air the chart wants 33 °F of superheat of an orifice. Found at 25
// with the subcooling a valve would still lack: what is a little too much for an
// orifice may be what a valve lacks, and superheat is far from its floor.
func TestNothingIsTakenOutForAnOrificeNotNamed(t *testing.T) {
	r := looked(t, mildValveSetup, map[string]string{"outdoor": "66 °F", "return_dry_bulb": "81 °F", "return_wet_bulb": "71 °F"})
	a := r.read(42, 25, 84, 9.5)
	require.True(t, a.IfOrifice.Defined)
	require.Less(t, a.Derived.SuperheatK, a.IfOrifice.Low, "past an orifice's band")
	for range 3 {
		assert.NotEqual(t, charge.Recover, a.Action, "%v", a.Why)
		a = r.again(42, 25, 84, 9.5)
	}
	// Near its floor it does come out.
	a = looked(t, mildValveSetup, map[string]string{"outdoor": "66 °F", "return_dry_bulb": "81 °F", "return_wet_bulb": "71 °F"}).read(50, 1, 90, 19)
	told(t, a, charge.Recover, "Take a little back")
}

// Superheat 0 °F with no subcooling behind it, nothing weighed in: too much charge
// would stand in the condenser as liquid.
func TestFloodingWithoutSubcoolingIsNotCharge(t *testing.T) {
	box := `{"kind":"setup","refrigerant":"R-404A","capacity":"1.5 ton","application":"medium-temperature"}`
	r := looked(t, box, map[string]string{"outdoor": "92 °F", "return_dry_bulb": "36 °F"})
	a := r.read(22, 0.4, 112, 0.5)
	told(t, a, charge.Correct, "too much charge would stand in the condenser")
	assert.True(t, firing(a, "superheat-floor"))
}

// A stated orifice in its band with the subcooling near its ceiling: an increment
// that is forecast to pass the ceiling is not offered.
func TestTheSubcoolingCeilingIsForeseen(t *testing.T) {
	r := looked(t, orificeUnit, day("outdoor", "82 °F", "return_wet_bulb", "67 °F"))
	r.read(40, 32, 106, 13)
	r.after(6, 41, 28, 107, 16)
	a := r.after(6, 42, 25, 108, 18.8)
	for i := 0; a.Action == charge.Wait && i < 2; i++ {
		a = r.again(42, 25, 108, 18.8)
	}
	require.Equal(t, charge.Add, a.Action, "%v", a.Why)
	assert.LessOrEqual(t, a.Forecast.Both.Subcooling[1]/perF, 20.0, "the forecast stands under the ceiling: %v", a.Why)
	a = r.after(6, 43, 21, 109, 22)
	assert.True(t, firing(a, "subcooling-ceiling"), "%v", a.Why)

	// So near it that any step passes it: none is offered, however often it is read.
	r = looked(t, orificeUnit, day("outdoor", "82 °F", "return_wet_bulb", "67 °F"))
	r.read(40, 32, 106, 13)
	r.after(6, 41, 28, 107, 16)
	a = r.after(6, 42, 24, 108, 19.9)
	for range 3 {
		require.NotEqual(t, charge.Add, a.Action, "%v", a.Why)
		a = r.again(42, 24, 108, 19.9)
	}
	require.Equal(t, charge.Stop, a.Action, "%v", a.Why)
}

// An orifice whose superheat falls as charge goes in and rises as some comes out
// passes what stands ahead of it, even where superheat and subcooling together
// would say a restriction.
func TestWhatAnswersIsNotRestricted(t *testing.T) {
	r := looked(t, orificeUnit, day("outdoor", "82 °F", "return_wet_bulb", "67 °F"))
	r.read(33, 46, 103, 4)
	r.after(6, 37, 37, 105, 9)
	r.after(6, 40, 27, 107, 13)
	r.after(4, 41.5, 19.5, 108.5, 16.4)
	a := r.after(-3, 40.3, 26.2, 107.2, 15.3)
	assert.NotContains(t, join(a.Why), "restriction", "it rose as some came out")
	assert.NotEqual(t, charge.Correct, a.Action, "%v", a.Why)
}

// The same coils hold less of a light liquid: propane's is 467 kg/m3 at 40 °C, that
// of R-22 1129 (reference equations of state). The first step follows.
func TestALightLiquidIsWeighedInSmallerSteps(t *testing.T) {
	first := func(refrigerant string) float64 {
		r := looked(t, `{"kind":"setup","refrigerant":"`+refrigerant+`","capacity":"3 ton"}`, day())
		a := r.read(26, 45, 104, 0.5)
		require.Equal(t, charge.Add, a.Action, "%v %v", refrigerant, a.Why)
		return a.AmountKg
	}
	heavy, light := first("R-22"), first("R-290")
	assert.LessOrEqual(t, light, 0.55*heavy)
	assert.Greater(t, light, 0.2*heavy)
}

// Nothing told the size, the readings do: a unit that answers strongly to an ounce
// is weighed by the tenth.
func TestASmallSystemShowsItself(t *testing.T) {
	r := looked(t, `{"kind":"setup","refrigerant":"R-290","application":"medium-temperature"}`, map[string]string{"outdoor": "72 °F", "return_dry_bulb": "36 °F"})
	r.read(15, 27, 88, 0.3)
	r.after(0.5, 19, 20.7, 90, 0.4)
	r.after(0.5, 21, 16.6, 92, 0.7)
	a := r.after(0.5, 21, 15, 94, 5)
	for range 3 {
		if a.Action == charge.Add {
			break
		}
		require.Equal(t, charge.Wait, a.Action, "%v", a.Why)
		a = r.again(21, 15, 94, 5)
	}
	require.Equal(t, charge.Add, a.Action, "%v", a.Why)
	oz := a.AmountKg / 0.028349523125
	assert.Less(t, oz, 0.5)
	assert.InDelta(t, math.Round(10*oz), 10*oz, 1e-6, "a tenth of an ounce can be read off the scale")
}

// Three ounces that change nothing in a unit of unknown size say nothing: it may
// hold twenty pounds.
func TestNoAnswerNeedsEnoughWeighedIn(t *testing.T) {
	r := looked(t, `{"kind":"setup","refrigerant":"R-134a"}`, day("outdoor", "85 °F"))
	r.read(40, 17, 101, 6.9)
	r.after(0.5, 40, 16.6, 101, 6.8)
	a := r.after(2.5, 40, 17, 101, 6.9)
	assert.False(t, firing(a, "no-response"), "%v", a.Why)
	r.after(8, 40, 17, 101, 6.9)
	a = r.after(8, 40, 17, 101, 6.9)
	assert.True(t, firing(a, "no-response"), "%v", a.Why)
}

// A line far over the ceiling on a starved unit: charge cools it, the running
// compressor does not.
func TestAVeryHotLineIsChargedWithTheUnitOff(t *testing.T) {
	hot := func(line string) charge.Advice {
		return looked(t, unknownUnit, day("return_dry_bulb", "80 °F", "return_wet_bulb", "68 °F", "outdoor", "96 °F", "discharge_line", line)).read(10, 72, 104, 0.5)
	}
	a := hot("300 °F")
	assert.Equal(t, charge.Add, a.Action, "%v", a.Why)
	assert.Contains(t, join(a.Cautions), "switch it off now and let it cool")
	a = hot("340 °F")
	assert.Equal(t, charge.Stop, a.Action, "%v", a.Why)
	assert.True(t, firing(a, "discharge-ceiling"))
}

// Found in its band, with suction high and head low: the compressor may be weak.
// There is nothing for charge to do; the suspicion is said, and the work is not
// stopped on it.
func TestInBandAsFoundWithASuspicion(t *testing.T) {
	r := looked(t, `{"kind":"setup","refrigerant":"R-22","capacity":"1.88 ton","target_subcooling":"11 °F"}`, map[string]string{
		"outdoor": "78.1 °F", "return_dry_bulb": "81 °F", "return_wet_bulb": "71.6 °F", "supply_dry_bulb": "63.6 °F", "discharge_line": "141.5 °F"})
	told(t, r.read(52.5, 12.1, 92.4, 11.7), charge.Wait, "read once more")
	a := r.again(52.5, 12.1, 92.4, 11.7)
	told(t, a, charge.Stop, "Done.")
	assert.True(t, a.Done)
	assert.Contains(t, join(a.Cautions), "something else is not ruled out. A compressor that does not pump")
}

// An orifice whose superheat fell under its floor with an addition: that much
// comes out again, and nobody goes there a second time.
func TestNobodyGoesBackWhereItFlooded(t *testing.T) {
	air := map[string]string{"outdoor": "94 °F", "return_dry_bulb": "75 °F", "return_wet_bulb": "63.3 °F"}
	r := looked(t, `{"kind":"setup","refrigerant":"R-22","capacity":"1.68 ton"}`, air)
	r.read(33, 32, 108, -0.3)
	r.after(2, 37, 20, 109, -0.4)
	r.after(1, 40, 9.6, 110, 0.8)
	a := r.after(0.5, 41, 2.7, 110, 2)
	told(t, a, charge.Recover, "floor")
	assert.InDelta(t, 0.5, a.AmountKg/0.028349523125, 1e-6, "what took it there and no more")
	a = r.after(-0.5, 40, 9.6, 110, 0.8)
	for range 4 {
		require.NotEqual(t, charge.Add, a.Action, "%v", a.Why)
		if a.Action == charge.Stop {
			break
		}
		a = r.again(40, 9.6, 110, 0.8)
	}
	told(t, a, charge.Stop, "With 0.5 oz more in, superheat was under its floor")
}

// A system under two pounds is charged in steps of a twentieth. Where its size is only
// guessed from the capacity, that holds until it has answered twice: one that is far
// short after both holds more than was thought.
func TestAGuessedSizeBindsOnlyTheFirstSteps(t *testing.T) {
	third := func(plate string) float64 {
		box := map[string]string{"outdoor": "75 °F", "return_dry_bulb": "37 °F", "supply_dry_bulb": "33 °F", "discharge_line": "200 °F"}
		r := looked(t, `{"kind":"setup","refrigerant":"R-454B","capacity":"0.7 ton","application":"medium-temperature","target_subcooling":"11 °F"`+plate+`}`, box)
		a := r.read(0, 36, 84, 0)
		require.Equal(t, charge.Add, a.Action, "%v", a.Why)
		a = r.after(1.1, 2, 34, 84.5, 0)
		require.Equal(t, charge.Add, a.Action, "%v", a.Why)
		require.LessOrEqual(t, a.AmountKg/oz, 0.05*32+0.05)
		a = r.after(1.5, 4, 31.5, 85, 0)
		require.Equal(t, charge.Add, a.Action, "%v", a.Why)
		return a.AmountKg / oz
	}
	assert.Greater(t, third(""), 1.6)
	assert.LessOrEqual(t, third(`,"nameplate_charge":"31 oz"`), 1.6)
}
