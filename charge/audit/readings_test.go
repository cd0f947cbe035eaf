package audit

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestReadingsThatCannotBe: contradictions that are wrong whatever the
// refrigerant, each said with both values as they were typed.
func TestReadingsThatCannotBe(t *testing.T) {
	const first = `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F"`
	for _, c := range []struct{ old, new, says string }{
		{first, `"suction_pressure":"356 psig","liquid_pressure":"118 psig","suction_line":"64 °F"`, "liquid 118 psig is not above suction 356 psig: hoses swapped, or not running."},
		{first, `"suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"174 °F"`, "suction line 174 °F is hotter than discharge line 172 °F: a clamp is on the wrong pipe."},
		{`"return_wet_bulb":"65 °F","supply_dry_bulb":"60 °F"`, `"return_wet_bulb":"79 °F","supply_dry_bulb":"60 °F"`, "return wet bulb 79 °F is above dry bulb 76 °F: swapped, or mistyped."},
		{`"supply_dry_bulb":"60 °F"`, `"supply_dry_bulb":"57 °F","supply_wet_bulb":"60 °F"`, "supply wet bulb 60 °F is above dry bulb 57 °F: swapped, or mistyped."},
	} {
		fs := Find(edited(c.old, c.new)(t))
		said := ""
		for _, f := range fs {
			if f.Rule == "impossible-reading" {
				said += f.Says
			}
		}
		assert.Equal(t, c.says, said, "%v", fs)
	}
	// One gauge alone contradicts nothing.
	assert.NotContains(t, rulesOf(Find(edited(`"liquid_pressure":"356 psig",`, ``)(t))), "impossible-reading")
}

// TestNumbersThatDoNotCount: events taken out of their file show by their
// numbers what is gone.
func TestNumbersThatDoNotCount(t *testing.T) {
	for _, c := range []struct {
		ns   []int
		says string
	}{
		{[]int{1, 3}, "one line is missing between them."},
		{[]int{1, 9}, "7 lines are missing between them."},
		{[]int{2, 2}, "a line was repeated or moved."},
		{[]int{3, 2}, "a line was repeated or moved."},
	} {
		said := ""
		for _, f := range Find(numbered(c.ns...)(t)) {
			said += f.Says
		}
		assert.Contains(t, said, c.says, "%v", c.ns)
	}
	r := numbered()(t)
	for i := range r.Events {
		r.Events[i].N += 4
	}
	fs := Find(r)
	assert.NotEmpty(t, fs)
	assert.Equal(t, "the journal begins at event 5: 4 lines are missing before it.", fs[0].Says)
}
