package scenario

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge/rig"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("scenario.schema.json", doc))
	s, err := c.Compile("scenario.schema.json")
	require.NoError(t, err)
	return s
}

func TestEveryLessonReadsAndFitsTheSchema(t *testing.T) {
	sch := compiled(t)
	all := All()
	require.GreaterOrEqual(t, len(all), 19)
	names := map[string]bool{}
	for _, s := range all {
		assert.False(t, names[s.Name], "%s is there twice", s.Name)
		names[s.Name] = true
		data, err := Source(s.Name)
		require.NoError(t, err)
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		require.NoError(t, err)
		assert.NoError(t, sch.Validate(doc), s.Name)
		_, err = rig.Size(s.Hidden.Spec)
		assert.NoError(t, err, s.Name)
		assert.Contains(t, string(s.Setup.Unit), "invented", s.Name)
	}
	for _, need := range []string{"orifice-short", "valve-short", "valve-starved", "humid", "too-hot-and-dry", "dirty-condenser", "fan-off", "low-airflow",
		"restriction", "air-inside", "overcharged", "slow-leak", "glide", "flammable", "receiver-bubbles", "stuck-head-control", "weather-turning", "wrong-pipe", "no-plate"} {
		assert.True(t, names[need], need)
	}
	_, err := Find("nothing")
	assert.ErrorContains(t, err, "orifice-short")
}

// lineOf finds the line a text stands on.
func lineOf(t *testing.T, data, text string) int {
	t.Helper()
	i := strings.Index(data, text)
	require.GreaterOrEqual(t, i, 0, text)
	return 1 + strings.Count(data[:i], "\n")
}

func TestErrorsNameLineAndField(t *testing.T) {
	raw, err := Source("dirty-condenser")
	require.NoError(t, err)
	good := string(raw)
	sch := compiled(t)
	for _, c := range []struct {
		old, new, field, says string
		loose                 bool // the schema does not know: a matter of units, or of two places
	}{
		{`"charge_percent": 86`, `"charge_percent": 820`, "hidden.charge_percent", "20 to 180", false},
		{`"charge_percent": 86`, `"charge_percent": "86 %"`, "hidden.charge_percent", "plain number", false},
		{`"capacity": "5 ton"`, `"capacity": "5"`, "setup.capacity", "unit", true},
		{`"design_superheat": "11 °F"`, `"design_superheat": 11`, "hidden.design_superheat", "with its unit", false},
		{`"device": "fixed-orifice",
    "capacity": "5 ton",
    "charge`, `"device": "piston",
    "capacity": "5 ton",
    "charge`, "hidden.device", "use fixed-orifice", false},
		{`"condenser_fouling": 0.62`, `"condensor_fouling": 0.62`, "hidden.faults.condensor_fouling", "condenser_fouling", false},
		{`"outdoor": "90 °F"`, `"outdoor": "900 °F"`, "weather[1].outdoor", "out of range", true},
		{`"minute": 300`, `"minute": 0`, "weather[1]", "in order", true},
		{`"return_wet_bulb": "65 °F"`, `"return_wet_bulb": "85 °F"`, "weather[0]", "above the dry bulb", true},
		{`"state": "faulty",
      "minutes"`, `"state": "broken",
      "minutes"`, "inspect[3].state", "ok, faulty", false},
		{`"must_fix": ["condenser-coil"`, `"must_fix": ["condensor"`, "goal.must_fix[0]", "not among the items", true},
		{`"of": "superheat",`, ``, "goal.of", "is missing", false},
		{`"amount": "8 oz"`, `"amount": "8"`, "misstep.play[5].amount", "unit", true},
		{`"refrigerant": "R-410A"`, `"refrigerant": "R-999"`, "setup.refrigerant", "R-410A", true},
		{`"inspect": [`, `"instruments": [{"reading": "outdoor", "on": "liquid-line"}], "inspect": [`, "instruments[0].on", "only for clamps", false},
		{`"inspect": [`, `"instruments": [{"reading": "liquid_pressure", "on": "liquid-line"}], "inspect": [`, "instruments[0].on", "only for clamps", false},
		{`"title": "A dirty`, `"titel": "A dirty`, "titel", "not a field", false},
		{`"format": "chargehand-scenario/1"`, `"format": "other/1"`, "format", "chargehand-scenario/1", false},
	} {
		require.Contains(t, good, c.old)
		bad := strings.Replace(good, c.old, c.new, 1)
		_, err := Parse([]byte(bad))
		require.Error(t, err, c.new)
		var ps Problems
		require.True(t, errors.As(err, &ps))
		found := false
		for _, p := range ps {
			found = found || p.Field == c.field && strings.Contains(p.Why+p.Value, c.says)
			assert.GreaterOrEqual(t, p.Line, 1)
		}
		assert.True(t, found, "%s: %v", c.field, err)
		if c.new != "" && !strings.HasPrefix(c.field, "weather[") {
			key := strings.TrimSpace(strings.Split(c.new, "\n")[0])
			assert.Contains(t, err.Error(), "line "+itoa(lineOf(t, bad, key)), "%s: %v", c.field, err)
		}
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(bad))
		require.NoError(t, err)
		if !c.loose {
			assert.Error(t, sch.Validate(doc), "the schema lets %s pass", c.new)
		}
	}
}

