package charge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// When a job ends, and when one step more is taken. Readings are invented; what
// they mean is common practice, no source, unless one is named.

const platedValve = `{"kind":"setup","refrigerant":"R-410A","capacity":"3 ton","nameplate_charge":"110 oz","device":"expansion-valve","target_subcooling":"10 °F"}`

// endsAt charges a stated valve from the subcooling it is found with to the one
// it is left with, and reads that until something other than a wait is said.
func endsAt(t *testing.T, found, left float64) charge.Advice {
	t.Helper()
	r := looked(t, platedValve, day())
	r.read(43, 11, 107, found)
	a := r.after(4, 43, 11, 108, left)
	for i := 0; i < 4 && a.Action == charge.Wait; i++ {
		a = r.again(43, 11, 108, left)
	}
	return a
}

// Clamp and gauge may be off by 1.5 °F and more together, half the tolerance of
// subcooling: a valve is left nearer to the middle than that. One that was found
// in its band is left alone.
func TestAValveIsLeftNearTheMiddleOfItsBand(t *testing.T) {
	a := endsAt(t, 4, 9.4)
	told(t, a, charge.Stop, "Done.")
	assert.True(t, a.Done)

	a = endsAt(t, 4, 8.7)
	require.Equal(t, charge.Add, a.Action, "%v", a.Why)
	assert.Less(t, a.AmountKg/0.028349523125, 4.0)

	a = endsAt(t, 7.4, 8.7)
	told(t, a, charge.Stop, "Done.")
}

// Superheat that was flooded is brought into its band by taking out a little.
// What came out is not put back to stand nearer to the middle.
func TestWhatCameOutIsNotPutBackToChaseADegree(t *testing.T) {
	r := looked(t, orificeUnit, day())
	a := r.read(45, 3, 112, 15)
	require.Equal(t, charge.Recover, a.Action, "%v", a.Why)
	require.True(t, a.IfOrifice.Defined)
	above := (a.IfOrifice.High+a.IfOrifice.Mid)/2/perF + 1
	require.Less(t, above, a.IfOrifice.High/perF)
	a = r.after(-6, 43, above, 109, 12)
	for i := 0; i < 4 && a.Action == charge.Wait; i++ {
		a = r.again(43, above, 109, 12)
	}
	told(t, a, charge.Stop, "less than it was found with")
	assert.True(t, a.Done)
}

// A coil that was far under freezing for want of charge comes up with each
// increment, and passes 32 °F on its way. That is no reason to stop there while
// the readings still speak of a shortage.
func TestACoilComingUpThroughFreezing(t *testing.T) {
	r := looked(t, `{"kind":"setup","refrigerant":"R-290","capacity":"2.5 ton","nameplate_charge":"50 oz"}`,
		map[string]string{"outdoor": "68 °F", "return_dry_bulb": "78 °F", "return_wet_bulb": "67 °F"})
	r.read(-6, 77, 71, 0)
	r.after(5, 12, 50, 77, 0)
	r.after(4, 24, 34, 80, 1)
	a := r.after(1, 30, 26, 82, 3)
	require.Equal(t, "short-of-charge", a.Causes[0].Name)
	assert.False(t, firing(a, "coil-freezing"), "%v", a.Why)
	assert.NotEqual(t, charge.Correct, a.Action, "%v", a.Why)

	// Found like this, nothing speaks of charge warming it.
	a = looked(t, orificeUnit, day("outdoor", "66 °F", "return_wet_bulb", "67 °F")).read(30.5, 15, 84, 7)
	assert.True(t, firing(a, "coil-freezing"), "%v", a.Why)
}

// Hardly an orifice any more, and the step would flood one: the step is a valve's,
// and what would show the other is said with it.
func TestAStepThatWouldFloodAnOrificeSaysSo(t *testing.T) {
	r := looked(t, `{"kind":"setup","refrigerant":"R-410A","capacity":"4 ton","nameplate_charge":"155 oz","target_subcooling":"10 °F"}`,
		map[string]string{"outdoor": "92 °F", "return_dry_bulb": "77 °F", "return_wet_bulb": "65.5 °F", "supply_dry_bulb": "57 °F", "discharge_line": "170 °F"})
	a := r.read(40.8, 10.5, 109, 1)
	require.Equal(t, charge.Add, a.Action, "%v", a.Why)
	require.Equal(t, charge.DeviceUnknown, a.Belief.Verdict)
	require.Less(t, a.Forecast.IfOrifice.Superheat[1], 5*perF)
	assert.NotContains(t, join(a.Why), "limits for both")
	assert.Contains(t, join(a.Why), "stop weighing if superheat falls that way")
}

// An orifice that is likely but not named, its superheat in the lower half of the
// band: one reading does not end the job.
func TestALikelyOrificeIsNotLeftOnOneReading(t *testing.T) {
	r := looked(t, `{"kind":"setup","refrigerant":"R-134a","capacity":"2.2 ton","nameplate_charge":"96 oz"}`,
		map[string]string{"outdoor": "74.5 °F", "return_dry_bulb": "79 °F", "return_wet_bulb": "68 °F"})
	r.read(26, 34, 88, 0.7)
	r.after(4, 36, 25, 90, 2)
	a := r.after(4, 38, 22, 90.5, 8)
	require.Equal(t, charge.DeviceUnknown, a.Belief.Verdict)
	require.Greater(t, a.Belief.FixedOrifice, 0.8, "likely")
	told(t, a, charge.Wait, "read once more")
	a = r.again(38, 22, 90.5, 8)
	assert.True(t, a.Done, "%v %v", a.Action, a.Why)
}
