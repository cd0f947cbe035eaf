package ui

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/ui/live"
	"chargehand/ui/prefs"
	"chargehand/ui/screen"
	"chargehand/ui/uitest"
)

var tick = screen.Tick{}

func lastReading(t *testing.T, d *uitest.Driver) *charge.Reading {
	r := d.M.(*App).page.(*live.Screen).Desk().Picture().Last
	require.NotNil(t, r, d.View())
	return r
}

func steps(d *uitest.Driver) []charge.Step {
	return d.M.(*App).page.(*live.Screen).Desk().Picture().Steps
}

// R-410A boils (dew) at 118.4 psig at 40 °F and condenses (bubble) at 318.5
// psig at 100 °F, 2.3 and 4.8 psi a degree (published saturation tables,
// rounded): 118 and 317 psig are 39.8 and 99.7 °F.
func TestDerivedLiveWhileTyping(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type(typeSetup + "r118 317 58.4")
	assert.Contains(t, d.View(), "superheat 18.6")
	assert.NotContains(t, d.View(), ", subcooling", "the liquid line is not typed yet")
	d.Type(" 92.1")
	assert.Contains(t, d.View(), "condensing 99.7")
	assert.Contains(t, d.View(), "subcooling 7.6")
	require.Nil(t, d.M.(*App).page.(*live.Screen).Desk().Picture().Last, "nothing is entered before Enter")
}

func TestImplausibleIsSaidWhileItCanBeMended(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type(typeSetup + "r118 31 58.4 92.1")
	assert.Contains(t, d.View(), "liquid pressure 31 psig?")
	d.Type("<shift+tab><shift+tab><backspace><backspace>317")
	assert.NotContains(t, d.View(), "?  ", "mended")
	assert.NotContains(t, d.View(), "31 psig?")
	// And it never blocks: a doubtful row is entered all the same.
	d.Type("<ctrl+u>31<enter>")
	assert.Equal(t, "31 psig", lastReading(t, d).LiquidPressure.String())
}

func TestDecimalComma(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type(typeSetup + "118,2 317 58,4 92,1<enter>")
	r := lastReading(t, d)
	assert.Equal(t, "118.2 psig", r.SuctionPressure.String())
	assert.Equal(t, "58.4 °F", r.SuctionLine.String())
}

func TestLastValuesStandExactlyAsTyped(t *testing.T) {
	d, c := newJob(t, 80, 24)
	d.Type(typeSetup + "118.20psig 317 58.4 92.1 85 80 62<enter>")
	c.Advance(10 * time.Minute)
	d.Type("r<tab><tab>57<enter>")
	r := lastReading(t, d)
	assert.Equal(t, "57 °F", r.SuctionLine.String())
	assert.Equal(t, "118.20psig", r.SuctionPressure.String())
	assert.Equal(t, "317 psig", r.LiquidPressure.String())
	assert.Equal(t, "62 °F", r.ReturnWetBulb.String())
}

func TestARowOfDefaultsAloneIsNoReading(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	n := len(steps(d))
	d.Type("r<enter>")
	assert.Len(t, steps(d), n)
	assert.Contains(t, d.View(), "Nothing was typed yet")
}

func TestPastedRow(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type(typeSetup)
	d.Paste("118\t317\t58.4\t92.1\n")
	assert.Contains(t, d.View(), "superheat 18.6")
	require.Nil(t, d.M.(*App).page.(*live.Screen).Desk().Picture().Last, "a paste never enters by itself")
	d.Type("<enter>")
	assert.Equal(t, "92.1 °F", lastReading(t, d).LiquidLine.String())
	d.Paste("rm -rf everything\nqqq")
	assert.Contains(t, d.View(), "Nothing was pasted")
}

// Over a slow line several keys come as one message.
func TestBurstsOfKeys(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type(typeSetup)
	d.Burst("r118 317 58.4 92.1")
	d.Type("<enter>")
	assert.Equal(t, "118 psig", lastReading(t, d).SuctionPressure.String())
	d.Burst("coofs")
	assert.Contains(t, d.View(), "put right", "checks sheet:\n"+d.View())
}

func TestHumidityInPlaceOfWetBulb(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type(typeSetup + "118 317 58.4 92.1 85 80 45%<enter>")
	r := lastReading(t, d)
	assert.Equal(t, 45.0, r.ReturnHumidity.Percent())
	assert.False(t, r.ReturnWetBulb.IsValid())
}

// A metric job with glide: bubble and dew are 6 K apart for R-407C, so that
// either mixed up would show.
func TestMetricRow(t *testing.T) {
	a, _ := at(t, prefs.Preferences{Units: "si"})
	a.NewJob()
	d := uitest.New(a, 80, 24)
	d.Type("407c<enter><enter>r4,46 18,2 11 42,5 31 25 19")
	assert.Contains(t, d.View(), "superheat 6.0, subcooling 1.4")
	d.Type("<enter>")
	r := lastReading(t, d)
	assert.Equal(t, "4.46 barg", r.SuctionPressure.String())
	assert.Equal(t, "42.5 °C", r.LiquidLine.String())
	assert.Contains(t, d.View(), "out 31 °C · return 25/19 °C")
}

