package audit

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// sound is an invented job without a fault: a 3 ton split with a piston, a
// little short after a valve core was replaced.
const sound = `
{"kind":"setup","at":"2026-06-02T09:00:00Z","refrigerant":"R-410A","unit":"invented roof 2","capacity":"3 ton","device":"fixed-orifice","nameplate_charge":"7 lb 8 oz","cylinder_start":"22 lb 4 oz","cylinder_refrigerant":"R-410A","technician":"invented"}
{"kind":"check","at":"2026-06-02T09:02:00Z","item":"filter","state":"corrected","note":"new filter"}
{"kind":"check","at":"2026-06-02T09:04:00Z","item":"evaporator-coil","state":"ok"}
{"kind":"check","at":"2026-06-02T09:05:00Z","item":"blower","state":"ok"}
{"kind":"check","at":"2026-06-02T09:07:00Z","item":"condenser-coil","state":"corrected"}
{"kind":"check","at":"2026-06-02T09:08:00Z","item":"condenser-fan","state":"ok"}
{"kind":"check","at":"2026-06-02T09:12:00Z","item":"leak-search","state":"corrected","note":"valve core replaced"}
{"kind":"reading","at":"2026-06-02T09:30:00Z","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F","supply_dry_bulb":"60 °F","discharge_line":"172 °F"}
{"kind":"weighed","at":"2026-06-02T09:32:00Z","amount":"4 oz","phase":"liquid","cylinder":"22 lb"}
{"kind":"reading","at":"2026-06-02T09:47:00Z","suction_pressure":"121 psig","liquid_pressure":"361 psig","suction_line":"60.7 °F","liquid_line":"103.5 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F","supply_dry_bulb":"58 °F","discharge_line":"168 °F"}
{"kind":"weighed","at":"2026-06-02T09:49:00Z","amount":"4 oz","phase":"liquid","cylinder":"21 lb 12 oz"}
{"kind":"reading","at":"2026-06-02T10:04:00Z","suction_pressure":"125 psig","liquid_pressure":"369 psig","suction_line":"56.2 °F","liquid_line":"102.9 °F","outdoor":"89 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F","supply_dry_bulb":"57 °F","discharge_line":"164 °F"}
{"kind":"close","at":"2026-06-02T10:10:00Z","cylinder_end":"21 lb 12 oz","why":"in band, steady"}
`

func parse(t testing.TB, text string) []charge.Event {
	t.Helper()
	var out []charge.Event
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		e, err := charge.ParseEvent([]byte(line))
		require.NoError(t, err, line)
		out = append(out, e)
	}
	return out
}

// edit changes a text that must be there, so that a case cannot go stale.
func edit(t testing.TB, text string, pairs ...string) string {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		require.Contains(t, text, pairs[i])
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return text
}

// drop removes the lines that hold word.
func drop(t testing.TB, text, word string) string {
	t.Helper()
	require.Contains(t, text, word)
	var keep []string
	for _, l := range strings.Split(text, "\n") {
		if !strings.Contains(l, word) {
			keep = append(keep, l)
		}
	}
	return strings.Join(keep, "\n")
}

// calm is an answer to every event that asks nothing.
func calm(n int) []charge.Advice {
	told := make([]charge.Advice, n)
	for i := range told {
		told[i] = charge.Advice{Action: charge.Add, AmountKg: 0.1134, Wait: 12 * time.Minute,
			Target: charge.Target{Of: charge.OfSuperheat, Defined: true}}
		told[i].Derived.SuperheatK, told[i].Derived.SubcoolingK = 6, 5
	}
	told[n-1].Action, told[n-2].Action = charge.Stop, charge.Stop
	return told
}

func rulesOf(fs []Finding) []string {
	var names []string
	for _, f := range fs {
		names = append(names, f.Rule)
	}
	return names
}

func TestSoundJournalHasNoFinding(t *testing.T) {
	events := parse(t, sound)
	assert.Empty(t, Find(Record{Events: events}))
	assert.Empty(t, Find(Record{Events: events, Told: calm(len(events))}))
}

// pair is a journal that trips a rule and one, as near to it as can be, that
// does not.
type pair struct {
	rule        string
	trips, near func(t *testing.T) Record
}

func raw(f func(t *testing.T) string) func(*testing.T) Record {
	return func(t *testing.T) Record { return Record{Events: parse(t, f(t))} }
}

