package charge_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// Where nobody goes again. Readings are invented; that superheat which stays high
// while subcooling climbs means a restriction is common practice, no source.

// Subcooling passed its ceiling and superheat was still over its band there: what
// was taken back does not go in again, since no charge between puts it right.
func TestAChargeThatBackedUpIsNotTriedAgain(t *testing.T) {
	r := looked(t, orificeUnit, day("return_wet_bulb", "67 °F"))
	r.read(41, 28, 113, 11)
	r.after(6, 43, 23.5, 115, 15)
	a := r.after(6, 43.5, 22, 117.5, 20.6)
	require.Greater(t, a.Derived.SuperheatK, a.Target.High)
	told(t, a, charge.Recover, "the condenser is backing up")
	a = r.after(-5, 43, 22.6, 115.5, 16.5)
	told(t, a, charge.Correct, "look for a restriction")
	assert.Contains(t, join(a.Why), "With 5 oz more in, subcooling was over its ceiling: do not go back there.")
	require.Len(t, a.Stops, 1)
	assert.Equal(t, "other-cause", a.Stops[0].Rule)
}

// A condenser that filled, with superheat in its band below that: the job goes on,
// and by half of the way.
func TestACeilingPassedIsGoneTowardByHalf(t *testing.T) {
	r := looked(t, orificeUnit, day("return_wet_bulb", "67 °F"))
	r.read(40, 32, 112, 9)
	r.after(6, 42, 25, 114, 14)
	a := r.after(9, 46, 14, 119, 20.6)
	told(t, a, charge.Recover, "the condenser is backing up")
	a = r.after(-8, 42.5, 23, 115, 15)
	for range 3 {
		if a.Action != charge.Wait {
			break
		}
		a = r.again(42.5, 23, 115, 15)
	}
	require.Equal(t, charge.Add, a.Action, "%v", a.Why)
	assert.LessOrEqual(t, a.AmountKg, 4*oz+1e-9)
}

// A box of a simulated system, whose valve was taken for an orifice that is nearly
// full: a little goes in and comes out again, twice. It does not go in once more.
func TestNothingGoesInAThirdTime(t *testing.T) {
	data, err := os.ReadFile("testdata/seesaw.jsonl")
	require.NoError(t, err)
	s := charge.NewSession(charge.Options{})
	var a charge.Advice
	for line := range strings.Lines(string(data)) {
		a = apply(t, s, line)
	}
	require.Less(t, a.Derived.SubcoolingK, 1.2*perF, "an orifice with so little liquid asks for more")
	told(t, a, charge.Stop, "Twice more was weighed in from here and taken back: stop and watch.")
	assert.Contains(t, join(a.Why), "See which device is inside")
	assert.False(t, a.Done)

	// It was looked at, and is a valve, far short of its subcooling: what came out for an orifice's sake goes in again.
	a = apply(t, s, `{"kind":"setup","at":"2026-06-01T11:30:00Z","device":"expansion-valve"}`)
	assert.Equal(t, charge.Add, a.Action, "%v", a.Why)
}
