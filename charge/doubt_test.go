package charge_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

func doubtOf(a charge.Advice, field string) (charge.Doubt, bool) {
	for _, d := range a.Doubts {
		if d.Field == field {
			return d, true
		}
	}
	return charge.Doubt{}, false
}

// TestDoubts: the mistakes technicians make, each found with its likely reason.
// The list is common practice, no source.
func TestDoubts(t *testing.T) {
	const sound = `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F","supply_dry_bulb":"58 °F","discharge_line":"172 °F"`
	for name, c := range map[string]struct {
		setup, reading string
		field          string
		grave          bool
		says           string
	}{
		"pressures swapped": {"", `"suction_pressure":"356 psig","liquid_pressure":"118 psig","suction_line":"64 °F","liquid_line":"104 °F"`,
			"liquid_pressure", true, "swapped"},
		"a digit missing": {"", `"suction_pressure":"118 psig","liquid_pressure":"31 psig","suction_line":"64 °F","liquid_line":"92 °F","outdoor":"85 °F"`,
			"liquid_pressure", true, "310?"},
		"compressor off": {"", `"suction_pressure":"240 psig","liquid_pressure":"245 psig","suction_line":"84 °F","liquid_line":"84 °F"`,
			"liquid_pressure", true, "running"},
		"clamps swapped": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"104 °F","liquid_line":"64 °F","outdoor":"88 °F","return_dry_bulb":"76 °F"`,
			"suction_line", true, "swapped"},
		"suction clamp on the discharge line": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"165 °F","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F"`,
			"suction_line", true, "discharge"},
		"suction line below saturation": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"32 °F","liquid_line":"104 °F","outdoor":"88 °F"`,
			"suction_line", true, "clamp"},
		"celsius typed as fahrenheit": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"14 °F","liquid_line":"104 °F"`,
			"suction_line", true, "14.0 °C"},
		"liquid line colder than outdoor air": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"55 °F","liquid_line":"83 °F","outdoor":"88 °F"`,
			"liquid_line", false, "restriction"},
		"liquid line far colder than outdoor air": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"55 °F","liquid_line":"70 °F","outdoor":"88 °F"`,
			"liquid_line", true, "clamp"},
		"wet bulb above dry bulb": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","return_dry_bulb":"65 °F","return_wet_bulb":"76 °F"`,
			"return_wet_bulb", true, "swapped"},
		"wet bulb equal to dry bulb": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","return_dry_bulb":"76 °F","return_wet_bulb":"76 °F"`,
			"return_wet_bulb", false, "dry wick"},
		"wet bulb too low for any air": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","return_dry_bulb":"76 °F","return_wet_bulb":"30 °F"`,
			"return_wet_bulb", true, "bone-dry"},
		"supply warmer than return": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","return_dry_bulb":"58 °F","supply_dry_bulb":"76 °F"`,
			"supply_dry_bulb", true, "swapped"},
		"wrong refrigerant, R-410A pressures as R-22": {`"refrigerant":"R-22"`, sound, "refrigerant", true, "R-410A"},
		"psig typed as psia on one gauge": {"", `"suction_pressure":"118 psia","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F"`,
			"suction_pressure", false, "gauge"},
		"condensing under outdoor air": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","outdoor":"118 °F"`,
			"liquid_pressure", true, "sun"},
		"liquid clamp on the discharge line": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"150 °F"`,
			"liquid_line", true, "discharge"},
		"outdoor typed in the wrong unit": {"", `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","outdoor":"88 °C"`,
			"outdoor", true, "unit"},
	} {
		t.Run(name, func(t *testing.T) {
			setup := c.setup
			if setup == "" {
				setup = `"refrigerant":"R-410A"`
			}
			r := newRoof(t, `{"kind":"setup",`+setup+`}`, nil)
			r.checks()
			a := r.do(`{"kind":"reading",%s}`, c.reading)
			d, ok := doubtOf(a, c.field)
			require.True(t, ok, "%+v", a.Doubts)
			assert.Contains(t, d.Why, c.says)
			assert.Equal(t, c.grave, d.Grave, "%s", d.Why)
			if c.grave {
				assert.Equal(t, charge.Measure, a.Action)
				assert.Contains(t, a.Needs, c.field)
				assert.NotEmpty(t, a.Why)
			}
		})
	}
	// The sound reading raises none.
	r := newRoof(t, `{"kind":"setup","refrigerant":"R-410A"}`, nil)
	r.checks()
	assert.Empty(t, r.do(`{"kind":"reading",%s}`, sound).Doubts)
}