func edited(pairs ...string) func(*testing.T) Record {
	return raw(func(t *testing.T) string { return edit(t, sound, pairs...) })
}

func dropped(word string, pairs ...string) func(*testing.T) Record {
	return raw(func(t *testing.T) string { return drop(t, edit(t, sound, pairs...), word) })
}

func chained(c Chain) func(*testing.T) Record {
	return func(t *testing.T) Record { return Record{Events: parse(t, sound), Chain: c} }
}

// toldBy answers the sound journal calmly and then lets change rewrite it. The
// indices of the journal: 7 first reading, 8 weighed, 9 reading, 10 weighed, 11
// last reading, 12 close.
func toldBy(change func(told []charge.Advice), pairs ...string) func(*testing.T) Record {
	return func(t *testing.T) Record {
		r := Record{Events: parse(t, edit(t, sound, pairs...))}
		r.Told = calm(len(r.Events))
		change(r.Told)
		return r
	}
}

const (
	secondReading = `{"kind":"reading","at":"2026-06-02T09:47:00Z"`
	lastReading   = `{"kind":"reading","at":"2026-06-02T10:04:00Z"`
	firstWeighed  = `{"kind":"weighed","at":"2026-06-02T09:32:00Z","amount":"4 oz","phase":"liquid"`
	secondWeighed = `{"kind":"weighed","at":"2026-06-02T09:49:00Z","amount":"4 oz"`
)