func TestOtherUnitTypedBehindANumber(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type(typeSetup + "446kPag 317 14.5C 92.1<enter>")
	r := lastReading(t, d)
	assert.Equal(t, "446kPag", r.SuctionPressure.String())
	assert.InDelta(t, 14.5, r.SuctionLine.Celsius(), 1e-9)
}

func TestWrongNumberIsNamedAndNothingIsLost(t *testing.T) {
	d, _ := newJob(t, 80, 24)
	d.Type(typeSetup + "r118 3.1.7 58.4 92.1<enter>")
	v := d.View()
	assert.Contains(t, v, "3.1.7")
	assert.Contains(t, v, "more than one decimal sign")
	assert.Contains(t, v, "58.4", "the rest of the row is still there")
	d.Type("<ctrl+u>317<enter>")
	assert.Equal(t, "317 psig", lastReading(t, d).LiquidPressure.String())
}

func TestUndoIsAVoidAndARefold(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	before := advice(d)
	c.Advance(time.Minute)
	d.Type("w6<enter>")
	require.InDelta(t, 6, advice(d).TotalKg/0.028349523125, 1e-9)
	d.Type("u")
	assert.Contains(t, d.View(), "weighed +6 oz")
	d.Type("<enter>")
	assert.Zero(t, advice(d).TotalKg)
	assert.Equal(t, before.Action, advice(d).Action)
	last := steps(d)[len(steps(d))-1]
	assert.Equal(t, charge.KindVoid, last.Event.Kind(), "nothing is forgotten")
	d.Type("ux")
	assert.Equal(t, last.Event.N, steps(d)[len(steps(d))-1].Event.N, "x takes nothing back")
}

func TestAmendingAnEarlierEntry(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	d.Type("e")
	assert.Contains(t, d.View(), "Entry 9")
	d.Type("<enter><tab><tab>66<enter>")
	r := lastReading(t, d)
	assert.Equal(t, "66 °F", r.SuctionLine.String())
	assert.Equal(t, "118 psig", r.SuctionPressure.String(), "what was right stays as typed")
	ss := steps(d)
	assert.True(t, ss[8].Voided)
	assert.Equal(t, charge.KindVoid, ss[9].Event.Kind())
	assert.Equal(t, ss[8].Event.At, ss[10].Event.At, "the amended reading keeps its time")
}

// The fold goes by order: what came after an amended reading is entered again
// behind it, so that the newest reading stays the newest.
func TestAmendingLongAgoKeepsTheOrder(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 3)
	before := advice(d)
	d.Type("ekkkk")
	require.Contains(t, d.View(), "Entry 9 of 14:01: reading, superheat 24.2")
	d.Type("<enter><tab><tab>65<enter>")
	after := advice(d)
	assert.Equal(t, before.Derived.SuperheatK, after.Derived.SuperheatK, "the newest reading is still the newest")
	assert.InDelta(t, before.TotalKg, after.TotalKg, 1e-12, "nothing was weighed twice")
	var superheats []float64
	for _, s := range steps(d) {
		if s.Event.Kind() == charge.KindReading && !s.Voided {
			superheats = append(superheats, s.Now.Derived.SuperheatK*1.8)
		}
	}
	require.Len(t, superheats, 3)
	assert.InDelta(t, 25.2, superheats[0], 0.05)
}

func TestCorrectedRefrigerantRecomputesAll(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	before := advice(d).Derived.SuperheatK
	d.Type("s<ctrl+u>454b<enter><enter>")
	after := advice(d).Derived.SuperheatK
	assert.InDelta(t, -4.9, (after-before)*1.8, 1.0, "R-454B boils about 5 °F higher at the same pressure")
	d.Type("m")
	assert.Contains(t, d.View(), "R-454B")
}

// What was typed into the wrong field of the setup does not stand for the rest of the job.
func TestAFigureOfTheSetupIsTakenBack(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	before := advice(d)
	to := "s" + strings.Repeat("<tab>", 6)
	d.Type(to + "31<enter><enter>")
	require.NotEqual(t, before.Target, advice(d).Target, "a maker's superheat outranks every built-in figure")
	d.Type(to)
	assert.Contains(t, d.View(), "- takes it back")
	d.Type("-<enter><enter>")
	assert.Contains(t, d.View(), "maker's superheat taken back")
	assert.Equal(t, before.Target, advice(d).Target)
	assert.Equal(t, before.AmountKg, advice(d).AmountKg)
	d.Type("s<ctrl+u>-<enter><enter>")
	assert.Contains(t, d.View(), "Which one:", "a job has a refrigerant")
}