// TestNoWolf: sound readings of the worked sessions raise no doubt.
func TestNoWolf(t *testing.T) {
	for _, name := range sessionNames(t) {
		_, got := play(t, name, 0)
		for i, a := range got {
			assert.Empty(t, a.Doubts, "%s row %d", name, i)
		}
	}
}

// TestConfirm: a doubted value read again alike is taken as it is; what
// contradicts physics is not.
func TestConfirm(t *testing.T) {
	r := newRoof(t, `{"kind":"setup","refrigerant":"R-410A"}`, map[string]string{"outdoor": "88 °F"})
	r.checks()
	a := r.read(40, -7, 107, 5)
	assert.Equal(t, charge.Measure, a.Action)
	r.wait(1)
	a = r.read(40, -7.5, 107, 5)
	d, _ := doubtOf(a, "suction_line")
	assert.False(t, d.Grave, "read twice alike")
	assert.NotEqual(t, charge.Add, a.Action, "and still under the floor")

	r = newRoof(t, `{"kind":"setup","refrigerant":"R-410A"}`, nil)
	for range 3 {
		r.wait(1)
		a = r.do(`{"kind":"reading","suction_pressure":"356 psig","liquid_pressure":"118 psig","suction_line":"64 °F","liquid_line":"104 °F"}`)
		assert.Equal(t, charge.Measure, a.Action)
	}
}

// TestCopiedReadings: the same values three times running are asked about.
func TestCopiedReadings(t *testing.T) {
	r := newRoof(t, `{"kind":"setup","refrigerant":"R-410A"}`, mildDay)
	r.checks()
	for i := range 3 {
		a := r.read(38, 20, 99, 3)
		d, ok := doubtOf(a, "suction_pressure")
		ok = ok && d.Why[:5] == "every"
		assert.Equal(t, i == 2, ok, "%d", i)
		r.wait(6)
	}
}

// TestHumidity: a relative humidity stands in for the wet bulb. ASHRAE
// Fundamentals (2017), psychrometric relations: 80 °F at 50 % and sea level
// has a wet bulb of 66.7 °F.
func TestHumidity(t *testing.T) {
	r := newRoof(t, `{"kind":"setup","refrigerant":"R-410A"}`, map[string]string{"outdoor": "95 °F", "return_dry_bulb": "80 °F", "return_humidity": "50 %"})
	a := r.read(40, 20, 115, 3)
	assert.InDelta(t, 66.7, tF(a.Derived.ReturnWetK), 0.1)
	assert.True(t, a.IfOrifice.Defined)
}

// TestDoubtedReadingFiresNothing: what cannot be believed stops nothing and
// proves nothing, and the reading before it still stands.
func TestDoubtedReadingFiresNothing(t *testing.T) {
	r := newRoof(t, `{"kind":"setup","refrigerant":"R-410A"}`, mildDay)
	r.checks()
	was := r.read(40, 25, 100, 3)
	a := r.do(`{"kind":"reading","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"20 °F","liquid_line":"104 °F","outdoor":"85 °F","return_dry_bulb":"80 °F"}`)
	assert.Equal(t, charge.Measure, a.Action)
	assert.Empty(t, a.Stops)
	assert.Equal(t, was.Belief, a.Belief)
	assert.Equal(t, was.Causes, a.Causes)
	got, ok := ruleOf(a, "superheat-floor")
	assert.True(t, ok && !got.Fired)
	assert.InDelta(t, 20, got.Room/perF, 0.2)
}