var pairs = []pair{
	{"chain-broken", chained(Chain{Breaks: []Break{{5, "its prev is not the hash of line 4"}}}), chained(Chain{})},
	{"chain-broken", numbered(1, 2, 3, 5, 6), numbered(1, 2, 3, 4, 5)},
	{"torn-line", chained(Chain{Torn: "no newline at its end"}), chained(Chain{})},
	{"clock-back", edited("2026-06-02T09:47:00Z", "2026-06-02T09:31:50Z"), edited("2026-06-02T09:47:00Z", "2026-06-02T09:47:30Z")},
	{"not-closed", dropped(`"close"`), edited()},
	{"unknown-fields", edited(`"item":"filter"`, `"item":"filter","gloves":"on"`), edited(`"note":"new filter"`, `"note":"gloves on"`)},

	{"no-reading-before", raw(func(t *testing.T) string { return drop(t, sound, "T09:30:00Z") }),
		raw(func(t *testing.T) string { // weigh-in only: readings do not set the amount
			return drop(t, edit(t, sound, `"device":"fixed-orifice"`, `"arrangement":"critical-charge"`), "T09:30:00Z")
		})},
	{"checks-skipped", dropped(`"leak-search"`), dropped(`"blower"`)}, // the split answers for the blower
	{"checks-skipped", toldBy(func(a []charge.Advice) { a[7].Gates = []charge.Gate{{Name: "air-side"}} }, `"item":"blower","state":"ok"`, `"item":"electrical","state":"ok"`),
		toldBy(func(a []charge.Advice) {}, `"item":"blower","state":"ok"`, `"item":"electrical","state":"ok"`)},
	{"checks-skipped", edited(`"item":"blower","state":"ok"`, `"item":"blower","state":"skipped"`), edited(`"item":"blower","state":"ok"`, `"item":"blower","state":"corrected"`)},
	{"fault-left", edited(`"item":"condenser-coil","state":"corrected"`, `"item":"condenser-coil","state":"faulty"`),
		edited(`{"kind":"check","at":"2026-06-02T09:08:00Z"`, `{"kind":"check","at":"2026-06-02T09:07:30Z","item":"condenser-coil","state":"faulty"}
{"kind":"check","at":"2026-06-02T09:07:40Z","item":"condenser-coil","state":"corrected"}
{"kind":"check","at":"2026-06-02T09:08:00Z"`)},
	{"air-side-missing", edited(`,"return_wet_bulb":"65 °F","supply_dry_bulb":"60 °F"`, ``),
		edited(`"return_wet_bulb":"65 °F","supply_dry_bulb":"60 °F"`, `"return_humidity":"55 %"`)},
	{"wrong-cylinder", edited(`"cylinder_refrigerant":"R-410A"`, `"cylinder_refrigerant":"R-32"`),
		edited(`"cylinder_refrigerant":"R-410A"`, `"cylinder_refrigerant":"410a"`)},
	{"refrigerant-amended", edited(secondReading, `{"kind":"setup","at":"2026-06-02T09:40:00Z","refrigerant":"R-32","cylinder_refrigerant":"R-32"}
`+secondReading), edited(secondReading, `{"kind":"setup","at":"2026-06-02T09:40:00Z","refrigerant":"r410a","line_length":"20 ft"}
`+secondReading)},

	{"impossible-reading", edited(`"return_wet_bulb":"65 °F","supply_dry_bulb":"58 °F"`, `"return_wet_bulb":"79 °F","supply_dry_bulb":"58 °F"`),
		edited(`"return_wet_bulb":"65 °F","supply_dry_bulb":"58 °F"`, `"return_wet_bulb":"76 °F","supply_dry_bulb":"58 °F"`)},
	// Two thermometers may differ by half a degree.
	{"impossible-reading", edited(`"return_wet_bulb":"65 °F","supply_dry_bulb":"58 °F"`, `"return_wet_bulb":"76.7 °F","supply_dry_bulb":"58 °F"`),
		edited(`"return_wet_bulb":"65 °F","supply_dry_bulb":"58 °F"`, `"return_wet_bulb":"76.4 °F","supply_dry_bulb":"58 °F"`)},
	{"doubtful-reading", toldBy(func(a []charge.Advice) {
		a[9].Doubts = []charge.Doubt{{Field: "suction_line", Value: "60.7 °F", Why: "hotter than the return air", Grave: true}}
	}), toldBy(func(a []charge.Advice) {
		a[9].Doubts = []charge.Doubt{{Field: "suction_line", Value: "60.7 °F", Why: "hardly likely"}}
	})},
	{"same-readings", edited(
		`"121 psig","liquid_pressure":"361 psig","suction_line":"60.7 °F","liquid_line":"103.5 °F"`, `"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F"`,
		`"125 psig","liquid_pressure":"369 psig","suction_line":"56.2 °F","liquid_line":"102.9 °F"`, `"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F"`),
		edited(`"121 psig","liquid_pressure":"361 psig","suction_line":"60.7 °F","liquid_line":"103.5 °F"`, `"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F"`)},
	{"target-undefined", edited(`"outdoor":"88 °F"`, `"outdoor":"54 °F"`), edited(`"outdoor":"88 °F"`, `"outdoor":"55 °F"`)},
	{"target-undefined", edited(`"outdoor":"88 °F"`, `"outdoor":"116 °F"`), edited(`"outdoor":"88 °F"`, `"outdoor":"115 °F"`)},
	{"chart-silent", edited(`"outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"`, `"outdoor":"105 °F","return_dry_bulb":"76 °F","return_wet_bulb":"58 °F"`),
		edited(`"device":"fixed-orifice"`, `"device":"expansion-valve"`, `"outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"`, `"outdoor":"105 °F","return_dry_bulb":"76 °F","return_wet_bulb":"58 °F"`)},
	{"refused-event", func(t *testing.T) Record {
		r := toldBy(func([]charge.Advice) {})(t)
		r.Refused = []Refused{{9, "voids 40: is no event of this session"}}
		return r
	}, toldBy(func([]charge.Advice) {})},

	{"too-soon", edited("2026-06-02T09:47:00Z", "2026-06-02T09:36:00Z"), edited("2026-06-02T09:47:00Z", "2026-06-02T09:37:00Z")},
	// Told to wait, four fifths of it are enough: 15 minutes were waited here.
	{"too-soon", toldBy(func(a []charge.Advice) { a[8].Wait = 19 * time.Minute }), toldBy(func(a []charge.Advice) { a[8].Wait = 18 * time.Minute })},
	{"no-reading-between", raw(func(t *testing.T) string { return drop(t, sound, secondReading) }),
		raw(func(t *testing.T) string { // one step poured in two
			return edit(t, drop(t, sound, secondReading), "2026-06-02T09:49:00Z", "2026-06-02T09:34:00Z")
		})},
	{"step-too-large", edited(`"amount":"4 oz"`, `"amount":"13 oz"`, `"cylinder":"22 lb"`, `"cylinder":"21 lb 7 oz"`, `"cylinder":"21 lb 12 oz"`, `"cylinder":"21 lb 3 oz"`, `"cylinder_end":"21 lb 12 oz"`, `"cylinder_end":"21 lb 3 oz"`),
		edited(`"amount":"4 oz"`, `"amount":"12 oz"`, `"cylinder":"22 lb"`, `"cylinder":"21 lb 8 oz"`, `"cylinder":"21 lb 12 oz"`, `"cylinder":"21 lb 4 oz"`, `"cylinder_end":"21 lb 12 oz"`, `"cylinder_end":"21 lb 4 oz"`)},
	// Without a plate a tenth of 3 lb a ton: 4 oz are it for 0.83 ton.
	{"step-too-large", edited(`"capacity":"3 ton"`, `"capacity":"0.8 ton"`, `"nameplate_charge":"7 lb 8 oz",`, ``), edited(`"capacity":"3 ton"`, `"capacity":"0.9 ton"`, `"nameplate_charge":"7 lb 8 oz",`, ``)},
	{"vapor-zeotrope", edited(`"phase":"liquid"`, `"phase":"vapor"`),
		edited(`"refrigerant":"R-410A"`, `"refrigerant":"R-22"`, `"cylinder_refrigerant":"R-410A"`, `"cylinder_refrigerant":"R-22"`, `"phase":"liquid"`, `"phase":"vapor"`)},
	{"leak-unanswered", edited(`"item":"leak-search","state":"corrected"`, `"item":"leak-search","state":"skipped"`, `"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"4 lb 8 oz"`),
		edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"4 lb 8 oz"`)},
	{"weigh-in-instead", edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"39 oz"`), edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"41 oz"`)},
	{"over-plate", edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"7.5 oz"`),
		edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"7.5 oz","liquid_line_od":"3/8 in","line_length":"26 ft","factory_line_length":"25 ft"`)},
	// 8 oz in all: five percent over 7.6 oz and under 7.7 oz.
	{"over-plate", edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"7.6 oz"`), edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"7.7 oz"`)},
	// A line set far under the factory's halves the plate at the most.
	{"over-plate", edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"15.2 oz","liquid_line_od":"1/2 in","line_length":"5 ft","factory_line_length":"50 ft"`),
		edited(`"nameplate_charge":"7 lb 8 oz"`, `"nameplate_charge":"15.4 oz","liquid_line_od":"1/2 in","line_length":"5 ft","factory_line_length":"50 ft"`)},
	{"weighing-voided", edited(lastReading, `{"kind":"void","at":"2026-06-02T10:00:00Z","voids":11,"why":"slip"}
`+lastReading), edited(lastReading, `{"kind":"void","at":"2026-06-02T10:00:00Z","voids":10,"why":"slip"}
`+lastReading)},

	{"rule-overridden", edited(firstWeighed, `{"kind":"override","at":"2026-06-02T09:31:00Z","rule":"outdoor-range","why":"no choice","by":"invented"}
`+firstWeighed), edited(firstWeighed, `{"kind":"note","at":"2026-06-02T09:31:00Z","text":"no choice"}
`+firstWeighed)},
	{"added-against-advice", toldBy(func(a []charge.Advice) {
		a[9].Action, a[9].Stops = charge.Stop, []charge.Fired{{Rule: "superheat-floor"}}
	}), toldBy(func(a []charge.Advice) { a[9].Action = charge.Wait })},
	{"added-against-advice", toldBy(func(a []charge.Advice) { // a hard rule that asks to measure
		a[9].Action, a[9].Stops = charge.Measure, []charge.Fired{{Rule: "flammable-checklist"}}
		a[9].Rules = []charge.Rule{{Name: "flammable-checklist", Strength: charge.Hard, Fired: true}}
	}), toldBy(func(a []charge.Advice) { a[9].Action, a[9].Needs = charge.Measure, []string{"leak-search"} })},
	{"other-than-advised", toldBy(func(a []charge.Advice) { a[9].AmountKg = 0.0567 }), toldBy(func(a []charge.Advice) { a[9].AmountKg = 0.0765 })},
	// More than half as much again, but within an ounce and a half.
	{"other-than-advised", toldBy(func(a []charge.Advice) { a[9].AmountKg = 0.070 }), toldBy(func(a []charge.Advice) { a[9].AmountKg = 0.073 })},

	{"no-final-reading", raw(func(t *testing.T) string { return drop(t, sound, lastReading) }),
		raw(func(t *testing.T) string { return drop(t, sound, secondWeighed) })},
	{"left-under-floor", toldBy(func(a []charge.Advice) {
		a[11].Rules = []charge.Rule{{Name: "superheat-floor", Fired: true}}
	}), toldBy(func(a []charge.Advice) {
		a[9].Rules = []charge.Rule{{Name: "superheat-floor", Fired: true}}
		a[11].Rules = []charge.Rule{{Name: "superheat-floor"}}
	})},
	{"left-out-of-band", toldBy(func(a []charge.Advice) { a[11].Action = charge.Add }), toldBy(func(a []charge.Advice) { a[11].Action = charge.Stop })},
	{"cylinder-mismatch", edited(`"cylinder_end":"21 lb 12 oz"`, `"cylinder_end":"21 lb 10.9 oz"`), edited(`"cylinder_end":"21 lb 12 oz"`, `"cylinder_end":"21 lb 11.1 oz"`)},
}

