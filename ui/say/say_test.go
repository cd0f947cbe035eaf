package say

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

const oz = 0.028349523125 // kg, international avoirdupois

var now = time.Date(2026, 6, 1, 14, 0, 0, 0, time.UTC)

func TestHeadlineSaysWhatToDo(t *testing.T) {
	for _, c := range []struct {
		a    charge.Advice
		want string
	}{
		{charge.Advice{}, "NAME THE REFRIGERANT"},
		{charge.Advice{N: 1, Action: charge.Measure}, "TAKE A READING"},
		{charge.Advice{N: 9, Action: charge.Measure, Derived: charge.Derived{N: 8}, Needs: []string{"outdoor", "return_wet_bulb"}}, "READ AGAIN: OUTDOOR AIR AND RETURN WET BULB"},
		{charge.Advice{N: 9, Action: charge.Measure, Derived: charge.Derived{N: 8}, Needs: []string{"leak-search"}}, "LOOK FIRST: LEAK SEARCH"},
		{charge.Advice{N: 9, Action: charge.Add, AmountKg: 4 * oz, Wait: 12 * time.Minute}, "ADD 4 oz, THEN WAIT 12 MIN"},
		{charge.Advice{N: 9, Action: charge.Recover, AmountKg: 20 * oz, Wait: 75 * time.Minute}, "RECOVER 1 lb 4 oz, THEN WAIT 1 H 15 MIN"},
		{charge.Advice{N: 9, Action: charge.Wait, WaitUntil: now.Add(7*time.Minute + 20*time.Second)}, "WAIT 8 MIN, THEN READ"},
		{charge.Advice{N: 9, Action: charge.Wait, WaitUntil: now.Add(-time.Second)}, "THE WAIT IS OVER: TAKE A READING"},
		{charge.Advice{N: 9, Action: charge.Stop, Stops: []charge.Fired{{Rule: "superheat-floor"}}}, "STOP: SUPERHEAT FLOOR"},
		{charge.Advice{N: 9, Action: charge.Stop}, "STOP: DONE"},
		{charge.Advice{N: 9, Action: charge.Correct, Causes: []charge.Cause{{Name: "low-airflow", P: 0.9}}}, "DO NOT CHARGE: TOO LITTLE INDOOR AIR"},
		{charge.Advice{N: 9, Closed: true, TotalKg: 15 * oz}, "CLOSED: NET +15 oz WEIGHED IN"},
	} {
		assert.Equal(t, c.want, Headline(c.a, now, q.US))
	}
	assert.Equal(t, "ADD 113 g, THEN WAIT 12 MIN", Headline(charge.Advice{N: 9, Action: charge.Add, AmountKg: 4 * oz, Wait: 12 * time.Minute}, now, q.SI))
}

func TestBeliefInWords(t *testing.T) {
	for _, c := range []struct {
		b    charge.DeviceBelief
		want string
	}{
		{charge.DeviceBelief{FixedOrifice: 0.5, ExpansionValve: 0.5, Verdict: charge.DeviceUnknown}, "not known: orifice or valve"},
		{charge.DeviceBelief{FixedOrifice: 0.78, ExpansionValve: 0.22, Verdict: charge.DeviceUnknown}, "leans to an orifice, 78\u00a0%; not sure yet"},
		{charge.DeviceBelief{FixedOrifice: 0.2, ExpansionValve: 0.8, Verdict: charge.DeviceUnknown}, "leans to a valve, 80\u00a0%; not sure yet"},
		{charge.DeviceBelief{FixedOrifice: 0.03, ExpansionValve: 0.97, Verdict: charge.ExpansionValve}, "an expansion valve, 97\u00a0% sure"},
		{charge.DeviceBelief{FixedOrifice: 0.999, ExpansionValve: 0.001, Verdict: charge.FixedOrifice}, "a fixed orifice, over 99\u00a0% sure"},
		{charge.DeviceBelief{FixedOrifice: 1, Verdict: charge.FixedOrifice, Stated: true}, "fixed orifice, as entered"},
		{charge.DeviceBelief{}, "not known: orifice or valve"},
		{charge.DeviceBelief{FixedOrifice: math.NaN()}, "not known: orifice or valve"},
	} {
		assert.Equal(t, c.want, Belief(c.b))
	}
}

