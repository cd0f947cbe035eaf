package charge_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// TestRefusalsOfForm: lines that are wrong before anything in them is judged.
func TestRefusalsOfForm(t *testing.T) {
	const at = `"at":"2026-06-01T13:01:00Z"`
	var many strings.Builder
	for i := range 80 {
		fmt.Fprintf(&many, `,"f%d":1`, i)
	}
	for _, c := range []struct{ line, field, says string }{
		{`{"kind":7,` + at + `}`, "kind", "quotation marks"},
		{`{"kind":"note","at":20260601,"text":"x"}`, "at", "quotation marks"},
		{`{"kind":"note",` + at + `,"text":"x","n":-1}`, "n", "count from 1"},
		{`{"kind":"note",` + at + `,"text":"x","n":"one"}`, "n", "count from 1"},
		{`{"kind":"note",` + at + `,"text":""}`, "text", "is empty: a note needs it"},
		{`{"kind":"override",` + at + `,"rule":""}`, "rule", "is empty: an override needs it"},
		{`{"kind":"override",` + at + `}`, "rule", "is missing: an override needs it"},
		{`{"kind":"note",` + at + `,"text":["x"]}`, "text", "quotation marks"},
		{`{"kind":"note",` + at + `,"text":"` + strings.Repeat("x", 20_000) + `"}`, "text", "shorten it"},
		{`{"kind":"note",` + at + `,"text":"x"` + many.String() + `}`, "", "more than 64 fields"},
		{`{"kind":"note",` + at + `,"text":"x"`, "", "breaks off"},
		{`{"kind":"note",` + at + `,"text":"x",}`, "", "valid JSON"},
		{`{"kind":"note" "text"}`, "", "valid JSON"},
		{`{"kind":"note",` + at + `,"text":"\ud800"}`, "text", "U+FFFD"},
		{`{"kind":"note",` + at + `,"text":"x","\u200b":1}`, "", "U+200B"},
		{`{"kind":"weighed",` + at + `,"amount":"2001 kg"}`, "amount", "2,000 kg"},
		{`{"kind":"setup",` + at + `,"refrigerant":"R-410A","barometer":"30 kPa"}`, "barometer", "out of range"},
	} {
		e, err := charge.ParseEvent([]byte(c.line))
		if err == nil {
			s := charge.NewSession(charge.Options{})
			apply(t, s, `{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-410A"}`)
			_, err = s.Apply(e)
		}
		var r *charge.Refusal
		require.True(t, errors.As(err, &r), "%.80s: %v", c.line, err)
		assert.Equal(t, c.field, r.Field, "%.80s", c.line)
		assert.Contains(t, r.Why, c.says, "%.80s", c.line)
	}
	require.Equal(t, charge.Kind(""), charge.Event{}.Kind())
	_, err := charge.Event{}.MarshalJSON()
	require.Error(t, err)
	// An empty text is as good as none where none is needed.
	e, err := charge.ParseEvent([]byte(`{"kind":"close",` + at + `,"why":""}`))
	require.NoError(t, err)
	require.Empty(t, e.Body.(*charge.Close).Why)
}

// session folds lines and gives the last advice.
func session(t *testing.T, lines ...string) charge.Advice {
	t.Helper()
	s := charge.NewSession(charge.Options{})
	for i, l := range lines {
		apply(t, s, strings.Replace(l, "{", fmt.Sprintf(`{"at":"2026-06-01T13:%02d:00Z",`, 20*i/20+i), 1))
	}
	return s.Advice()
}

// TestSeldomReached: rules and doubts of days and slips that the stories do not have.
func TestSeldomReached(t *testing.T) {
	const setup = `{"kind":"setup","refrigerant":"R-410A","capacity":"3 ton"}`

	// The published chart ends at 115 °F outdoors.
	a := session(t, setup, `{"kind":"reading","suction_pressure":"140 psig","liquid_pressure":"520 psig","suction_line":"60 °F","liquid_line":"124 °F","outdoor":"119 °F","return_dry_bulb":"78 °F","return_wet_bulb":"65 °F"}`)
	assert.Contains(t, gates(a), "the methods end at 115 °F")
	assert.NotEqual(t, charge.Add, a.Action)

	// 12:1 is the most for low temperature work, 10:1 for medium (as the rules' source says).
	for application, fired := range map[string]bool{"low-temperature": false, "medium-temperature": true} {
		a = session(t, `{"kind":"setup","refrigerant":"R-404A","application":"`+application+`"}`,
			`{"kind":"reading","suction_pressure":"7 psig","liquid_pressure":"225 psig","suction_line":"0 °F","liquid_line":"88 °F","outdoor":"80 °F","return_dry_bulb":"10 °F"}`)
		assert.InDelta(t, 11, a.Derived.CompressionRatio, 0.6)
		found := false
		for _, r := range a.Rules {
			if r.Name == "compression-ratio" {
				found = true
				assert.Equal(t, fired, r.Fired, "%s: %.2f against %g", application, r.Now, r.Limit)
			}
		}
		assert.True(t, found)
	}

	// Dry and wet bulb of the supply air swapped.
	a = session(t, setup, `{"kind":"reading","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F","supply_dry_bulb":"55 °F","supply_wet_bulb":"58 °F"}`)
	assert.Contains(t, doubts(a), "above the supply dry bulb: are the two swapped?")

	// The right number with the wrong unit.
	a = session(t, setup, `{"kind":"reading","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °C","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}`)
	assert.Contains(t, doubts(a), "suction_line: far warmer")
	assert.Contains(t, doubts(a), "If it was 64.0 °F, write it so.")
	a = session(t, setup, `{"kind":"reading","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °C","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}`)
	assert.Contains(t, doubts(a), "If it was 104.0 °F, write it so.")
	a = session(t, setup, `{"kind":"reading","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"18 °F","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}`)
	assert.Contains(t, doubts(a), "If it was 18.0 °C, write it so.")
}

func gates(a charge.Advice) string {
	var b strings.Builder
	for _, g := range a.Gates {
		b.WriteString(g.Asks + "\n")
	}
	for _, s := range a.Stops {
		b.WriteString(s.Says + "\n")
	}
	return b.String()
}

func doubts(a charge.Advice) string {
	var b strings.Builder
	for _, d := range a.Doubts {
		b.WriteString(d.Field + ": " + d.Why + "\n")
	}
	return b.String()
}