func numbered(ns ...int) func(*testing.T) Record {
	return func(t *testing.T) Record {
		events := parse(t, sound)
		last := len(events) - len(ns)
		for i := range events {
			events[i].N = i + 1
		}
		for i, n := range ns { // the tail of the journal carries the given steps
			events[last+i].N = last + n
		}
		return Record{Events: events}
	}
}

func TestEveryRuleHasAJournalThatTripsItAndOneThatDoesNot(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range pairs {
		seen[p.rule] = true
		t.Run(p.rule, func(t *testing.T) {
			fs := Find(p.trips(t))
			assert.Contains(t, rulesOf(fs), p.rule)
			assert.NotContains(t, rulesOf(Find(p.near(t))), p.rule)
			for _, f := range fs {
				if f.Rule == p.rule {
					assert.NotEmpty(t, f.Says)
					assert.NotContains(t, f.Says, "%!", "a broken sentence")
					assert.NotContains(t, f.Says, "NaN")
				}
			}
		})
	}
	for _, r := range rules {
		assert.True(t, seen[r.Name], "no pair of journals for rule %s", r.Name)
		assert.NotEmpty(t, r.Source)
	}
}

func TestOutcomeOfAdviceNotFollowed(t *testing.T) {
	r := toldBy(func(a []charge.Advice) {
		a[9].Action, a[9].Stops = charge.Stop, []charge.Fired{{Rule: "superheat-floor"}}
		a[9].Derived.SuperheatK, a[11].Derived.SuperheatK = 5, 1
		a[11].Stops = []charge.Fired{{Rule: "superheat-floor"}}
	})(t)
	fs := Find(r)
	require.NotEmpty(t, fs)
	assert.Equal(t, "4 oz went in where the advice was to stop (superheat floor). After it superheat went from 9.0 °F to 1.8 °F, subcooling from 9.0 °F to 9.0 °F; fired: superheat floor.", fs[0].Says)
	assert.Equal(t, 11, fs[0].N)
	w, ok := Worst(fs)
	assert.True(t, ok)
	assert.Equal(t, Serious, w)
}

