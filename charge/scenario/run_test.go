package scenario

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// More seeds are other instruments, gusts and noise:
//
//	go test ./charge/scenario -lessons.seeds 20
var seeds = flag.Uint64("lessons.seeds", 1, "instrument seeds to play every lesson with")

func started(t *testing.T, name string, o Options) *Run {
	t.Helper()
	s, err := Find(name)
	require.NoError(t, err)
	r, err := Start(s, o)
	require.NoError(t, err)
	return r
}

// The tool's own advice is the sound path: it lands every lesson that is to be
// charged in its band and leaves every other one alone for its right cause,
// with nothing weighed in.
func TestAdvicePlaysEveryLessonToItsEnd(t *testing.T) {
	var played, well atomic.Int32
	t.Cleanup(func() {
		t.Logf("bar: lessons ended as they should by the tool's own advice | all | %d of %d (%d instrument seeds each) | go test -v -run AdvicePlays ./charge/scenario -lessons.seeds 1", well.Load(), played.Load(), *seeds)
	})
	for _, s := range All() {
		t.Run(s.Name, func(t *testing.T) {
			t.Parallel()
			for seed := uint64(1); seed <= *seeds; seed++ {
				r, err := Start(s, Options{Seed: seed})
				require.NoError(t, err)
				require.NoError(t, Auto(r, nil))
				d, err := r.Debrief()
				require.NoError(t, err)
				played.Add(1)
				if d.Landed && d.Grade != NotSound && r.verdict.Kind == s.Goal.Kind {
					well.Add(1)
				}
				assert.True(t, d.Landed, "seed %d: %s", seed, d.Ended)
				assert.NotEqual(t, NotSound, d.Grade, "seed %d: %s %v", seed, d.Ended, d.Missteps)
				assert.Equal(t, s.Goal.Kind, r.verdict.Kind, "seed %d", seed)
				if s.Goal.Kind == LeaveIt {
					assert.Contains(t, s.Goal.Causes, r.verdict.Cause, "seed %d", seed)
					for _, e := range r.Events() {
						if w, ok := e.Body.(*charge.Weighing); ok {
							assert.Less(t, w.Amount.Kilograms(), 0.0, "seed %d: weighed into a unit that is to be left alone", seed)
						}
					}
				}
				for _, truth := range r.truth {
					if s.Goal.Kind == ChargeIt {
						assert.Greater(t, truth.SuperheatK, floodingK, "seed %d: liquid to the compressor", seed)
					}
				}
			}
		})
	}
}

// The misstep a lesson teaches to avoid fails it, and the debrief says so with
// a moment and a sign.
func TestMisstepFailsEveryLesson(t *testing.T) {
	var played, failed atomic.Int32
	t.Cleanup(func() {
		t.Logf("bar: lessons failed by the misstep they teach | all | %d of %d (%d instrument seeds each) | go test -v -run Misstep ./charge/scenario -lessons.seeds 1", failed.Load(), played.Load(), *seeds)
	})
	for _, s := range All() {
		t.Run(s.Name, func(t *testing.T) {
			t.Parallel()
			for seed := uint64(1); seed <= *seeds; seed++ {
				r, err := Start(s, Options{Seed: seed})
				require.NoError(t, err)
				require.NoError(t, PlayMisstep(r, nil))
				require.True(t, r.Done())
				d, err := r.Debrief()
				require.NoError(t, err)
				played.Add(1)
				if d.Grade == NotSound {
					failed.Add(1)
				}
				assert.Equal(t, NotSound, d.Grade, "seed %d: %s", seed, d.Ended)
				grave := 0
				for _, w := range d.Missteps {
					assert.NotEmpty(t, w.What)
					assert.NotEmpty(t, w.Sign, w.What)
					if w.Grave {
						grave++
					}
				}
				assert.Positive(t, grave, "seed %d", seed)
			}
		})
	}
}

func TestSameSeedSameRun(t *testing.T) {
	play := func(seed uint64) string {
		r := started(t, "orifice-short", Options{Seed: seed})
		require.NoError(t, Auto(r, nil))
		b, err := json.Marshal(r.Events())
		require.NoError(t, err)
		return string(b)
	}
	assert.Equal(t, play(7), play(7))
	assert.NotEqual(t, play(7), play(8))
}

