package journal

import (
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"syscall"
	"testing"

	"chargehand/charge"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var cuts = flag.Int("cuts", 40, "outcomes to try for each instant of a power cut")

const memPath = "/disk/j.jsonl"

// work opens the journal and appends events until there are n, telling acked of each.
func work(t testing.TB, m *memory, n int, acked func(int)) error {
	j, _, err := open(m, memPath)
	if err != nil {
		return err
	}
	defer j.Close()
	acked(len(j.lines)) // what Open hands out is synced
	for i := len(j.lines) + 1; i <= n; i++ {
		got, err := j.Append(events(t, i))
		if err != nil {
			return err
		}
		acked(got)
	}
	return nil
}

var made []charge.Event

// events is nth, remembered.
func events(t testing.TB, n int) charge.Event {
	for len(made) < n {
		made = append(made, nth(t, len(made)+1))
	}
	return made[n-1]
}

// until runs work and reports whether power was cut.
func until(t testing.TB, m *memory, n int, acked func(int)) (cut bool, err error) {
	defer func() {
		if r := recover(); r != nil {
			if e, ok := r.(error); !ok || !errors.Is(e, errPower) {
				panic(r)
			}
			cut = true
		}
	}()
	err = work(t, m, n, acked)
	return errors.Is(err, errPower), err
}

// Power is cut at every operation that reaches the disk, with many outcomes of
// what had got there; then again during the repair. Every acknowledged event
// must be there, the chain whole, and at most one event that was not acknowledged.
func TestPowerCutAtEveryOperation(t *testing.T) {
	const n = 5
	tried, twice, torn, extra := 0, 0, 0, 0
	for at := 1; ; at++ {
		reached := false
		for seed := range *cuts {
			m := newMemory()
			m.rng = rand.New(rand.NewPCG(uint64(at), uint64(seed)))
			m.block = []int{1, 16, 64, 512}[seed%4]
			acked := 0
			note := func(n int) { acked = max(acked, n) }
			m.before = func(op int, _ string) error {
				if op == at {
					return errPower
				}
				return nil
			}
			cut, err := until(t, m, n, note)
			if !cut {
				require.NoError(t, err)
				continue
			}
			reached = true
			tried++
			m = m.cutPower()
			if seed%2 == 1 { // and once more while it is being mended
				again := 1 + m.rng.IntN(5)
				m.before = func(op int, _ string) error {
					if op == again {
						return errPower
					}
					return nil
				}
				if cut, _ := until(t, m, n, note); cut {
					twice++
				}
				m = m.cutPower()
			}
			j, r, err := open(m, memPath)
			require.NoError(t, err, "cut at operation %d, outcome %d", at, seed)
			require.GreaterOrEqual(t, len(j.lines), acked, "cut at operation %d, outcome %d: an acknowledged event is lost", at, seed)
			require.LessOrEqual(t, len(j.lines), acked+1)
			requireEvents(t, j.lines, len(j.lines))
			if r.Torn > 0 {
				torn++
			}
			extra += len(j.lines) - acked
			fill(t, j, n+1)
			require.NoError(t, j.Close())
			lines, r, err := read(m, memPath)
			require.NoError(t, err)
			require.True(t, r.Intact())
			requireEvents(t, lines, n+1)
		}
		if !reached {
			break
		}
	}
	require.Greater(t, tried, 10**cuts/2)
	require.Positive(t, torn)
	t.Logf("%d power cuts tried (%d of them twice), %d left a torn write, %d left an unacknowledged event whole, 0 acknowledged events lost",
		tried, twice, torn, extra)
}

// Every operation fails once, in turn: whatever was acknowledged stays, what
// was refused does not turn up, also if power is cut right after.
func TestFailureOfEveryOperation(t *testing.T) {
	const n = 5
	tried := 0
	for at := 1; ; at++ {
		reached := ""
		for seed := range 20 {
			m := newMemory()
			m.rng = rand.New(rand.NewPCG(uint64(at), uint64(seed)))
			m.before = func(op int, what string) error {
				if op == at {
					reached = what
					return syscall.EIO
				}
				return nil
			}
			acked := 0
			err := work(t, m, n, func(n int) { acked = n })
			if reached == "" {
				require.NoError(t, err)
				break
			}
			tried++
			require.Error(t, err, "%s failed and nobody said so", reached)
			require.ErrorIs(t, err, syscall.EIO)
			m.before = nil
			lines, r, err := read(m, memPath)
			if err == nil {
				require.Nil(t, r.Damage)
				requireEvents(t, lines, acked)
			}
			if seed%2 == 0 {
				m = m.cutPower()
			}
			j, _, err := open(m, memPath)
			require.NoError(t, err)
			require.GreaterOrEqual(t, len(j.lines), acked)
			require.LessOrEqual(t, len(j.lines), acked+1)
			requireEvents(t, j.lines, len(j.lines))
			fill(t, j, n+1)
			require.NoError(t, j.Close())
		}
		if reached == "" {
			break
		}
	}
	t.Logf("%d failed operations tried, 0 acknowledged events lost", tried)
}

// A disk that fills up at any byte: the event is refused, the file is as it
// was, and with room again the same journal goes on.
func TestFullDiskAtEveryByte(t *testing.T) {
	m := newMemory()
	require.NoError(t, work(t, m, 3, func(int) {}))
	full := len(m.names[memPath].seen)
	tried := 0
	for room := range full {
		m := newMemory()
		m.room = room
		j, _, err := open(m, memPath)
		require.NoError(t, err)
		acked := 0
		for i := 1; ; i++ {
			_, err = j.Append(events(t, i))
			if err != nil {
				break
			}
			acked = i
		}
		var w *WriteError
		require.ErrorAs(t, err, &w)
		require.ErrorIs(t, err, syscall.ENOSPC)
		require.True(t, w.Writable)
		require.Contains(t, err.Error(), "not saved")
		lines, r, err := read(m, memPath)
		require.NoError(t, err)
		require.True(t, r.Intact(), "what was refused is cut off at once")
		requireEvents(t, lines, acked)
		m.room = -1
		fill(t, j, 4)
		require.NoError(t, j.Close())
		tried++
	}
	t.Logf("%d points of a full disk tried, 0 acknowledged events lost", tried)
}

// After a failed sync the system may call dirty data clean: no further event is taken.
func TestFailedSyncClosesForWriting(t *testing.T) {
	m := newMemory()
	j, _, err := open(m, memPath)
	require.NoError(t, err)
	fill(t, j, 2)
	m.before = func(_ int, what string) error {
		if what == "sync" {
			return syscall.EIO
		}
		return nil
	}
	_, err = j.Append(nth(t, 3))
	var w *WriteError
	require.ErrorAs(t, err, &w)
	assert.Equal(t, "sync", w.Op)
	assert.False(t, w.Writable)
	m.before = nil
	_, err = j.Append(nth(t, 3))
	require.ErrorIs(t, err, syscall.EIO, "still closed")
	requireEvents(t, j.Lines(), 2)
	require.NoError(t, j.Close())
	require.NoError(t, work(t, m, 3, func(int) {}), "opened again it goes on")
}

// A write that fails and cannot be taken back closes the journal as well.
func TestFailedRestoreClosesForWriting(t *testing.T) {
	m := newMemory()
	j, _, err := open(m, memPath)
	require.NoError(t, err)
	fill(t, j, 2)
	m.before = func(_ int, what string) error {
		if what == "write" || what == "truncate" {
			return syscall.EIO
		}
		return nil
	}
	_, err = j.Append(nth(t, 3))
	var w *WriteError
	require.ErrorAs(t, err, &w)
	assert.False(t, w.Writable)
	m.before = nil
	_, err = j.Append(nth(t, 3))
	require.Error(t, err)
	require.NoError(t, j.Close())
}

// A full disk while mending: nothing is cut before its copy is safe.
func TestFullDiskWhileMending(t *testing.T) {
	m := newMemory()
	require.NoError(t, work(t, m, 3, func(int) {}))
	i := m.names[memPath]
	i.seen = append(i.seen, `{"n":4,"ki`...)
	i.safe = append([]byte(nil), i.seen...)
	for room := range 10 {
		m.room = room
		_, _, err := open(m, memPath)
		require.ErrorIs(t, err, syscall.ENOSPC)
		require.Equal(t, i.safe, i.seen, "untouched")
		for name := range m.names {
			if name != memPath {
				delete(m.names, name)
			}
		}
	}
	m.room = -1
	require.NoError(t, work(t, m, 5, func(int) {}))
}

// A disk mounted read-only, or a folder that is not ours.
func TestReadOnlyFolder(t *testing.T) {
	for _, errno := range []error{syscall.EROFS, syscall.EACCES} {
		m := newMemory()
		m.before = func(int, string) error { return errno }
		_, _, err := open(m, memPath)
		require.ErrorIs(t, err, errno)
		require.ErrorContains(t, err, fmt.Sprintf("%q", memPath))
	}
}

// A process is killed at any operation, which leaves its writes in memory; the
// next one builds on them; then power is cut. What Open handed out is as good
// as acknowledged, since the screen has shown it.
func TestKilledThenPowerCut(t *testing.T) {
	const n = 4
	tried := 0
	for at := 1; at <= 15; at++ {
		for seed := range *cuts {
			m := newMemory()
			m.rng = rand.New(rand.NewPCG(uint64(at), uint64(seed)))
			stop := func(at int) {
				m.before = func(op int, _ string) error {
					if op == at {
						return errPower
					}
					return nil
				}
			}
			shown := 0
			note := func(n int) { shown = max(shown, n) }
			stop(at)
			if killed, _ := until(t, m, n, note); !killed {
				continue
			}
			m.locked = map[string]bool{} // the system unlocks; its writes stay
			stop(m.ops + 1 + m.rng.IntN(6))
			if cut, _ := until(t, m, n, note); !cut {
				continue
			}
			tried++
			m = m.cutPower()
			j, _, err := open(m, memPath)
			require.NoError(t, err)
			require.GreaterOrEqual(t, len(j.lines), shown, "killed at %d, outcome %d: an event that was shown is lost", at, seed)
			requireEvents(t, j.lines, len(j.lines))
			require.NoError(t, j.Close())
		}
	}
	require.Positive(t, tried)
	t.Logf("%d kills followed by a power cut tried, 0 shown events lost", tried)
}
