package belief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// An orifice leads, its superheat is in band, and a valve would still be short: ending there would leave one in five or
// so of such systems short. While a step keeps the likelier device in its band, one more is taken and tells. Invented
// readings.
func TestAStepThatTellsIsTaken(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-404A", CapacityW: 2 * ton, Application: MediumTemperature}))
	goal := comfortGoal
	goal.OrificeSuperheat, goal.SuperheatFloorK = band(20, 5), 3*degF
	for i, r := range [][5]float64{{0, 59, 0.9, -9, 84}, {2, 50, 1.1, -1, 87}, {5.5, 36, 0.6, 11, 92}, {9, 25, 1.1, 21, 97}, {11, 19.6, 2.5, 26, 99}, {11.5, 18.8, 3.9, 26, 100}} {
		b.Observe(reading(15*float64(i), r[0], r[1], r[2], r[3], r[4], 70.5, 41.6, 39.7))
	}
	p := b.Plan(goal)
	for i := 1; p.Move == Wait && i < 5; i++ {
		b.Observe(reading(75+6*float64(i), 11.5, 18.6, 3.9, 26, 100, 70.5, 41.6, 39.7))
		p = b.Plan(goal)
	}
	d := b.inferred()
	require.Less(t, max(d.FixedOrifice, d.ExpansionValve), verdictAt, "not named: %+v", d)
	require.Equal(t, Add, p.Move, "%+v %+v", p, d)
	require.Less(t, p.Kg, 2*oz)
}

// As found in the band of the likelier device nothing goes in, whatever it would tell.
func TestNothingGoesInToLearnTheDeviceAlone(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-404A", CapacityW: 3 * ton}))
	for i := range 4 {
		b.Observe(reading(6*float64(i), 0, 11, 9.2, 42.3, 120.7, 102.6, 79.7, 65.3))
		require.Contains(t, []Move{Wait, Hold}, b.Plan(comfortGoal).Move, "reading %d, %+v", i, b.Device())
	}
	require.Equal(t, Hold, b.Plan(comfortGoal).Move)
}

// While nobody knows the device, an orifice past its band and far from its floor is left; the same superheat once an
// orifice is stated is too much charge.
func TestWhatIsTooMuchDependsOnTheDevice(t *testing.T) {
	goal := comfortGoal
	goal.OrificeSuperheat, goal.ValveSubcooling = band(33, 5), band(15, 3)
	move := func(d Device) Plan {
		b := New(checked(Unit{Refrigerant: "R-22", CapacityW: 7 * ton, Device: d}))
		for i := range 3 {
			b.Observe(reading(6*float64(i), 0, 25, 9.5, 42, 84, 66, 81, 71))
		}
		return b.Plan(goal)
	}
	require.NotEqual(t, Recover, move(Unknown).Move)
	require.Equal(t, Recover, move(FixedOrifice).Move)
}

// The charge of a capacity is a guess of a factor of two; that of a light liquid is half.
func TestTheUsualChargeFollowsTheUnit(t *testing.T) {
	full := func(perTon float64) float64 {
		b := New(checked(Unit{Refrigerant: "R-290", CapacityW: 2 * ton, UsualKgPerTon: perTon}))
		b.Observe(reading(0, 0, 25, 2, 36, 106, 90, 76, 64))
		return b.fullKg(0.5)
	}
	require.InDelta(t, math.Ln2, math.Log(full(UsualKgPerTon)/full(UsualKgPerTon/2)), 0.2)
	require.InDelta(t, math.Log(2*UsualKgPerTon), math.Log(full(0)), 0.35, "none given: the usual")
}

// An orifice that floods as found: so much is taken out as will hardly leave it short, and no more. What is taken too much
// goes in again, into a system that may not want it.
func TestARecoveryHardlyLeavesItShort(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", NameplateKg: 280 * oz, CapacityW: 6.3 * ton, Device: FixedOrifice}))
	r := reading(0, 0, 2, 9, 47, 119, 95, 75, 65)
	r.SupplyDryK, r.DischargeK = zeroF+55*degF, zeroF+158*degF
	b.Observe(r)
	goal := comfortGoal
	goal.OrificeSuperheat = band(10, 5)
	goal.SuperheatFloorK = 5 * degF
	p := b.Plan(goal)
	require.Equal(t, Recover, p.Move, "%+v", p)
	require.Positive(t, p.Kg)
	require.LessOrEqual(t, 1-p.PLanded-p.POvershoot, maxShort+0.02, "chance of standing short: %+v", p)
}

