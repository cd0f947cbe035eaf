package desk

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
	q "chargehand/charge/quantity"
)

var t0 = time.Date(2026, 6, 1, 13, 41, 0, 0, time.UTC)

func setup() charge.Event {
	return charge.Event{At: t0, Body: &charge.Setup{Refrigerant: "R-410A", Unit: "invented, north"}}
}

func note(s string) charge.Event {
	return charge.Event{At: t0, Body: &charge.Note{Text: charge.Text(s)}}
}

// settle runs a command and all that follow from its answers.
func settle(d *Desk, cmd tea.Cmd) (last Done) {
	for cmd != nil {
		done, next := d.Update(cmd())
		last, cmd = *done, next
	}
	return last
}

func submit(d *Desk, events ...charge.Event) Done {
	_, cmd := d.Submit(events...)
	return settle(d, cmd)
}

// disk is a record that can be made to fail.
type disk struct {
	full   bool
	events []charge.Event
}

func (r *disk) Append(e charge.Event) (int, error) {
	if r.full {
		return 0, errors.New("no space left")
	}
	r.events = append(r.events, e)
	return len(r.events), nil
}
func (r *disk) Path() string { return "disk" }
func (r *disk) Close() error { return nil }

func TestOneAtATimeInOrder(t *testing.T) {
	r := &disk{}
	d := New(q.US, r)
	_, first := d.Submit(setup())
	_, second := d.Submit(note("one"))
	_, third := d.Submit(note("two"))
	require.NotNil(t, first)
	assert.Nil(t, second, "nothing starts while one is under way")
	assert.Nil(t, third)
	assert.True(t, d.Busy())
	assert.False(t, d.Picture().Began(), "nothing is claimed before it is acknowledged")
	settle(d, first)
	assert.False(t, d.Busy())
	require.Len(t, r.events, 3)
	assert.Equal(t, charge.Text("two"), r.events[2].Body.(*charge.Note).Text)
	assert.Equal(t, 3, r.events[2].N)
}

func TestRefusalChangesNothing(t *testing.T) {
	r := &disk{}
	d := New(q.US, r)
	done := submit(d, note("before any setup"))
	require.NotNil(t, done.Refused)
	assert.Empty(t, r.events)
	submit(d, setup())
	done = submit(d, note("good"), charge.Event{At: t0, Body: &charge.Void{Voids: 99}})
	require.NotNil(t, done.Refused, "together: all of them or none")
	assert.Len(t, r.events, 1)
	assert.Len(t, d.Picture().Steps, 1)
}

// A full disk: the entry is kept, shown as not saved, and goes first when
// anything is tried again. The journal never has a gap.
func TestFullDisk(t *testing.T) {
	r := &disk{}
	d := New(q.US, r)
	submit(d, setup())
	r.full = true
	done := submit(d, note("one"))
	require.ErrorContains(t, done.Err, "no space left")
	assert.Equal(t, 1, d.Picture().Unsaved)
	done = submit(d, note("two"))
	require.Error(t, done.Err)
	assert.Equal(t, 2, d.Picture().Unsaved)
	r.full = false
	done = settle(d, d.Retry())
	require.NoError(t, done.Err)
	assert.Zero(t, d.Picture().Unsaved)
	require.Len(t, r.events, 3)
	assert.Equal(t, charge.Text("one"), r.events[1].Body.(*charge.Note).Text)
	assert.Nil(t, d.Retry(), "nothing is left to try")
}

// A breakdown of the engine costs the one entry, not the session.
func TestBreakdownOfTheEngine(t *testing.T) {
	d := New(q.US, nil)
	submit(d, setup())
	_, cmd := d.Do(func() error { panic("a fault of ours") })
	done := settle(d, cmd)
	assert.Equal(t, "a fault of ours", done.Fault)
	assert.Len(t, d.Picture().Steps, 1)
	submit(d, note("goes on"))
	assert.Len(t, d.Picture().Steps, 2)
}

func TestOtherUnitsSameEntries(t *testing.T) {
	d := New(q.US, nil)
	submit(d, setup())
	submit(d, charge.Event{At: t0.Add(time.Minute), Body: reading(t, "118 psig", "356 psig", "64 °F", "104 °F")})
	us := d.Picture().Advice
	settle(d, d.Refold(q.SI))
	si := d.Picture().Advice
	assert.Equal(t, us.Derived.SuperheatK, si.Derived.SuperheatK)
	assert.Equal(t, q.SI, d.Picture().Units)
	assert.Nil(t, d.Refold(q.SI), "nothing to do")
}

func TestPreviewDoubtsWithoutEntering(t *testing.T) {
	d := New(q.US, nil)
	submit(d, setup())
	doubts, refused := Preview(d.Picture(), charge.Event{At: t0, Body: reading(t, "118 psig", "31 psig", "64 °F", "104 °F")})
	require.Nil(t, refused)
	require.NotEmpty(t, doubts)
	assert.Equal(t, "liquid_pressure", doubts[0].Field)
	doubts, _ = Preview(d.Picture(), charge.Event{At: t0, Body: reading(t, "118 psig", "356 psig", "64 °F", "104 °F")})
	assert.Empty(t, doubts, "a sound reading is not doubted")
	assert.Len(t, d.Picture().Steps, 1)
}

func TestLazyJournal(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "a", "b")
	d := New(q.US, Lazy(folder))
	assert.Empty(t, d.Path())
	submit(d, setup())
	assert.Equal(t, filepath.Join(folder, "2026-06-01-1341-invented-north.jsonl"), d.Path())
	other := New(q.US, Lazy(folder))
	submit(other, setup())
	assert.Equal(t, filepath.Join(folder, "2026-06-01-1341-invented-north-2.jsonl"), other.Path(), "never another job's file")
	require.NoError(t, d.Close())
	lines, report, err := journal.Read(d.Path())
	require.NoError(t, err)
	assert.True(t, report.Intact())
	assert.Len(t, lines, 1)

	again, err := Open(q.US, d.Path())
	require.NoError(t, err)
	assert.Equal(t, "invented, north", string(again.Picture().Setup.Unit))
	require.NoError(t, again.Close())
}

func TestOpeningANewFileMakesNothingYet(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.jsonl")
	d, err := Open(q.US, path)
	require.NoError(t, err)
	assert.NoFileExists(t, path)
	submit(d, setup())
	assert.FileExists(t, path)
	require.NoError(t, d.Close())
}

func TestFileNames(t *testing.T) {
	for label, want := range map[string]string{
		"":                 "2026-06-01-1341",
		"Back of house":    "2026-06-01-1341-back-of-house",
		"../../etc/passwd": "2026-06-01-1341-etc-passwd",
		"Dach Süd №3":      "2026-06-01-1341-dach-s-d-3",
		"a\x00b/c\\d":      "2026-06-01-1341-a-b-c-d",
		"very long label " + string(make([]byte, 100)): "2026-06-01-1341-very-long-label",
	} {
		assert.Equal(t, want, fileName(t0, label), "%q", label)
	}
}

func reading(t *testing.T, ps, pl, ts, tl string) *charge.Reading {
	var r charge.Reading
	require.NoError(t, r.SuctionPressure.UnmarshalText([]byte(ps)))
	require.NoError(t, r.LiquidPressure.UnmarshalText([]byte(pl)))
	require.NoError(t, r.SuctionLine.UnmarshalText([]byte(ts)))
	require.NoError(t, r.LiquidLine.UnmarshalText([]byte(tl)))
	return &r
}
