package cli

import (
	"bufio"
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
)

var feedKills = flag.Int("feedkills", 15, "feeds to kill while they record")

// job is the i-th event, from 1, of an endless invented job. What it says
// follows from i, so that what is on disk can be held against it.
func job(i int) string {
	at := time.Date(2026, 6, 1, 13, 0, 0, 0, time.UTC).Add(time.Duration(i) * 3 * time.Minute).Format(time.RFC3339)
	switch {
	case i == 1:
		return `{"kind":"setup","at":"` + at + `","refrigerant":"R-410A","unit":"invented 3","capacity":"3 ton"}`
	case i%40 == 3:
		return fmt.Sprintf(`{"kind":"reading","at":%q,"suction_pressure":"%d psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}`, at, 110+i%20)
	case i%40 == 4:
		return fmt.Sprintf(`{"kind":"weighed","at":%q,"amount":"%d oz"}`, at, 1+i%4)
	}
	return fmt.Sprintf(`{"kind":"note","at":%q,"text":"note %d %s"}`, at, i, strings.Repeat("°", i%90))
}

// requireJob checks that lines are the events 1 to len(lines) of the job.
func requireJob(t *testing.T, lines []journal.Line) {
	t.Helper()
	for i, l := range lines {
		want, err := charge.ParseEvent([]byte(job(i + 1)))
		require.NoError(t, err)
		w, err := want.MarshalJSON()
		require.NoError(t, err)
		got, err := l.Event.MarshalJSON()
		require.NoError(t, err)
		require.Equal(t, string(w), string(got), "event %d", i+1)
	}
}

// TestFeedKilled kills the real command at random instants while it records,
// adds now and then the beginning of a line as a power cut leaves it, and lets
// the next process go on: what was answered is on disk, event for event, and
// the next process says how much it took up and what it put aside.
//
//	go test ./ui/cli -run FeedKilled -feedkills 1000
func TestFeedKilled(t *testing.T) {
	rng := rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), 0)) // instants differ from run to run
	var path string
	acked, onDisk, torn := 0, 0, 0 // of this journal
	total, ahead, tears := 0, 0, 0
	for i := range *feedKills {
		if i%10 == 0 {
			path = filepath.Join(t.TempDir(), "jobs", "job.jsonl")
			acked, onDisk, torn = 0, 0, 0
		}
		got, errs := killFeed(t, path, onDisk, rng)
		if got.started {
			if onDisk > 0 {
				require.Contains(t, errs, fmt.Sprintf("%d events recovered, the next is %d", onDisk, onDisk+1))
			}
			require.Equal(t, torn > 0, strings.Contains(errs, "the last write was cut short"), errs)
			torn = 0
		}
		total += max(0, got.acked-acked)
		acked = max(acked, got.acked)

		lines, report, err := journal.Read(path)
		if os.IsNotExist(err) || err != nil && acked == 0 {
			continue // killed before there was a journal
		}
		require.NoError(t, err)
		require.Nil(t, report.Damage)
		if report.Torn == 0 {
			torn = 0 // also put aside by one that was killed before it answered
		}
		requireJob(t, lines)
		require.GreaterOrEqual(t, len(lines), acked, "an answered event is lost")
		require.LessOrEqual(t, len(lines), max(acked, onDisk)+1, "no event is taken before the one before it is answered")
		ahead += len(lines) - acked
		onDisk, acked = len(lines), len(lines)
		if report.Torn == 0 && onDisk > 0 && rng.IntN(3) == 0 {
			torn = tear(t, path, rng)
			tears++
		}
	}
	t.Logf("bar: power cut at any byte: feeds killed while recording, answered events lost | 0 | 0 of %d in %d kills and %d torn writes (%d on disk but not yet answered) | go test ./ui/cli -run FeedKilled -feedkills 1000",
		total, *feedKills, tears, ahead)
	require.Positive(t, total)
}

