package journal

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chargehand/charge"

	"github.com/stretchr/testify/require"
)

// event reads an event, failing the test where it is none.
func event(t testing.TB, line string) charge.Event {
	t.Helper()
	e, err := charge.ParseEvent([]byte(line))
	require.NoError(t, err)
	return e
}

// nth is the n-th event of an invented session: a setup, then readings,
// weighings and notes whose content follows from n.
func nth(t testing.TB, n int) charge.Event {
	t.Helper()
	at := fmt.Sprintf("2026-06-01T%02d:%02d:%02dZ", 8+n/3600%12, n/60%60, n%60)
	switch {
	case n == 1:
		return event(t, `{"kind":"setup","at":"`+at+`","refrigerant":"R-410A","unit":"invented 3","capacity":"3 ton"}`)
	case n%3 == 0:
		return event(t, fmt.Sprintf(`{"kind":"weighed","at":"%s","amount":"%d.5 oz"}`, at, n%8))
	case n%3 == 1:
		return event(t, fmt.Sprintf(`{"kind":"reading","at":"%s","suction_pressure":"%d psig","suction_line":"58F"}`, at, 100+n%50))
	}
	return event(t, fmt.Sprintf(`{"kind":"note","at":"%s","text":"note %d %s"}`, at, n, strings.Repeat("°", n%40)))
}

// content is what must be the same of an event before and after.
func content(t testing.TB, e charge.Event) string {
	t.Helper()
	b, err := e.MarshalJSON()
	require.NoError(t, err)
	return string(b)
}

// write makes a journal of n events and gives its path and bytes.
func write(t testing.TB, n int) (string, []byte) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "j.jsonl")
	j, _, err := Open(path)
	require.NoError(t, err)
	fill(t, j, n)
	require.NoError(t, j.Close())
	return path, contents(t, path)
}

func fill(t testing.TB, j *Journal, n int) {
	t.Helper()
	for i := len(j.lines) + 1; i <= n; i++ {
		got, err := j.Append(nth(t, i))
		require.NoError(t, err)
		require.Equal(t, i, got)
	}
}

func contents(t testing.TB, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return b
}

func put(t testing.TB, path string, b []byte) {
	t.Helper()
	require.NoError(t, os.WriteFile(path, b, 0o600))
}

// requireEvents checks that lines are the events 1 to n, exactly.
func requireEvents(t testing.TB, lines []Line, n int) {
	t.Helper()
	require.Len(t, lines, n)
	for i, l := range lines {
		require.Equal(t, i+1, l.N)
		require.Equal(t, content(t, nth(t, i+1)), content(t, l.Event))
	}
}
