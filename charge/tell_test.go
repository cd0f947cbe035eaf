package charge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// Found with the subcooling of a valve in order and the superheat of an overcharged
// orifice, and nobody knows which is inside: looking tells, and where that is not
// possible taking a little out does. Readings are invented; that superheat answers at
// an orifice and holds at a valve is common practice, no source.
func TestALittleTakenOutTellsTheDevice(t *testing.T) {
	air := day("outdoor", "83 °F", "return_dry_bulb", "81 °F", "supply_dry_bulb", "58 °F", "discharge_line", "150 °F")
	found := func() (*roof, charge.Advice) {
		r := looked(t, unknownUnit, air)
		a := r.read(44, 7, 103, 11)
		require.Equal(t, charge.Wait, a.Action, "one reading decides nothing: %v", a.Why)
		require.Less(t, a.Derived.SuperheatK, a.IfOrifice.Low)
		return r, r.again(44, 7, 103, 11)
	}
	_, a := found()
	told(t, a, charge.Recover, "see which is inside before any comes out")
	require.NotZero(t, a.AmountKg)
	assert.Contains(t, join(a.Why), "Right for a valve, too much charge for an orifice")
	assert.Contains(t, join(a.Why), "superheat then tells: near")
	assert.Less(t, a.AmountKg, 6*oz, "a little")
	out := a.AmountKg / oz

	// Superheat rises: likely an orifice.
	r, _ := found()
	before := a.Belief.FixedOrifice
	r.after(-out, 43, 10, 102, 9.7)
	a = r.again(43, 10, 102, 9.7)
	assert.Less(t, before, 0.5)
	assert.Greater(t, a.Belief.FixedOrifice, 0.7)
	assert.NotEqual(t, charge.Add, a.Action, "%v", a.Why)

	// It holds and subcooling falls: a valve, and it is left in its band.
	r, _ = found()
	a = r.after(-out, 44, 7.2, 102, 8.7)
	assert.Equal(t, charge.ExpansionValve, a.Belief.Verdict, "%v", a.Belief)
	assert.NotEqual(t, charge.Recover, a.Action, "%v", a.Why)

	// A device that is known needs no such step.
	r = looked(t, valveUnit, air)
	r.read(44, 7, 103, 11)
	told(t, r.again(44, 7, 103, 11), charge.Stop, "Done.")
}

// Dry air widens the split: 28 °F with 78/60.5 °F return air is no sign of too little
// air, with 78/65 °F it is. The expected split is that of a state's energy code (see
// splitExpected).
func TestDryAirWidensTheSplit(t *testing.T) {
	split := func(wet string) charge.Advice {
		return looked(t, unknownUnit, day("return_dry_bulb", "78 °F", "return_wet_bulb", wet, "supply_dry_bulb", "50 °F", "discharge_line", "160 °F")).read(37, 14, 108, 9)
	}
	assert.False(t, firing(split("60.5 °F"), "split-ceiling"))
	humid := split("65 °F")
	assert.True(t, firing(humid, "split-ceiling"))
	assert.Equal(t, charge.Correct, humid.Action, "%v", humid.Why)
}

// Superheat just under its floor as found, and the air not read: whether that is much
// too low for an orifice is asked before the charge is left as it is.
func TestTheAirIsAskedForNearTheFloor(t *testing.T) {
	r := newRoof(t, unknownUnit, map[string]string{"outdoor": "77 °F"})
	r.checks()
	told(t, r.read(46, 4, 100, 15), charge.Measure, "Also read return")
}

// A valve that holds shows nothing until liquid stands at the clamp: in a large unit
// found far short a seventh of the charge may go in unseen. That much again is too much.
func TestAValveHoldsBeforeLiquidComes(t *testing.T) {
	r := looked(t, `{"kind":"setup","refrigerant":"R-410A","capacity":"5 ton","target_subcooling":"8 °F"}`, day())
	r.read(40, 14, 103, 0)
	r.after(9, 41, 11.5, 103.2, 0)
	r.after(11, 41.3, 11.2, 103.2, 0)
	r.after(11, 41.5, 10.9, 103.3, 0.1)
	a := r.after(12, 41.6, 10.6, 103.4, 0)
	assert.False(t, firing(a, "no-response"), "%v", a.Why)
	r.after(16, 41.7, 10.4, 103.4, 0)
	a = r.after(16, 41.7, 10.2, 103.4, 0.1)
	assert.True(t, firing(a, "no-response"), "%v", a.Why)
}

// Steps too small to answer one by one add up: what went in since any reading counts.
func TestSmallStepsWithoutAnAnswerAddUp(t *testing.T) {
	r := looked(t, orificeUnit, day())
	r.read(40, 24, 104, 6)
	for range 2 {
		a := r.after(2, 40, 24, 104, 6.1)
		assert.False(t, firing(a, "no-response"), "%v", a.Why)
	}
	a := r.after(2.5, 40, 23.8, 104.1, 6.2)
	assert.True(t, firing(a, "no-response"), "%v", a.Why)
	assert.Contains(t, join(a.Why), "6.5 oz in 3 steps")
}

// A coil under freezing at an orifice in mild weather, and the return wet bulb not
// read: what superheat should be there is asked first, and a unit that is short is then
// given charge.
func TestTheAirIsAskedForBeforeACoilIsBlamed(t *testing.T) {
	mild := day("outdoor", "72 °F", "return_dry_bulb", "73 °F", "supply_dry_bulb", "53 °F", "discharge_line", "176 °F")
	delete(mild, "return_wet_bulb")
	r := looked(t, `{"kind":"setup","refrigerant":"R-22","capacity":"3 ton","target_subcooling":"12 °F"}`, mild)
	a := r.read(30.8, 33, 90, 10)
	told(t, a, charge.Measure, "the coil will freeze.\nAlso read return wet bulb")
	require.Len(t, a.Gates, 1)
	assert.NotContains(t, a.Gates[0].Asks, "not for want of refrigerant")
	require.Contains(t, a.Needs, "return_wet_bulb")

	r.air["return_wet_bulb"] = "61.8 °F"
	told(t, r.again(30.8, 33, 90, 10), charge.Add, "over the middle of its band")
}

// The chart ends at 5 °F: where it gives a target by one reading of the air and a dash
// by the next, the air is read again before an orifice that is still short is left.
func TestTheEdgeOfTheChartIsReadAgain(t *testing.T) {
	r := looked(t, orificeUnit, day("outdoor", "92 °F", "return_dry_bulb", "77 °F", "return_wet_bulb", "62.5 °F"))
	a := r.read(36, 40, 106, 1)
	require.Equal(t, charge.Add, a.Action, "%v", a.Why)
	r.air["return_wet_bulb"] = "60 °F"
	a = r.after(4, 40, 24, 108, 6)
	require.False(t, a.IfOrifice.Defined)
	told(t, a, charge.Wait, "Read the air again")
	told(t, r.again(40, 24, 108, 6), charge.Wait, "Read the air again")
	told(t, r.again(40, 24, 108, 6), charge.Stop, "the chart gives a dash here")

	r.air["return_wet_bulb"] = "62.5 °F"
	a = r.again(40, 24, 108, 6)
	assert.Equal(t, charge.Add, a.Action, "%v", a.Why)

	// By the first reading already: nothing to go on.
	r = looked(t, orificeUnit, day("outdoor", "92 °F", "return_dry_bulb", "77 °F", "return_wet_bulb", "60 °F"))
	told(t, r.read(36, 40, 106, 1), charge.Stop, "the chart gives a dash here")
}
