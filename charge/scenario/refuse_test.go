package scenario

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lessonTree is a sound lesson as a tree to be spoilt.
func lessonTree(t *testing.T) map[string]any {
	t.Helper()
	raw, err := Source("dirty-condenser")
	require.NoError(t, err)
	var tree map[string]any
	require.NoError(t, json.Unmarshal(raw, &tree))
	return tree
}

// TestEverySlipIsToldByItsField: what a trainer may get wrong in a lesson, each
// told with the field it is in and what to do.
func TestEverySlipIsToldByItsField(t *testing.T) {
	at := func(tree map[string]any, path ...any) any {
		var x any = tree
		for _, p := range path {
			switch p := p.(type) {
			case string:
				x = x.(map[string]any)[p]
			case int:
				x = x.([]any)[p]
			}
		}
		return x
	}
	in := func(path ...any) func(map[string]any) map[string]any {
		return func(tree map[string]any) map[string]any { return at(tree, path...).(map[string]any) }
	}
	top := in()
	for _, c := range []struct {
		where       func(map[string]any) map[string]any
		name        string
		value       any
		field, says string
	}{
		{top, "start", "14 July", "start", "is not a time: write it like"},
		{top, "title", 7, "title", "is a number: write text between quotation marks"},
		{top, "title", "", "title", "is empty"},
		{top, "title", strings.Repeat("x", 5000), "title", "shorten it"},
		{top, "title", "a\u001b[2Jb", "title", "U+001B"},
		{top, "story", "once", "story", "write a list between [ and ]"},
		{top, "story", strings.Split(strings.Repeat("x,", 30), ","), "story", "has more than 20 entries"},
		{top, "weather", []any{}, "weather", "at least the weather at minute 0"},
		{top, "goal", "charge", "goal", "write an object between { and }"},
		{top, "plate", "gone", "plate", "readable, unreadable"},
		{in("setup"), "kind", "setup", "setup.kind", "does not belong into a setup"},
		{in("setup"), "capacity", 5, "setup.capacity", "write text between quotation marks"},
		{in("setup"), "colour", "red", "setup.colour", "is not a field of a setup"},
		{in("setup"), "refrigerant", nil, "setup", "refrigerant"},
		{in("hidden"), "micro_channel", "yes", "hidden.micro_channel", "write true or false"},
		{in("hidden"), "leak_per_hour", "50 kg", "hidden.leak_per_hour", "0 to 20 kg an hour"},
		{in("hidden"), "design_superheat", "500 °F", "hidden.design_superheat", "2 to 45 °F"},
		{in("hidden"), "design_subcooling", "-5 K", "hidden.design_subcooling", "1 to 30 °F"},
		{in("hidden"), "design", map[string]any{"outdoor": "95 °F"}, "hidden.design.return_dry_bulb", "is missing"},
		{top, "instruments", []any{map[string]any{"reading": "outdoor"}}, "instruments[0]", "does nothing: give offset or on"},
		{top, "instruments", []any{map[string]any{"reading": "outdoor", "offset": "4 psi"}}, "instruments[0].offset", "unit"},
		{in("inspect", 1), "item", "filter", "inspect[1]", "is listed twice: keep one"},
		{in("inspect", 0), "state", nil, "inspect[0]", "give its state, ok or faulty"},
		{in("inspect", 0), "item", "drain-pan", "inspect[0].state", "is only for items of the check list"},
		{in("inspect", 5, "fix"), "stops_leak", "yes", "inspect[5].fix.stops_leak", "write true or false"},
		{in("goal"), "causes", []any{"low-airflow"}, "goal.causes", "belongs to a goal of kind leave"},
		{in("goal"), "kind", "leave", "goal.of", "belongs to a goal of kind charge"},
		{in("goal"), "kind", "leave", "goal.causes", "is missing"},
		{in("goal"), "low", "4 °F", "goal.high", "is missing"},
		{in("misstep", "play", 0), "item", "chimney", "misstep.play[0].item", "is not among the items to inspect"},
	} {
		tree := lessonTree(t)
		o := c.where(tree)
		if c.value == nil {
			require.Contains(t, o, c.name)
			delete(o, c.name)
		} else {
			o[c.name] = c.value
		}
		data, err := json.Marshal(tree)
		require.NoError(t, err)
		_, err = Parse(data)
		var ps Problems
		require.ErrorAs(t, err, &ps, "%s %v", c.name, c.value)
		found := false
		for _, p := range ps {
			found = found || p.Field == c.field && strings.Contains(p.Why, c.says)
		}
		assert.True(t, found, "%s %.40v: %v", c.name, c.value, err)
		assert.NotContains(t, err.Error(), "\x1b")
	}

	_, err := Parse([]byte(strings.Repeat(" ", 300<<10) + "{}"))
	assert.ErrorContains(t, err, "larger than 256 kB: shorten it")
}

// What a lesson may say that none of ours does.
func TestMoreThanOurLessonsSay(t *testing.T) {
	tree := lessonTree(t)
	hidden := tree["hidden"].(map[string]any)
	hidden["micro_channel"] = true
	hidden["refrigerant"] = "R-32"
	hidden["design"] = map[string]any{"outdoor": "35 °C", "return_dry_bulb": "27 °C", "return_wet_bulb": "19 °C"}
	tree["instruments"] = []any{map[string]any{"reading": "suction_pressure", "offset": "3 psig"}, map[string]any{"reading": "outdoor", "offset": "-4 °F"}}
	goal := tree["goal"].(map[string]any)
	goal["low"], goal["high"] = "8 °F", "12 °F"
	tree["inspect"].([]any)[0].(map[string]any)["shows"] = map[string]any{"device": "fixed-orifice"}
	data, err := json.Marshal(tree)
	require.NoError(t, err)
	s, err := Parse(data)
	require.NoError(t, err)
	assert.True(t, s.Hidden.Spec.MicroChannel)
	assert.Equal(t, "R-32", s.Hidden.Spec.Refrigerant)
	assert.InDelta(t, 308.15, s.Hidden.Spec.Design.OutdoorK, 1e-9)
	assert.InDelta(t, 3*6894.757, s.Trouble[0].Offset, 0.1)
	assert.InDelta(t, -4/1.8, s.Trouble[1].Offset, 1e-9)
	assert.InDelta(t, 8/1.8, s.Goal.LowK, 1e-9)
	assert.InDelta(t, 12/1.8, s.Goal.HighK, 1e-9)
	require.NotNil(t, s.Items[0].Shows)
}
