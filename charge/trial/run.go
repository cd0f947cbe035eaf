package trial

import (
	"context"
	"fmt"
	"runtime"
	"sync"
)

// Options of a trial. Zero Systems is 200, zero Workers one for each processor.
type Options struct {
	Systems  int
	Seed     int64
	Workers  int
	Stream   uint64              // of the random numbers the engine draws; the jobs and what the gauges read stay the same
	Faulty   bool                // only systems that must not be charged; the others are drawn and passed over
	Progress func(done, all int) // called now and then, never side by side; may be nil
}

// Report is the outcome of a trial.
type Report struct {
	Systems         int     `json:"systems"`
	Seed            int64   `json:"seed"`
	Orifices        int     `json:"fixed_orifices"`
	Valves          int     `json:"expansion_valves"`
	Faulty          int     `json:"not_to_be_charged"`
	Unsolved        int     `json:"unsolved"` // jobs the simulation could not carry to the end; left out
	Engine          Metrics `json:"engine"`
	FixedIncrements Metrics `json:"fixed_increments"`
}

// Run plays every system with both policies. Cancelling ctx ends it early with its error.
func Run(ctx context.Context, o Options) (Report, error) {
	if o.Systems <= 0 {
		o.Systems = 200
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	type row struct {
		p      *patient
		ours   result
		theirs result
		err    error
	}
	rows := make([]row, o.Systems)
	next, done := make(chan int), 0
	var mu sync.Mutex
	var wait sync.WaitGroup
	for range o.Workers {
		wait.Go(func() {
			for i := range next {
				r := &rows[i]
				if r.p, r.err = draw(o.Seed, i); r.err == nil && (!o.Faulty || r.p.fault != "") {
					if r.ours, r.err = r.p.play(newEngine(o.Stream)); r.err == nil {
						r.theirs, r.err = r.p.play(newFixed())
					}
				}
				mu.Lock()
				done++
				if o.Progress != nil {
					o.Progress(done, o.Systems)
				}
				mu.Unlock()
			}
		})
	}
	var err error
feed:
	for i := range rows {
		select {
		case next <- i:
		case <-ctx.Done():
			err = ctx.Err()
			break feed
		}
	}
	close(next)
	wait.Wait()
	if err != nil {
		return Report{}, err
	}
	rep := Report{Systems: o.Systems, Seed: o.Seed}
	var names []string
	var ours, theirs []result
	for _, r := range rows {
		if r.err != nil {
			rep.Unsolved++
			continue
		}
		if o.Faulty && r.p.fault == "" {
			continue
		}
		switch {
		case r.p.fault != "":
			rep.Faulty++
		case r.p.valve:
			rep.Valves++
		default:
			rep.Orifices++
		}
		names, ours, theirs = append(names, r.p.name), append(ours, r.ours), append(theirs, r.theirs)
	}
	if len(names) == 0 {
		return rep, fmt.Errorf("trial: none of %d systems could be played: %w", o.Systems, rows[0].err)
	}
	rep.Engine, rep.FixedIncrements = measure(names, ours), measure(names, theirs)
	return rep, nil
}