func TestUnitsSwitchAndStayAsEntered(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	d.Type("m")
	v := d.View()
	assert.Contains(t, v, "superheat K")
	assert.NotContains(t, v, "°F")
	assert.Contains(t, v, "31.1 °C", "88 °F outdoors")
	assert.Equal(t, "118 psig", lastReading(t, d).SuctionPressure.String(), "the journal keeps what was typed")
	d.Type("r")
	assert.Contains(t, d.View(), "suction [_8.14]")
	d.Type("8,4<enter>")
	assert.Equal(t, "8.4 barg", lastReading(t, d).SuctionPressure.String())
	d.Type("m")
	assert.Contains(t, d.View(), "superheat °F")
}

func TestWaitClockAndBell(t *testing.T) {
	rings := 0
	a, c := at(t, prefs.Preferences{Units: "us", Bell: true})
	a.ring = func() { rings++ }
	a.NewJob()
	d := uitest.New(a, 80, 24)
	step(d, c, 1)
	d.Type("w6<enter>")
	require.Equal(t, charge.Wait, advice(d).Action)
	assert.Contains(t, d.View(), "waiting")
	assert.Contains(t, d.View(), "0:00 of ")
	c.Advance(150 * time.Second)
	d.Send(tick)
	assert.Contains(t, d.View(), "2:30 of ")
	assert.Zero(t, rings)
	c.Advance(20 * time.Minute)
	d.Send(tick)
	d.Send(tick)
	assert.Equal(t, 1, rings, "once")
	assert.Contains(t, d.View(), "THE WAIT IS OVER: TAKE A READING")
}

func TestMoreThanAdvisedIsSaid(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	d.Type("w24")
	assert.Regexp(t, `1 lb 8 oz where .* was advised`, d.View())
	d.Type("<enter>")
	assert.InDelta(t, 24, advice(d).TotalKg/0.028349523125, 1e-9, "it is said, not forbidden")
}

// A decimal point that slipped, or another unit, is asked about once.
func TestAnAmountThatLooksLikeASlipIsAsked(t *testing.T) {
	for _, w := range []int{40, 80} {
		d, c := newJob(t, w, 24)
		step(d, c, 1)
		n := len(steps(d))
		d.Type("w65<enter>")
		require.Len(t, steps(d), n, "nothing is entered yet")
		assert.Contains(t, d.View(), "4 lb 1 oz where")
		assert.Contains(t, strings.Join(strings.Fields(d.View()), " "), "Enter once more records it")
		d.Type("<ctrl+u>6.5<enter>")
		assert.InDelta(t, 6.5, advice(d).TotalKg/0.028349523125, 1e-9, "typed again")

		d, c = newJob(t, w, 24)
		step(d, c, 1)
		d.Type("w65<enter><enter>")
		assert.InDelta(t, 65, advice(d).TotalKg/0.028349523125, 1e-9, "meant")
	}
}

func TestLookingBackAndOn(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 2)
	d.Type("p")
	require.Contains(t, d.View(), "replay · step 1 of 11")
	d.Type("Gq")
	assert.False(t, d.Quit)
	assert.Len(t, steps(d), 11, "on with the job")
	d.Type("w6<enter>")
	assert.Len(t, steps(d), 12)
}

func TestHelpIsAKeyAwayEverywhere(t *testing.T) {
	for _, keys := range []string{"", "r", "w", "c", "s<tab><tab>", "f"} {
		d, c := newJob(t, 80, 24)
		step(d, c, 1)
		d.Type(keys + "?")
		assert.True(t, strings.HasPrefix(d.View(), "Keys"), "%q:\n%s", keys, d.View())
		d.Type("z")
		assert.False(t, strings.HasPrefix(d.View(), "Keys"))
	}
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	d.Type("nwhat?<enter>")
	assert.Equal(t, "what?", string(steps(d)[len(steps(d))-1].Event.Body.(*charge.Note).Text), "in a note a question mark is text")
}

func TestInterruptAsksOnceWhenHalfTyped(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	d.Type("r12<ctrl+c>")
	assert.False(t, d.Quit)
	assert.Contains(t, d.View(), "half typed")
	d.Type("<ctrl+c>")
	assert.True(t, d.Quit)
}

func TestSuspendAndResume(t *testing.T) {
	d, c := newJob(t, 80, 24)
	step(d, c, 1)
	d.Type("r118 3<ctrl+z>17")
	assert.Equal(t, 1, d.Suspend)
	assert.Contains(t, d.View(), "317", "what was half typed is still there")
}

func TestOverrideNeedsAReasonAndAName(t *testing.T) {
	d, c := newJob(t, 80, 24)
	d.Type("22<enter><enter>")
	c.Advance(time.Minute)
	d.Type("o")
	if !strings.Contains(d.View(), "set aside") {
		t.Fatalf("no question is open:\n%s", d.View())
	}
	d.Type("<enter><enter>")
	assert.Contains(t, d.View(), "A reason is needed")
	d.Type("no power to the blower door today<enter><enter>")
	assert.Contains(t, d.View(), "A name is needed")
	d.Type("K. Berg<enter>")
	o, ok := steps(d)[len(steps(d))-1].Event.Body.(*charge.Override)
	require.True(t, ok, d.View())
	assert.Equal(t, "K. Berg", string(o.By))
}
