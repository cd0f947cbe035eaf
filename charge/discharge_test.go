package charge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chargehand/charge"
)

// TestDischargeHotFromStarving: a line over the ceiling stops the work, except
// while superheat explains the heat, and then only as long as it falls with
// what goes in. Invented readings.
func TestDischargeHotFromStarving(t *testing.T) {
	air := map[string]string{"outdoor": "88 °F", "return_dry_bulb": "76 °F", "return_wet_bulb": "65 °F"}
	setup := `{"kind":"setup","refrigerant":"R-410A","capacity":"3 ton"}`
	const rule = "discharge-ceiling"

	r := newRoof(t, setup, air)
	r.checks()
	a := r.read(20, 58, 100, 0, "discharge_line", "232 °F")
	assert.False(t, fired(a, rule), "hot gas from a starved coil: %v", a.Stops)
	assert.Equal(t, charge.Add, a.Action, "%v", a.Why)

	r.weigh(6)
	r.wait(20)
	a = r.read(22, 55, 101, 0, "discharge_line", "236 °F")
	assert.True(t, fired(a, rule), "hotter although charge went in")
	assert.NotEqual(t, charge.Add, a.Action)

	r = newRoof(t, setup, air)
	r.checks()
	a = r.read(20, 58, 100, 0, "discharge_line", "290 °F")
	assert.True(t, fired(a, rule), "hotter than starving explains")
	assert.NotEqual(t, charge.Add, a.Action)
}
