package report

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// TestEntriesInWords: what the page says of each kind of entry, quantities as
// they were typed.
func TestEntriesInWords(t *testing.T) {
	for _, c := range []struct {
		entry string
		first bool
		want  string
	}{
		{`"kind":"setup","refrigerant":"R-410A","unit":"invented roof 2","capacity":"3 ton","device":"fixed-orifice","application":"medium-temperature","arrangement":"receiver","nameplate_charge":"7 lb 8 oz","elevation":"900 ft","cylinder_start":"22 lb","cylinder_refrigerant":"R-410A"`, true,
			"set up: R-410A, unit invented roof 2, capacity 3 ton, device fixed orifice, medium temperature, receiver, data plate 7 lb 8 oz, elevation 900 ft, cylinder 22 lb, cylinder of R-410A"},
		{`"kind":"setup","target_subcooling":"9 °F"`, false, "setup amended: target subcooling 9 °F"},
		{`"kind":"setup","capacity":"3 ton","withdrawn":"target_subcooling line_length"`, false, "setup amended: capacity 3 ton, target subcooling taken back, line length taken back"},
		{`"kind":"check","item":"condenser-coil","state":"corrected","note":"lint"`, false, "condenser coil: corrected (lint)"},
		{`"kind":"reading","suction_pressure":"118 psig","drop_leg":"88 °F","compressor_current":"12 A","sight_glass":"bubbles","note":"gusty"`, false,
			"read: suction 118 psig, drop leg 88 °F, compressor 12 A, sight glass bubbles, gusty"},
		{`"kind":"weighed","amount":"-3 oz","cylinder":"21 lb"`, false, "weighed 3 oz out, cylinder after 21 lb"},
		{`"kind":"weighed","amount":"3 oz","phase":"liquid"`, false, "weighed 3 oz in, as liquid"},
		{`"kind":"note","text":"owner asks"`, false, "note: owner asks"},
		{`"kind":"override","rule":"outdoor-range","why":"weighing in","by":"invented"`, false, "set aside outdoor range: weighing in (invented)"},
		{`"kind":"void","voids":4,"why":"slip"`, false, "took back event 4: slip"},
		{`"kind":"close","cylinder_end":"21 lb","why":"in band"`, false, "closed: in band, cylinder 21 lb"},
	} {
		e, err := charge.ParseEvent([]byte(`{"at":"2026-06-02T09:00:00Z",` + c.entry + `}`))
		require.NoError(t, err, c.entry)
		assert.Equal(t, c.want, what(e.Body, c.first))
	}
}

// TestAdviceInWords: one line for each thing that may be told.
func TestAdviceInWords(t *testing.T) {
	const oz = 0.028349523125
	for _, c := range []struct {
		a    charge.Advice
		want string
	}{
		{charge.Advice{}, ""},
		{charge.Advice{Action: charge.Measure}, "measure again"},
		{charge.Advice{Action: charge.Measure, Needs: []string{"outdoor", "sight_glass"}}, "measure outdoor, sight glass"},
		{charge.Advice{Action: charge.Correct}, "put something else right first, do not charge"},
		{charge.Advice{Action: charge.Correct, Causes: []charge.Cause{{Name: "low-airflow"}}, Why: []string{"Split 30 °F."}}, "put something else right first, do not charge: low airflow. Split 30 °F."},
		{charge.Advice{Action: charge.Wait, Wait: 12 * time.Minute}, "wait 12 min, it is not settled"},
		{charge.Advice{Action: charge.Wait, Wait: 5 * time.Minute, Derived: charge.Derived{Settled: true}}, "wait 5 min"},
		{charge.Advice{Action: charge.Add, AmountKg: 6 * oz, Wait: 12 * time.Minute}, "add 6 oz, wait 12 min"},
		{charge.Advice{Action: charge.Recover, AmountKg: 3 * oz, Wait: 10 * time.Minute}, "recover 3 oz, wait 10 min"},
		{charge.Advice{Action: charge.Stop}, "stop"},
		{charge.Advice{Action: charge.Stop, Stops: []charge.Fired{{Rule: "superheat-floor"}}}, "stop: superheat floor"},
		{charge.Advice{Action: charge.Stop, Belief: charge.DeviceBelief{FixedOrifice: 0.25, ExpansionValve: 0.75}}, "stop [orifice 0.25, valve 0.75]"},
		{charge.Advice{Action: charge.Stop, Belief: charge.DeviceBelief{FixedOrifice: 1, Stated: true}}, "stop"},
	} {
		assert.Equal(t, c.want, tell(&c.a, q.US))
	}
}
