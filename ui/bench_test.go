package ui

import (
	"slices"
	"testing"
	"time"

	"chargehand/ui/prefs"
	"chargehand/ui/uitest"
)

// A key and the frame that follows, at 200 by 60, on a job of three readings.
func BenchmarkKeyToFrame(b *testing.B) {
	d, c := newJob(b, 200, 60)
	step(d, c, 3)
	d.Type("r")
	keys := []rune("118 356 64")
	var took []time.Duration
	for b.Loop() {
		t0 := time.Now()
		d.M.Update(uitest.Rune(keys[len(took)%len(keys)]))
		_ = d.M.View()
		took = append(took, time.Since(t0))
		if len(took)%len(keys) == 0 {
			d.M.Update(uitest.Key("esc")) // asks whether to leave what is half typed
			d.M.Update(uitest.Key("esc"))
			d.M.Update(uitest.Rune('r'))
		}
	}
	slices.Sort(took)
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	p99 := ms(took[len(took)*99/100])
	b.ReportMetric(p99, "p99-ms")
	b.Logf("bar: key to frame at 200x60 | under 5 ms | %.2f ms median, %.2f ms p99 of %d | go test ./ui -run '^$' -bench KeyToFrame", ms(took[len(took)/2]), p99, len(took))
}

// The frame after a log grown to forty entries.
func BenchmarkFrameDeepLog(b *testing.B) {
	d, c := newJob(b, 200, 60)
	step(d, c, 4)
	for range 28 {
		c.Advance(time.Minute)
		d.Type("nremark<enter>")
	}
	b.ResetTimer()
	for b.Loop() {
		_ = d.M.View()
	}
}

// From nothing to the first frame of the start screen, the folder with a few
// jobs looked through.
func BenchmarkStartToFirstFrame(b *testing.B) {
	folder := b.TempDir()
	d, c := newJob(b, 80, 24)
	d.M.(*App).prefs.Folder = folder
	d.M.(*App).NewJob()
	d.Resize(80, 24)
	step(d, c, 2)
	d.Type("<ctrl+c>")
	for b.Loop() {
		a := New(Options{Prefs: prefs.Preferences{Units: "us", Folder: folder}, Now: c.Now, Zone: time.UTC, Tick: uitest.NoTick})
		a.Start()
		_ = uitest.New(a, 80, 24).M.View()
	}
	b.Logf("bar: start to first frame, model only | under 50 ms | %.2f ms | go test ./ui -run '^$' -bench StartToFirstFrame", float64(b.Elapsed().Microseconds())/1000/float64(b.N))
}
