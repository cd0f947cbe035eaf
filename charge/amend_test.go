package charge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// What a later setup withdraws was never given: the same advice, and a figure
// given anew stands again.
func TestWithdrawnFieldsHoldNoLonger(t *testing.T) {
	first := `{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-410A","target_superheat":"31 °F","capacity":"3 ton"}`
	bare := `{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-410A","capacity":"3 ton"}`
	reading := `{"kind":"reading","at":"2026-06-01T13:10:00Z","suction_pressure":"106 psig","liquid_pressure":"300 psig","suction_line":"62 °F","liquid_line":"92 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"64 °F"}`
	withdraw := `{"kind":"setup","at":"2026-06-01T13:20:00Z","withdrawn":"target_superheat unit"}`
	again := `{"kind":"setup","at":"2026-06-01T13:30:00Z","target_superheat":"12 °F","withdrawn":"capacity"}`

	play := func(lines ...string) *charge.Session {
		s := charge.NewSession(charge.Options{})
		for _, l := range lines {
			e, err := charge.ParseEvent([]byte(l))
			require.NoError(t, err)
			_, err = s.Apply(e)
			require.NoError(t, err)
		}
		return s
	}
	with, without := play(first, reading), play(bare, reading)
	require.NotEqual(t, with.Advice().Target, without.Advice().Target)

	s := play(first, reading, withdraw)
	assert.False(t, s.Setup().TargetSuperheat.IsValid())
	assert.True(t, s.Setup().Withdrawn.IsZero(), "what stands has nothing to withdraw")
	assert.Equal(t, "3 ton", s.Setup().Capacity.String())
	assert.Equal(t, without.Advice().Target, s.Steps()[1].Now.Target, "the reading is answered anew")
	assert.Equal(t, with.Advice().Target, s.Steps()[1].Told.Target, "what was told stays on record")

	s = play(first, reading, withdraw, again)
	assert.Equal(t, "12 °F", s.Setup().TargetSuperheat.String())
	assert.False(t, s.Setup().Capacity.IsValid())

	line, err := s.Steps()[2].Event.MarshalJSON()
	require.NoError(t, err)
	assert.Contains(t, string(line), `"withdrawn":"target_superheat unit"`)
}