// Room left is in the rule's own unit, in the units shown.
func TestRoomInTheRulesOwnUnit(t *testing.T) {
	for _, c := range []struct {
		r           charge.Rule
		u           q.System
		title, room string
	}{
		{charge.Rule{Title: "superheat floor", Unit: "K", Limit: 5 / 1.8, Room: 8 / 1.8}, q.US, "superheat floor 5.0 °F", "8.0 °F left"},
		{charge.Rule{Title: "superheat floor", Unit: "K", Limit: 5 / 1.8, Room: 8 / 1.8}, q.SI, "superheat floor 2.8 K", "4.4 K left"},
		{charge.Rule{Title: "discharge line", Unit: "temperature", Limit: 380.372, Room: 10}, q.US, "discharge line 225.0 °F", "18.0 °F left"},
		{charge.Rule{Title: "plate, plus 5 %", Unit: "kg", Limit: 165.9 * oz, Room: 142 * oz}, q.US, "plate, plus 5 % 10 lb 5.9 oz", "8 lb 14 oz left"},
		{charge.Rule{Title: "compression ratio", Unit: "ratio", Limit: 6, Room: 3.21}, q.US, "compression ratio 6", "3.21 left"},
		{charge.Rule{Title: "steps", Unit: "steps", Limit: 8, Room: 3}, q.US, "steps 8", "3 steps left"},
		{charge.Rule{Title: "superheat floor", Unit: "K", Limit: 5 / 1.8, Room: -1 / 1.8, Fired: true}, q.US, "superheat floor 5.0 °F", "1.0 °F past it"},
		{charge.Rule{Name: "leak-search", Limit: math.NaN(), Room: math.NaN(), Fired: true}, q.US, "leak search", "reached"},
		{charge.Rule{Title: "leak search", Limit: math.NaN(), Room: math.NaN(), Fired: true, SetAside: true}, q.US, "leak search", "set aside"},
	} {
		title, room := Room(c.r, c.u)
		assert.Equal(t, c.title, title)
		assert.Equal(t, c.room, room)
	}
}

func TestSmallWords(t *testing.T) {
	assert.Equal(t, "7:40", Clock(7*time.Minute+40*time.Second))
	assert.Equal(t, "1:02:03", Clock(time.Hour+2*time.Minute+3*time.Second))
	assert.Equal(t, "0:00", Clock(-time.Second))
	assert.Equal(t, "12 min", Minutes(11*time.Minute+time.Second))
	assert.Equal(t, "1 h", Minutes(time.Hour))
	assert.Equal(t, "a, b and 2 more", List([]string{"a", "b", "c", "d"}, 2))
	assert.Equal(t, "a and b", List([]string{"a", "b"}, 3))
	assert.Equal(t, "−4 oz", Signed(-4*oz, q.US))
	assert.Equal(t, "-", Number(math.NaN(), q.US))
	assert.Equal(t, "0", Whole(-0.1, q.SI))
	assert.Equal(t, "-", Whole(math.Inf(1), q.US))
	assert.Equal(t, "118.2", Pressure(101325+118.2*6894.757293168, 101325, q.PSIGUnit))
	assert.Equal(t, "8.15", Pressure(101325+815000, 101325, q.BarG))
	assert.Equal(t, "815", Pressure(101325+815000, 101325, q.KPaG))
	assert.Equal(t, "-", Pressure(math.NaN(), 101325, q.BarG))
}

func TestTotal(t *testing.T) {
	var s charge.Setup
	s.NameplateCharge, _ = q.ParseMass("10 lb")
	assert.Equal(t, "nothing yet", Total(charge.Advice{}, s, q.US))
	assert.Equal(t, "1 lb 0 oz net, 10\u00a0% of plate", Total(charge.Advice{TotalKg: 16 * oz, AddedKg: 16 * oz}, s, q.US))
	assert.Equal(t, "4 oz net (8 oz in, 4 oz out)", Total(charge.Advice{TotalKg: 4 * oz, AddedKg: 8 * oz, RecoveredKg: 4 * oz}, charge.Setup{}, q.US))
	assert.Equal(t, "4 oz net recovered", Total(charge.Advice{TotalKg: -4 * oz, RecoveredKg: 4 * oz}, charge.Setup{}, q.US))
}
