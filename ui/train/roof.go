// Package train is the log screen with the roof simulated: the apprentice
// reads, weighs, waits, looks and puts right on a system that answers as a
// real one would, with weather, noise and settling. Nothing is told unless
// asked for: the tool's advice is a hint. At the end a debrief lays the hidden
// system under the path that was taken.
package train

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/charge/scenario"
)

// roof is the engine of the desk: entries become actions on the simulated
// system, which makes the events.
type roof struct{ run *scenario.Run }

func (r roof) Session() *charge.Session { return r.run.Session() }

// Apply takes an entry of the log screen.
func (r roof) Apply(e charge.Event) error {
	switch b := e.Body.(type) {
	case *charge.Weighing:
		_, err := r.run.Weigh(b.Amount.Kilograms(), b.Phase)
		return err
	default:
		_, err := r.run.Enter(b)
		return err
	}
}

// beside is what the screen shows of the roof beside the session.
type beside struct {
	clock  time.Time
	looked map[string]bool
	fixed  map[string]bool
	done   bool
}

// Beside is called where nothing else uses the run.
func (r roof) Beside() any {
	b := beside{clock: r.run.Clock(), looked: map[string]bool{}, fixed: map[string]bool{}, done: r.run.Done()}
	for _, it := range r.run.Lesson().Items {
		b.looked[it.Name], b.fixed[it.Name] = r.run.Looked(it.Name), r.run.Fixed(it.Name)
	}
	return b
}

// causes are the reasons a job may be left for, in words: every one that any
// lesson knows, and a few that none does.
func causes() []string {
	seen := map[string]bool{}
	for _, s := range scenario.All() {
		for _, c := range s.Goal.Causes {
			seen[c] = true
		}
	}
	for _, c := range []string{"restriction", "non-condensables", "low-airflow", "overcharged", "weak-compressor"} {
		seen[c] = true
	}
	var out []string
	for c := range seen {
		out = append(out, c)
	}
	sort.Strings(out)
	return out
}

func words(s string) string { return strings.ReplaceAll(s, "-", " ") }

// minutes reads a number of minutes as it is typed.
func minutes(s string) (float64, error) {
	s = strings.TrimSuffix(strings.TrimSpace(strings.ReplaceAll(s, ",", ".")), "min")
	var m float64
	if _, err := fmt.Sscanf(strings.TrimSpace(s), "%g", &m); err != nil || !(m > 0 && m <= 600) {
		return 0, fmt.Errorf("%q is no number of minutes from 1 to 600", s)
	}
	return m, nil
}
