package journal

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A file that needs mending, or none, is opened while each operation of Open
// fails in turn, with and without a power cut after: Open says so, and the next one
// finds every event that was acknowledged.
func TestFailureWhileOpening(t *testing.T) {
	whole := newMemory()
	require.NoError(t, work(t, whole, 4, func(int) {}))
	data := whole.names[memPath].seen
	last := bytes.LastIndexByte(data[:len(data)-1], '\n') + 1
	tried, failed := 0, map[string]bool{}
	for name, c := range map[string]struct {
		content []byte
		acked   int
		more    int // a line that came as far as its line feed, which may stay or go
	}{
		"whole":               {data, 4, 0},
		"torn":                {data[:last+20], 3, 0},
		"without a line feed": {data[:len(data)-1], 3, 1},
		"empty":               {nil, 0, 0},
	} {
		for at := 1; ; at++ {
			reached := ""
			for seed := range 20 {
				m := newMemory()
				m.rng = rand.New(rand.NewPCG(uint64(at), uint64(seed)))
				i := &inode{seen: bytes.Clone(c.content), safe: bytes.Clone(c.content)}
				m.names[memPath], m.durable[memPath] = i, i
				m.before = func(op int, what string) error {
					if op == at {
						reached = what
						return syscall.EIO
					}
					return nil
				}
				j, _, err := open(m, memPath)
				if reached == "" {
					require.NoError(t, err)
					require.NoError(t, j.Close())
					break
				}
				tried++
				failed[reached] = true
				require.ErrorIs(t, err, syscall.EIO, "%s: %s failed and nobody said so", name, reached)
				require.Nil(t, j)
				m.before = nil
				if seed%2 == 0 {
					m = m.cutPower()
				}
				j, _, err = open(m, memPath)
				require.NoError(t, err, "%s after a failed %s", name, reached)
				require.GreaterOrEqual(t, len(j.lines), c.acked)
				require.LessOrEqual(t, len(j.lines), c.acked+c.more)
				requireEvents(t, j.lines, len(j.lines))
				fill(t, j, 5)
				require.NoError(t, j.Close())
			}
			if reached == "" {
				break
			}
		}
	}
	for _, op := range []string{"create", "write", "truncate", "sync", "sync folder"} {
		assert.True(t, failed[op], "no %s failed", op)
	}
	t.Logf("%d failures while opening tried, 0 acknowledged events lost", tried)
}

// A rescue that fails too is tried again by the next Append.
func TestRescueTriedAgain(t *testing.T) {
	m := newMemory()
	j, _, err := open(m, memPath)
	require.NoError(t, err)
	fill(t, j, 4)
	m.names[memPath] = &inode{seen: []byte("something else")}
	m.room = 0
	var w *WriteError
	_, err = j.Append(events(t, 5))
	require.ErrorAs(t, err, &w)
	require.Empty(t, w.Rescue)
	m.room = -1
	_, err = j.Append(events(t, 5))
	require.ErrorAs(t, err, &w)
	require.NotEmpty(t, w.Rescue)
	lines, r, err := read(m, w.Rescue)
	require.NoError(t, err)
	require.True(t, r.Intact())
	requireEvents(t, lines, 4)
	require.NoError(t, j.Close())
}

// A journal never grows beyond what can be read back.
func TestFullJournal(t *testing.T) {
	m := newMemory()
	j, _, err := open(m, memPath)
	require.NoError(t, err)
	fill(t, j, 2)
	keep := j.length
	j.length = maxFile - 10
	m.names[memPath].seen = append(m.names[memPath].seen, make([]byte, maxFile-10-keep)...)
	_, err = j.Append(events(t, 3))
	require.ErrorContains(t, err, "the journal is full at 64 MiB")
}

// Fields of the journal's own that mean something else than they should.
func TestOwnFields(t *testing.T) {
	_, data := write(t, 3)
	lines := strings.SplitAfter(string(data), "\n")
	for says, b := range map[string]string{
		"two journals in one file": lines[0] + strings.Replace(lines[1], `"n":2,`, `"n":2,"format":"chargehand/1",`, 1),
		"prev does not fit":        lines[0] + strings.Replace(lines[1], `"prev":"`, `"prev":["`, 1)[:len(lines[1])-1] + "]}\n",
		"prev is missing":          lines[0] + strings.Replace(lines[1], `"prev":`, `"previous":`, 1),
		"this version reads":       strings.Replace(lines[0], "chargehand/1", "chargehand/9", 1),
		"format is missing":        strings.Replace(lines[0], `"format":`, `"form":`, 1),
	} {
		_, r := Verify([]byte(b))
		require.NotNil(t, r.Damage, says)
		assert.Contains(t, r.Damage.Why, says)
	}
}