// The shortest path is really a path: played on the system, it lands.
func TestShortestPathLands(t *testing.T) {
	for _, s := range All() {
		r, err := Start(s, Options{Seed: 1})
		require.NoError(t, err)
		p, err := r.shortest()
		require.NoError(t, err, s.Name)
		if s.Goal.Kind == LeaveIt {
			assert.Zero(t, p.Increments)
			continue
		}
		require.Positive(t, p.Increments, s.Name)
		step := p.NetKg / float64(p.Increments)
		assert.LessOrEqual(t, math.Abs(step), stepOfPlate*r.sys.NameplateKg+1e-6, s.Name)
		for _, item := range s.Goal.MustFix {
			_, err := r.Inspect(item)
			require.NoError(t, err)
			_, err = r.Fix(item)
			require.NoError(t, err)
		}
		require.NoError(t, r.Wait(15))
		_, err = r.Read()
		require.NoError(t, err)
		for range p.Increments {
			_, err := r.Weigh(step, "")
			require.NoError(t, err)
			require.NoError(t, r.Wait(settleTakes.Minutes()))
			_, err = r.Read()
			require.NoError(t, err)
		}
		assert.InDelta(t, p.Minutes, r.Clock().Sub(s.Start).Minutes(), 6, s.Name)
		_, err = r.Finish(Verdict{Kind: ChargeIt})
		require.NoError(t, err)
		d, err := r.Debrief()
		require.NoError(t, err)
		assert.True(t, d.Landed, "%s: %s", s.Name, d.Ended)
	}
}

func TestRunRefuses(t *testing.T) {
	r := started(t, "fan-off", Options{})
	_, err := r.Debrief()
	assert.ErrorContains(t, err, "not over")
	_, err = r.Inspect("roof-hatch")
	assert.ErrorContains(t, err, "condenser-fan")
	_, err = r.Fix("condenser-fan")
	assert.ErrorContains(t, err, "cannot be put right today")
	_, err = r.Weigh(0.00001, "")
	assert.ErrorContains(t, err, "less than the scale shows")
	_, err = r.Weigh(100, "")
	assert.ErrorContains(t, err, "cylinder does not hold")
	assert.Error(t, r.Wait(-3))
	assert.Error(t, r.Wait(math.NaN()))
	_, err = r.Enter(&charge.Reading{})
	assert.Error(t, err)
	_, err = r.Enter(&charge.Note{Text: "hot up here"})
	assert.NoError(t, err)
	_, err = r.Finish(Verdict{LeaveIt, "fault-found"})
	require.NoError(t, err)
	_, err = r.Read()
	assert.ErrorIs(t, err, errOver)
}

// A lesson in metric units reads and weighs in them.
func TestMetricRun(t *testing.T) {
	r := started(t, "glide", Options{Seed: 2, Units: q.SI})
	require.NoError(t, r.Wait(15))
	e, err := r.Read()
	require.NoError(t, err)
	b := e.Body.(*charge.Reading)
	assert.Contains(t, b.SuctionPressure.String(), "barg")
	assert.Contains(t, b.SuctionLine.String(), "°C")
	assert.Contains(t, r.Session().Setup().NameplateCharge.String(), "g")
}

func TestClampOnTheWrongPipeReadsThatPipe(t *testing.T) {
	r := started(t, "wrong-pipe", Options{Seed: 3})
	require.NoError(t, r.Wait(20))
	e, err := r.Read()
	require.NoError(t, err)
	b := e.Body.(*charge.Reading)
	assert.InDelta(t, b.LiquidLine.Kelvin(), b.SuctionLine.Kelvin(), 2.5)
	_, err = r.Fix("clamps")
	require.NoError(t, err)
	require.NoError(t, r.Wait(5))
	e, err = r.Read()
	require.NoError(t, err)
	b = e.Body.(*charge.Reading)
	assert.Less(t, b.SuctionLine.Kelvin(), b.LiquidLine.Kelvin()-8)
}