// Liquid has not come up, nothing answers, and nobody knows how much the system holds: a step is at most double the one
// before. With a data plate it may be more.
func TestStepsGrowWhileTheSizeIsUnknown(t *testing.T) {
	next := func(plate float64) float64 {
		b := New(checked(Unit{Refrigerant: "R-454C", Application: MediumTemperature, NameplateKg: plate}))
		goal := comfortGoal
		goal.OrificeSuperheat, goal.SuperheatFloorK = band(20, 5), 3*degF
		for i, net := range []float64{0, 1.5, 3} {
			b.Observe(reading(15*float64(i), net, 11.3, 0.1, 25, 100, 88, 37, 35))
		}
		p := b.Plan(goal)
		for i := 1; p.Move == Wait && i < 4; i++ {
			b.Observe(reading(30+6*float64(i), 3, 11.3, 0.1, 25, 100, 88, 37, 35))
			p = b.Plan(goal)
		}
		require.Equal(t, Add, p.Move, "%+v", p)
		return p.Kg
	}
	require.LessOrEqual(t, next(0), growth*1.5*oz+1e-9)
	require.Greater(t, next(200*oz), growth*1.5*oz)
}

// The device that leads is in its band as found, the other would be past its own: a little is taken out, which costs the
// first next to nothing and shows which of the two is inside. Once that is known there is no more of it.
func TestTakingOutTells(t *testing.T) {
	goal := comfortGoal
	goal.OrificeSuperheat = band(14, 5)
	move := func(d Device, n int) (p Plan) {
		b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton, Device: d}))
		for i := range n {
			b.Observe(reading(6*float64(i), 0, 7, 11, 44, 103, 83, 81, 65))
			p = b.Plan(goal)
		}
		return p
	}
	require.Equal(t, Wait, move(Unknown, 1).Move, "one reading is not enough")
	p := move(Unknown, 2)
	require.Equal(t, Recover, p.Move, "%+v", p)
	require.True(t, p.Tells)
	require.InDelta(t, 3*oz, p.Kg, 2*oz)
	p = move(ExpansionValve, 2)
	require.Contains(t, []Move{Wait, Hold}, p.Move, "%+v", p)
	p = move(FixedOrifice, 2)
	require.Equal(t, Recover, p.Move, "%+v", p)
	require.False(t, p.Tells)
}

// An orifice leads, not named yet, and superheat has come under its band where a valve would be right: nothing more goes
// in to learn which it is, some comes out.
func TestPastTheBandOfTheLikelierDeviceSomeComesOut(t *testing.T) {
	goal := comfortGoal
	goal.OrificeSuperheat = band(17, 5)
	for _, sh := range []float64{10.6, 12} { // under its band, and at its edge
		b := New(checked(Unit{Refrigerant: "R-22", CapacityW: 3 * ton, NameplateKg: 157 * oz}))
		for i, r := range [][7]float64{{0, 22, 1, 32.6, 88.4, 54, 160},
			{8, sh, 8, 34.8, 90.7, 53, 146}, {8, sh, 8, 34.8, 90.6, 53, 146}, {8, sh, 8, 34.8, 90.6, 53, 146}} {
			o := reading(12*float64(i), r[0], r[1], r[2], r[3], r[4], 68, 74, 59.5)
			o.SupplyDryK, o.DischargeK = zeroF+r[5]*degF, zeroF+r[6]*degF
			b.Observe(o)
		}
		d := b.inferred()
		require.Greater(t, d.FixedOrifice, 0.5)
		require.Less(t, d.FixedOrifice, verdictAt, "not named: %+v", d)
		p := b.Plan(goal)
		require.Equal(t, Recover, p.Move, "%+v %+v", p, d)
		require.LessOrEqual(t, p.Kg, 8*oz)
	}
}

