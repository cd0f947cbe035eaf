package charge_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"chargehand/charge"
)

// eventsOf reads the lines of a session file as events.
func eventsOf(t testing.TB, name string) []charge.Event {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "testdata", "sessions", name+".jsonl"))
	require.NoError(t, err)
	var events []charge.Event
	for line := range strings.Lines(string(data)) {
		e, err := charge.ParseEvent([]byte(line))
		require.NoError(t, err, line)
		events = append(events, e)
	}
	return events
}

// longSession is the starved-valve session stretched to n events with further
// readings in the band.
func longSession(t testing.TB, n int) []charge.Event {
	events := eventsOf(t, "valve-starved")
	events = events[:len(events)-1] // without the close
	last := events[len(events)-1]
	for len(events) < n {
		last.At = last.At.Add(6 * time.Minute)
		events = append(events, last)
	}
	return events[:n]
}

// BenchmarkApply measures one reading with 40 events behind it, and the 99th
// percentile over the events of whole sessions.
func BenchmarkApply(b *testing.B) {
	events := longSession(b, 41)
	_, err := charge.NewSession(charge.Options{}).Apply(events[0]) // first use of the refrigerant
	require.NoError(b, err)
	var took []time.Duration
	for b.Loop() {
		b.StopTimer()
		s := charge.NewSession(charge.Options{})
		for _, e := range events[:40] {
			start := time.Now()
			_, err := s.Apply(e)
			took = append(took, time.Since(start))
			require.NoError(b, err)
		}
		b.StartTimer()
		start := time.Now()
		_, err := s.Apply(events[40])
		took = append(took, time.Since(start))
		require.NoError(b, err)
	}
	slices.Sort(took)
	p99 := took[len(took)*99/100]
	b.ReportMetric(float64(p99.Microseconds())/1e3, "p99-ms")
	b.Logf("bar: event to advice, p99 over sessions 40 events deep | 20 ms | %.1f ms | go test ./charge -run '^$' -bench Apply", float64(p99.Microseconds())/1e3)
}

// BenchmarkVoid measures taking back the last of 40 events: a fold from the
// start.
func BenchmarkVoid(b *testing.B) {
	events := longSession(b, 40)
	for b.Loop() {
		b.StopTimer()
		s := charge.NewSession(charge.Options{})
		for _, e := range events {
			_, err := s.Apply(e)
			require.NoError(b, err)
		}
		b.StartTimer()
		_, err := s.Apply(charge.Event{At: events[39].At, Body: &charge.Void{Voids: 40}})
		require.NoError(b, err)
	}
}
