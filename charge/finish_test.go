package charge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// How a job ends. Readings are invented; tolerances are those of the state code, 5 °F
// of superheat and 3 °F of subcooling.

// Two readings typed in the same minute are one: the state holds over a time, not
// over two lines of a book. Readings a minute apart at least are common practice, no
// source.
func TestTwoReadingsInAMinuteAreOne(t *testing.T) {
	r := looked(t, valveUnit, day())
	told(t, r.read(44, 10, 108, 10), charge.Wait, "In band: read once more to be sure.")
	told(t, r.read(44, 10, 108, 10.1), charge.Wait, "In band: read once more to be sure.")
	told(t, r.again(44, 10, 108, 10), charge.Stop, "Done.")
}

// At the chart's hot, dry end the band is half as wide, from the floor up, and its
// middle is aimed at all the same: its upper edge is not taken for the middle.
func TestTheEdgeOfANarrowBandIsNotItsMiddle(t *testing.T) {
	r := looked(t, orificeUnit, day("outdoor", "101 °F", "return_dry_bulb", "72 °F", "return_wet_bulb", "64 °F", "supply_dry_bulb", "56 °F", "discharge_line", "180 °F"))
	r.read(45, 15, 121, 6)
	a := r.after(4, 46, 9.5, 122, 9)
	for range 3 {
		require.InDelta(t, 5, a.Target.Low/perF, 0.01)
		require.InDelta(t, 10, a.Target.High/perF, 0.01)
		require.False(t, a.Done, "%v", a.Why)
		a = r.again(46, 9.5, 122, 9)
	}
	require.Equal(t, charge.Add, a.Action, "%v", a.Why)
	assert.Less(t, a.AmountKg, 3*oz, "for the last degree")
	assert.Greater(t, a.Forecast.Both.Superheat[0], a.Target.Low, "and the floor is kept")
}

// In band for the likelier device, and the other would lack charge: the job may end,
// and what would settle it is said.
func TestAnEndWithoutANameSaysToLook(t *testing.T) {
	r := looked(t, `{"kind":"setup","refrigerant":"R-22","capacity":"2.5 ton","nameplate_charge":"4 lb 4 oz"}`,
		map[string]string{"outdoor": "95 °F", "return_dry_bulb": "79 °F", "return_wet_bulb": "68.4 °F", "supply_dry_bulb": "66 °F", "discharge_line": "200 °F"})
	r.read(27, 51, 109, 0.7)
	r.after(3.5, 37, 36, 112, 0.7)
	a := r.after(6.5, 44, 12.8, 115.5, 2.5)
	for range 5 {
		if a.Done {
			break
		}
		a = r.again(44, 12.8, 115.5, 2.5)
	}
	require.True(t, a.Done, "%v", a.Why)
	require.Equal(t, charge.DeviceUnknown, a.Belief.Verdict)
	assert.Contains(t, join(a.Why), "Too little for a valve, right for an orifice: see which is inside before you leave.")
}