// In the band of a valve as found, and condensing far over the outdoor air: while another cause is possible nothing is
// taken out to learn the device.
func TestNothingComesOutToTellWhileAnotherCauseIsPossible(t *testing.T) {
	goal := comfortGoal
	goal.OrificeSuperheat, goal.ValveSubcooling = band(20, 5), band(13, 3)
	b := New(checked(Unit{Refrigerant: "R-22", CapacityW: 9 * ton, NameplateKg: 360 * oz, TargetSubcoolingK: 13 * degF}))
	for i := range 4 {
		r := reading(6*float64(i), 0, 11.8, 14.3, 40.7, 110.3, 79, 80.6, 66.2)
		r.SupplyDryK, r.DischargeK = zeroF+55.7*degF, zeroF+174*degF
		b.Observe(r)
		fault, _ := b.fault()
		require.Greater(t, fault, takeBackFault)
		require.Less(t, fault, correctAt)
		require.Contains(t, []Move{Wait, Hold}, b.Plan(goal).Move, "reading %d", i)
	}
}

// Where the floor cuts a band short, superheat itself may not pass it, whatever the air was read to be; the band of the
// air lies lower. Elsewhere the band moves with the air.
func TestAFloorDoesNotMoveWithTheAir(t *testing.T) {
	cut := Band{Low: 5 * degF, Mid: 6 * degF, High: 11 * degF, Defined: true}
	whole := band(17, 5)
	for _, c := range []struct {
		b     Band
		sh, e float64
		past  bool
	}{
		{cut, 6.5, 4.5, false}, {cut, 4.8, 7, true}, {cut, 6, 0.5, true},
		{whole, 12.5, 11.5, true}, {whole, 11.5, 12.5, false},
	} {
		require.Equal(t, c.past, c.b.past(c.sh*degF, c.e*degF), "%+v", c)
	}
}

// Where the most that may go in is under one step of the scale, but half of it at least, that step is offered; half steps
// are for the last degree and fit under the most.
func TestTheSmallestAmounts(t *testing.T) {
	p := &planner{g: Goal{StepKg: oz}, full: 200 * oz}
	p.cap = 0.7 * oz
	require.Equal(t, []float64{oz}, p.amounts(false, false))
	require.Equal(t, []float64{oz}, p.amounts(true, false), "half of the least does not fit")
	p.cap = 0.4 * oz
	require.Empty(t, p.amounts(true, false))
	p.cap = 4 * oz
	require.InDelta(t, oz, p.amounts(true, false)[0], 1e-9, "half of 1.2 % of the charge, in whole steps")
	require.InDelta(t, 2*oz, p.amounts(false, false)[0], 1e-9)
}

// An orifice that liquid has not sealed yet: superheat fell by 1.2 to 1.5 °F an ounce so far, and may fall by 3.5 °F for each
// per cent of the charge once it seals (common practice, no source: the steepest met). The step does not flood it even so.
func TestAStepDoesNotFloodAnOrificeThatSealsAtOnce(t *testing.T) {
	goal := comfortGoal
	goal.OrificeSuperheat = band(6, 5)
	b := New(checked(Unit{Refrigerant: "R-22", CapacityW: 2.56 * ton, NameplateKg: 74 * oz}))
	for i, r := range [][7]float64{{0, 59.3, -0.5, 16, 118, 62, 267}, {3, 55.2, -0.1, 20, 119, 57, 261}, {7, 50.4, 0, 24, 120, 55, 251}, {14, 41.3, -0.1, 30, 121, 55, 235}, {21, 31, 0.2, 36, 122, 56, 219}} {
		o := reading(15*float64(i), r[0], r[1], r[2], r[3], r[4], 103, 72.2, 64.6)
		o.SupplyDryK, o.DischargeK = zeroF+r[5]*degF, zeroF+r[6]*degF
		b.Observe(o)
	}
	require.Greater(t, b.inferred().FixedOrifice, 0.5)
	p := b.Plan(goal)
	require.Equal(t, Add, p.Move, "%+v", p)
	require.LessOrEqual(t, p.Kg/(74*oz)*100*3.5, 31-5.0, "%.1f oz", p.Kg/oz)
}