// tear leaves what a power cut leaves of a write: its beginning.
func tear(t *testing.T, path string, rng *rand.Rand) int {
	t.Helper()
	whole := fmt.Sprintf(`{"n":1,"kind":"note","at":"2026-06-01T13:00:00Z","text":"never answered","prev":"%064d"}`, 0)
	n := 1 + rng.IntN(len(whole)-1)
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	require.NoError(t, err)
	_, err = f.WriteString(whole[:n])
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return n
}

type killed struct {
	started bool // it got as far as answering
	acked   int  // the last event answered
}

// killFeed starts a feed that goes on after the event onDisk and kills it.
func killFeed(t *testing.T, path string, onDisk int, rng *rand.Rand) (killed, string) {
	t.Helper()
	cmd := command("feed", "--journal", path)
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	require.NoError(t, cmd.Start())
	go func() {
		w := bufio.NewWriterSize(in, 1<<10)
		for i := onDisk + 1; ; i++ {
			if _, err := w.WriteString(job(i) + "\n"); err != nil {
				return
			}
		}
	}()
	stop := func() {
		time.Sleep(time.Duration(rng.IntN(60_000)) * time.Microsecond)
		_ = cmd.Process.Kill()
	}
	fromStart := rng.IntN(5) == 0
	if fromStart {
		go stop()
	}
	got := killed{acked: onDisk}
	for lines := bufio.NewReaderSize(out, 1<<16); ; {
		line, err := lines.ReadBytes('\n')
		if err != nil {
			break // what is not a whole line was not answered
		}
		var a struct {
			Kind string
			N    int
		}
		require.NoError(t, json.Unmarshal(line, &a), "%s", line)
		require.Equal(t, "advice", a.Kind, "%s", line)
		require.Equal(t, got.acked+1, a.N)
		got.acked = a.N
		if !got.started && !fromStart {
			go stop()
		}
		got.started = true
	}
	err = cmd.Wait()
	var died *exec.ExitError
	require.ErrorAs(t, err, &died, "killed, not ended: %s", errs.String())
	return got, errs.String()
}

// TestFeedTornEverywhere cuts the last record at every byte: the feed goes on
// with every event answered before it, and says so.
func TestFeedTornEverywhere(t *testing.T) {
	dir := t.TempDir()
	whole := filepath.Join(dir, "whole.jsonl")
	record(t, whole, feedSetup, note(1, "one"), note(2, "two °"))
	data := contents(t, whole)
	last := strings.LastIndexByte(strings.TrimSuffix(data, "\n"), '\n') + 1
	for cut := last; cut <= len(data); cut++ {
		path := filepath.Join(dir, fmt.Sprint(cut), "job.jsonl")
		require.NoError(t, os.Mkdir(filepath.Dir(path), 0o700))
		require.NoError(t, os.WriteFile(path, []byte(data[:cut]), 0o600))
		kept := 2
		if cut >= len(data)-1 { // whole but for its line feed
			kept = 3
		}
		got, errs, code := runFeed(t, note(9, "after")+"\n", "--journal", path)
		require.Zero(t, code)
		require.Len(t, got, 1)
		require.Equal(t, float64(kept+1), got[0]["n"], "cut at %d", cut)
		require.Contains(t, errs, fmt.Sprintf("%d events recovered", kept))
		switch cut {
		case last, len(data):
			require.NotContains(t, errs, "last")
		case len(data) - 1:
			require.Contains(t, errs, "lacked its line feed")
		default:
			require.Contains(t, errs, fmt.Sprintf("%d bytes that were never acknowledged were moved to", cut-last))
			require.Equal(t, data[last:cut], contents(t, path+".torn"))
		}
		lines, report, err := journal.Read(path)
		require.NoError(t, err)
		require.True(t, report.Intact())
		require.Len(t, lines, kept+1)
	}
	t.Logf("bar: power cut at any byte: last record cut at every byte, answered events lost | 0 | 0 in %d cuts through the feed command | go test ./ui/cli -run FeedTorn", len(data)-last+1)
}