func TestVoidedEventsAreNotJudged(t *testing.T) {
	text := edit(t, sound, `"return_wet_bulb":"65 °F","supply_dry_bulb":"58 °F"`, `"return_wet_bulb":"79 °F","supply_dry_bulb":"58 °F"`,
		secondWeighed, `{"kind":"void","at":"2026-06-02T09:48:00Z","voids":10,"why":"wet and dry swapped"}
`+`{"kind":"reading","at":"2026-06-02T09:48:00Z","suction_pressure":"121 psig","liquid_pressure":"361 psig","suction_line":"60.7 °F","liquid_line":"103.5 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}
`+secondWeighed)
	assert.Empty(t, Find(Record{Events: parse(t, text)}))
}

func TestPrintNeverSteersATerminal(t *testing.T) {
	events := parse(t, sound)
	events[1].Extra = []charge.ExtraField{{Name: "x\x1b[2J\u202etxt"}}
	var b bytes.Buffer
	require.NoError(t, Print(&b, Find(Record{Events: events, Units: q.US}), 60))
	for _, r := range b.String() {
		assert.False(t, r != '\n' && (r < 0x20 || r >= 0x7f && r < 0xa0 || r == 0x202e), "%U reached the terminal", r)
	}
	for _, line := range strings.Split(b.String(), "\n") {
		assert.LessOrEqual(t, len([]rune(line)), 60)
	}
	b.Reset()
	require.NoError(t, Print(&b, nil, 0))
	assert.Equal(t, "audit: nothing to look at\n", b.String())
}

func BenchmarkFind(b *testing.B) {
	events := parse(b, sound)
	for b.Loop() {
		if fs := Find(Record{Events: events}); len(fs) != 0 {
			b.Fatal(fmt.Sprint(fs))
		}
	}
}
