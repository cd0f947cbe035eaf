package charge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chargehand/charge"
)

// TestLowSuperheatAtValve: superheat under its floor at a valve that is not
// overcharged is the valve's doing. It is read again, and charge is not taken
// back for it; over its band of subcooling charge is taken back as before.
// Invented readings.
func TestLowSuperheatAtValve(t *testing.T) {
	air := map[string]string{"outdoor": "88 °F", "return_dry_bulb": "76 °F", "return_wet_bulb": "65 °F"}
	setup := `{"kind":"setup","refrigerant":"R-410A","capacity":"3 ton","device":"expansion-valve","target_subcooling":"10 °F"}`

	r := newRoof(t, setup, air)
	r.checks()
	r.read(42, 9, 106, 3)
	r.weigh(4)
	r.wait(20)
	a := r.read(44, 4, 108, 9)
	assert.True(t, fired(a, "superheat-floor"))
	assert.Equal(t, charge.Wait, a.Action, "%v", a.Why)
	r.wait(5)
	a = r.read(44, 4.2, 108, 9.2)
	assert.Equal(t, charge.Stop, a.Action, "%v", a.Why)

	r = newRoof(t, setup, air)
	r.checks()
	r.read(42, 9, 106, 3)
	r.weigh(4)
	r.wait(20)
	a = r.read(44, 4, 112, 15)
	assert.Equal(t, charge.Recover, a.Action, "%v", a.Why)
}
