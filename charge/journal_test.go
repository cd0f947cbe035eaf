package charge_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
	"chargehand/charge/quantity"
)

// TestFoldOfJournal: a session recorded event by event and read back from disk
// is the same session, step for step, and every line fits the schema.
func TestFoldOfJournal(t *testing.T) {
	schema := compiled(t, "journal-line.json")
	for _, name := range sessionNames(t) {
		path := filepath.Join(t.TempDir(), name+".jsonl")
		j, _, err := journal.Open(path)
		require.NoError(t, err)
		live := charge.NewSession(charge.Options{})
		for _, e := range eventsOf(t, name) {
			require.NoError(t, live.Admit(e))
			n, err := j.Append(e)
			require.NoError(t, err)
			a, err := live.Apply(e)
			require.NoError(t, err)
			assert.Equal(t, n, a.N)
		}
		require.NoError(t, j.Close())

		lines, report, err := journal.Read(path)
		require.NoError(t, err)
		require.True(t, report.Intact())
		again := charge.NewSession(charge.Options{})
		for _, l := range lines {
			valid(t, schema, l.Raw)
			_, err := again.Apply(l.Event)
			require.NoError(t, err)
		}
		require.Equal(t, live.Len(), again.Len())
		a, b := live.Steps(), again.Steps()
		for i := range a {
			assert.Equal(t, string(charge.AppendAnswer(nil, &a[i].Told, quantity.US)), string(charge.AppendAnswer(nil, &b[i].Told, quantity.US)), "%s event %d", name, i+1)
		}
	}
}
