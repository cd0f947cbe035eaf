package scenario

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/audit"
	"chargehand/charge/journal"
	q "chargehand/charge/quantity"
)

var rewrite = flag.Bool("journals.write", false, "play the sound journals of testdata/journals anew")

// soundJournals are two invented jobs done as they should be: everything looked
// at first, then the advice followed. They are files, so that a change to the
// rules or to the advice that makes them unsound is seen.
var soundJournals = []struct {
	file, lesson string
	seed         uint64
}{
	{"orifice.jsonl", "orifice-short", 4},
	{"valve.jsonl", "valve-short", 4},
	{"metric-glide.jsonl", "glide", 4},
}

const journals = "../../testdata/journals"

func TestSoundJournalsHaveNoFinding(t *testing.T) {
	for _, g := range soundJournals {
		path, units := filepath.Join(journals, g.file), q.US
		if g.lesson == "glide" {
			units = q.SI
		}
		if *rewrite {
			playSound(t, path, g.lesson, Options{Seed: g.seed, Units: units})
		}
		lines, report, err := journal.Read(path)
		require.NoError(t, err)
		assert.True(t, report.Intact(), report)
		assert.Empty(t, audit.Find(audit.Of(lines, report, units)), "%s, from the raw entries alone", g.file)
		for _, f := range audit.Findings(lines, report, units) {
			// The one rule that compares with an amount of today's advice.
			assert.Equal(t, "other-than-advised", f.Rule, "%s: %s", g.file, f.Says)
		}
		// Played by today's advice there is nothing at all to find.
		fresh := filepath.Join(t.TempDir(), g.file)
		playSound(t, fresh, g.lesson, Options{Seed: g.seed, Units: units})
		lines, report, err = journal.Read(fresh)
		require.NoError(t, err)
		assert.Empty(t, audit.Findings(lines, report, units), g.file)
	}
}

// playSound looks at everything on the check-list and then follows the advice.
func playSound(t *testing.T, path, lesson string, o Options) {
	t.Helper()
	r := started(t, lesson, o)
	for _, item := range charge.Items() {
		it, err := r.item(string(item))
		require.NoError(t, err)
		_, err = r.Inspect(it.Name)
		require.NoError(t, err)
		if it.Fix != nil {
			_, err = r.Fix(it.Name)
			require.NoError(t, err)
		}
	}
	require.NoError(t, Auto(r, nil))
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	if err := os.Remove(path); err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	j, _, err := journal.Open(path)
	require.NoError(t, err)
	for _, e := range r.Events() {
		e.N = 0
		_, err := j.Append(e)
		require.NoError(t, err)
	}
	require.NoError(t, j.Close())
	require.NoError(t, os.Remove(path+".lock"))
}