func TestDebriefText(t *testing.T) {
	r := started(t, "restriction", Options{Seed: 1})
	require.NoError(t, PlayMisstep(r, nil))
	d, err := r.Debrief()
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, d.WriteText(&b, 60))
	text := b.String()
	for _, need := range []string{"Not sound", "fault: a restricted liquid line", "restriction was", "could have been seen", "lesson restriction, seed 1"} {
		assert.Contains(t, strings.Join(strings.Fields(text), " "), need)
	}
	for _, line := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, len([]rune(line)), 60)
	}
	b.Reset()
	require.NoError(t, d.WriteJSON(&b))
	assert.True(t, json.Valid(b.Bytes()))
	assert.Greater(t, len(d.Curve), 15)
}

// The rule of the grade, as doc.go has it.
func TestGradeFollowsItsRule(t *testing.T) {
	for _, c := range []struct {
		ended           bool
		grave, lesser   int
		took, shortest  int // increments
		minutes, fewest float64
		want            Grade
	}{
		{true, 0, 0, 2, 2, 60, 60, Sound},
		{false, 0, 0, 2, 2, 60, 60, NotSound},
		{true, 1, 0, 2, 2, 60, 60, NotSound},
		{true, 0, 1, 2, 2, 60, 60, SoundRemarks},
		{true, 0, 0, 4, 2, 60, 60, Sound},        // no more than twice
		{true, 0, 0, 5, 2, 60, 60, SoundRemarks}, // more than twice, and two more
		{true, 0, 0, 1, 0, 60, 60, Sound},        // more than twice, but only one more
		{true, 0, 0, 2, 0, 60, 60, SoundRemarks},
		{true, 0, 0, 2, 2, 120, 60, Sound},
		{true, 0, 0, 2, 2, 121, 60, SoundRemarks},
		{true, 0, 0, 2, 2, 39, 10, Sound}, // more than twice, but not half an hour more
		{true, 0, 0, 2, 2, 40, 10, SoundRemarks},
	} {
		d := &Debrief{Taken: Path{Increments: c.took, Minutes: c.minutes}, Shortest: Path{Increments: c.shortest, Minutes: c.fewest}}
		for i := range c.grave + c.lesser {
			d.Missteps = append(d.Missteps, Wrong{Grave: i < c.grave})
		}
		(&judge{d: d, ended: c.ended}).grade()
		assert.Equal(t, c.want, d.Grade, "%+v", c)
	}
}

// A unit found flooding and left alone was not flooded by the apprentice.
func TestFloodingFoundIsNoMisstep(t *testing.T) {
	found := 0
	for _, s := range All() {
		r, err := Start(s, Options{Seed: 1})
		require.NoError(t, err)
		require.NoError(t, r.Wait(15))
		_, err = r.Read()
		require.NoError(t, err)
		if r.truth[len(r.truth)-1].SuperheatK >= floodingK {
			continue
		}
		found++
		_, err = r.Finish(Verdict{LeaveIt, "unclear"})
		require.NoError(t, err)
		d, err := r.Debrief()
		require.NoError(t, err)
		for _, w := range d.Missteps {
			assert.NotContains(t, w.What, "liquid to the compressor", s.Name)
		}
	}
	assert.Positive(t, found, "no lesson floods on arrival: this test says nothing")
}

// What is weighed in while a leak runs is told as that; after the leak was
// mended it is not.
func TestChargingAgainstALeakIsTold(t *testing.T) {
	play := func(mend bool) bool {
		r := started(t, "slow-leak", Options{Seed: 1})
		require.NoError(t, r.Wait(15))
		if mend {
			_, err := r.Fix("leak-search")
			require.NoError(t, err)
		}
		_, err := r.Weigh(0.1, "")
		require.NoError(t, err)
		_, err = r.Finish(Verdict{Kind: ChargeIt})
		require.NoError(t, err)
		d, err := r.Debrief()
		require.NoError(t, err)
		for _, w := range d.Missteps {
			if strings.Contains(w.What, "while the leak ran") {
				assert.True(t, w.Grave)
				return true
			}
		}
		return false
	}
	assert.True(t, play(false))
	assert.False(t, play(true))
}
