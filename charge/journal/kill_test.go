package journal

import (
	"bufio"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

var kills = flag.Int("kills", 25, "child processes to kill while they write")

const childEnv = "CHARGEHAND_JOURNAL_CHILD"

func TestMain(m *testing.M) {
	if path := os.Getenv(childEnv); path != "" {
		child(path)
	}
	flag.Parse()
	os.Exit(m.Run())
}

// child appends events for as long as it lives and prints each number once it
// is acknowledged.
func child(path string) {
	j, r, err := Open(path)
	if err != nil {
		fmt.Println("error:", err)
		os.Exit(1)
	}
	fmt.Println("open", r.Lines)
	var t testing.T // only to fail with
	for {
		n, err := j.Append(nth(&t, len(j.lines)+1))
		if err != nil {
			fmt.Println("error:", err)
			os.Exit(1)
		}
		fmt.Println(n)
	}
}

// Real processes are killed at random instants, from before the journal is
// created to deep into it, and the next one goes on with the same file.
func TestKill(t *testing.T) {
	rng := rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), 0)) // instants differ from run to run
	var path string
	total, torn, unacked, before := 0, 0, 0, 0
	for i := range *kills {
		if i%10 == 0 {
			path = filepath.Join(t.TempDir(), "folder", "j.jsonl")
			before = 0
		}
		acked := killOne(t, path, rng)
		if acked < 0 { // before it opened anything
			if _, err := os.Stat(path); err != nil {
				continue
			}
			acked = before
		}
		lines, r, err := Read(path)
		require.NoError(t, err)
		require.Nil(t, r.Damage)
		require.GreaterOrEqual(t, len(lines), acked, "an acknowledged event is lost")
		requireEvents(t, lines, len(lines))
		require.LessOrEqual(t, len(lines), acked+1, "more than one event was under way")
		total += acked - before
		before = len(lines)
		unacked += len(lines) - acked
		if r.Torn > 0 || r.Completed {
			torn++
		}
	}
	t.Logf("%d kills, %d acknowledged events, %d torn writes, %d events written but not yet acknowledged, 0 lost",
		*kills, total, torn, unacked)
	require.Positive(t, total)
}

// killOne gives the last number acknowledged before the child died, -1 if it
// did not get as far as opening.
func killOne(t *testing.T, path string, rng *rand.Rand) int {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+path)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	wait := time.Duration(rng.IntN(25_000)) * time.Microsecond
	fromStart := rng.IntN(4) == 0
	stop := func() { time.Sleep(wait); _ = cmd.Process.Kill() }
	if fromStart {
		go stop()
	}
	acked := -1
	lines := bufio.NewReader(out)
	for {
		s, err := lines.ReadString('\n')
		if err != nil {
			break // what is not a whole line was not acknowledged
		}
		var n int
		if _, err := fmt.Sscanf(s, "open %d", &n); err == nil {
			if !fromStart {
				go stop()
			}
			acked = n
			continue
		}
		n, err = strconv.Atoi(s[:len(s)-1])
		require.NoError(t, err, "the child says %q", s)
		require.Equal(t, acked+1, n)
		acked = n
	}
	_ = cmd.Wait()
	return acked
}

// Another process holds the journal; when it is killed the lock is free.
func TestTwoProcesses(t *testing.T) {
	path := filepath.Join(t.TempDir(), "j.jsonl")
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+path)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	s, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	require.Equal(t, "open 0\n", s)
	_, _, err = Open(path)
	require.ErrorIs(t, err, ErrLocked)
	_, r, err := Read(path)
	require.NoError(t, err)
	require.Nil(t, r.Damage, "a reader beside the writer sees a whole chain")
	require.NoError(t, cmd.Process.Kill())
	_ = cmd.Wait()
	j, _, err := Open(path)
	require.NoError(t, err)
	require.NoError(t, j.Close())
}

func TestFolderWithoutPermission(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("the user may write everywhere; TestReadOnlyFolder has the same through the seam")
	}
	dir := filepath.Join(t.TempDir(), "locked")
	require.NoError(t, os.Mkdir(dir, 0o500))
	_, _, err := Open(filepath.Join(dir, "j"))
	require.ErrorContains(t, err, "choose a folder you may write to")
}