func itoa(n int) string { b, _ := json.Marshal(n); return string(b) }

// Editors of Windows put a byte-order mark in front of UTF-8 text. RFC 8259,
// section 8.1: a reader may ignore it rather than treat it as an error.
func TestAByteOrderMarkIsPassedOver(t *testing.T) {
	entries, err := os.ReadDir("lessons")
	require.NoError(t, err)
	data, err := os.ReadFile(filepath.Join("lessons", entries[0].Name()))
	require.NoError(t, err)
	want, err := Parse(data)
	require.NoError(t, err)
	got, err := Parse(append([]byte("\xef\xbb\xbf"), data...))
	require.NoError(t, err)
	assert.Equal(t, want.Name, got.Name)
	assert.Equal(t, want.Hidden, got.Hidden)
	assert.Len(t, got.Items, len(want.Items))

	_, err = Parse([]byte("\xef\xbb\xbf{\n \"a\": 1\n \"b\": 2\n}"))
	assert.ErrorContains(t, err, "line 3", "lines are counted as an editor counts them")
	_, err = Parse([]byte("\xef\xbb\xbf"))
	assert.ErrorContains(t, err, "empty")
	_, err = Parse([]byte("\xff\xfe{\x00}\x00"))
	assert.ErrorContains(t, err, "save it as UTF-8")
}

func TestBrokenJSONNamesItsLine(t *testing.T) {
	for text, says := range map[string]string{
		"":                           "empty",
		"{\n\"name\": \"a\",":        "line 2",
		"{\n \"a\": 1\n \"b\": 2\n}": "line 3",
		"{}\n{}":                     "after the JSON object",
		"[1]":                        "object",
		"{\"a\":1,\n\"a\":2}":        "given twice",
		"\xff":                       "UTF-8",
		strings.Repeat("[", 100):     "nested",
		"{\"name\": 1e999}":          "number",
	} {
		_, err := Parse([]byte(text))
		assert.ErrorContains(t, err, says, "%q", text)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range All() {
		data, err := Source(s.Name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("{\"name\":\"\x1b[2J\"}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Parse(data)
		if (s == nil) == (err == nil) {
			t.Fatal("neither a scenario nor a reason, or both")
		}
		if err != nil {
			for _, r := range err.Error() {
				if r != '\n' && (r < 0x20 || r >= 0x7f && r < 0xa0) {
					t.Fatalf("%U in %q", r, err)
				}
			}
		}
	})
}
