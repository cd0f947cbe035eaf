package charge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// A hunting valve: the mean of its readings is meaningful, a single one is not,
// and charge is judged on subcooling (common practice, no source). Superheat of
// 2 to 20 °F at the outdoor unit is a valve that works, under 2 one that does
// not (a residential service manual). Readings are invented.

// No liquid yet, and superheat read under its floor once: taking that much out
// and putting it in again would go on for ever.
func TestASwingIsNotTakenBackAndForth(t *testing.T) {
	r := looked(t, unknownUnit, day("supply_dry_bulb", "58 °F", "discharge_line", "165 °F"))
	require.Equal(t, charge.Add, r.read(44, 30, 104, 0.3).Action)
	require.Equal(t, charge.Add, r.after(6, 44, 22, 104, 0.3).Action)
	require.Equal(t, charge.Add, r.after(6, 45, 14, 105, 0.3).Action)
	a := r.after(3, 45, 10, 105, 0.3)
	require.NotEqual(t, charge.Recover, a.Action)
	r.wait(15)
	a = r.again(45, 4.4, 105, 0.2)
	assert.False(t, fired(a, "superheat-floor"), "4.4 and 10 at one charge: 7 on average")
	assert.NotEqual(t, charge.Recover, a.Action, "%v", a.Why)
	a = r.again(45, 10.5, 105, 0.4)
	require.NotEqual(t, charge.Recover, a.Action)
	require.NotEqual(t, charge.Stop, a.Action, "%v", a.Why)
	assert.Contains(t, join(a.Cautions), "the valve hunts")
}

// A valve named, low twice: a third reading decides, since two may fall on the
// same place of a swing.
func TestTwoLowReadingsOfASwing(t *testing.T) {
	low := func(sh3 float64) charge.Advice {
		r := looked(t, valveUnit, day())
		first := r.read(44, 4.5, 106, 5)
		told(t, first, charge.Wait, "A valve swings")
		second := r.again(44, 4.2, 106, 5)
		told(t, second, charge.Wait, "A valve swings")
		assert.NotEqual(t, first.Wait, second.Wait, "no two waits alike: a swing must not keep step with them")
		return r.again(44, sh3, 106, 5.1)
	}
	a := low(10)
	assert.False(t, fired(a, "superheat-floor"))
	assert.Equal(t, charge.Add, a.Action, "%v", a.Why)

	told(t, low(4.4), charge.Correct, "The valve lets too much through, and charge does not change that")
}

// A valve that was seen to hunt holds its superheat at any charge: one low reading
// after an addition is the bottom of the swing, and is said to be.
func TestASwingSeenBeforeCounts(t *testing.T) {
	r := looked(t, valveUnit, day())
	r.read(44, 11, 106, 3)
	r.again(44, 6.5, 106, 3)
	r.again(44, 11, 106, 3.1)
	a := r.after(4, 44, 4.4, 107, 5)
	assert.False(t, fired(a, "superheat-floor"), "%v", a.Why)
	assert.Contains(t, []charge.Action{charge.Add, charge.Wait}, a.Action, "%v", a.Why)
	assert.Contains(t, join(a.Cautions), "from reading to reading: the valve hunts. Judge the charge on subcooling, the floor on the mean (8.2 °F)")
}

// Superheat that only falls, with what goes in, does not swing, whatever the setup
// says of the device.
func TestFallingIsNoSwing(t *testing.T) {
	r := looked(t, valveUnit, day())
	r.read(44, 12, 106, 3)
	r.after(4, 44, 8.3, 106, 4)
	a := r.after(4, 44, 4.6, 107, 5)
	assert.True(t, fired(a, "superheat-floor"), "%v", a.Why)
	assert.NotEqual(t, charge.Add, a.Action, "%v", a.Why)
}

// One reading under 2 °F is trouble whatever the mean is.
func TestASwingThatReachesTheBottom(t *testing.T) {
	r := looked(t, valveUnit, day())
	r.read(44, 10, 106, 5)
	r.again(44, 11, 106, 5)
	a := r.again(44, 1.2, 106, 5.1)
	assert.True(t, fired(a, "superheat-floor"))
	assert.NotEqual(t, charge.Add, a.Action)
}
