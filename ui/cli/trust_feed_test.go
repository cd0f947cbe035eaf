package cli

import (
	"bufio"
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge/journal"
)

var feedLines = flag.Int("feedlines", 3000, "lines of the long feed")

// process is a feed running as a process of its own.
type process struct {
	t    *testing.T
	cmd  *exec.Cmd
	in   io.WriteCloser
	out  *bufio.Reader
	errs bytes.Buffer
}

func startFeed(t *testing.T, cmd *exec.Cmd) *process {
	t.Helper()
	p := &process{t: t, cmd: cmd}
	var err error
	p.in, err = cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	p.out = bufio.NewReaderSize(out, 1<<16)
	cmd.Stderr = &p.errs
	require.NoError(t, cmd.Start())
	guard := time.AfterFunc(time.Minute, func() { _ = cmd.Process.Kill() }) // nothing may hang
	t.Cleanup(func() { guard.Stop(); _ = cmd.Process.Kill() })
	return p
}

// ask sends a line and reads the one answer to it.
func (p *process) ask(line string) map[string]any {
	p.t.Helper()
	_, err := io.WriteString(p.in, line+"\n")
	require.NoError(p.t, err, p.errs.String())
	answer, err := p.out.ReadBytes('\n')
	require.NoError(p.t, err, p.errs.String())
	var m map[string]any
	require.NoError(p.t, json.Unmarshal(answer, &m), "%s", answer)
	return m
}

// end closes the input and gives the exit code and what was said.
func (p *process) end() (int, string) {
	p.t.Helper()
	require.NoError(p.t, p.in.Close())
	_, _ = io.Copy(io.Discard, p.out)
	_ = p.cmd.Wait()
	return p.cmd.ProcessState.ExitCode(), p.errs.String()
}

// TestTrustHarmUnderneath does to the journal of a running feed what other
// programs may do. Each event answered is afterwards in the journal or in
// the rescue file that is named; nothing else is touched.
func TestTrustHarmUnderneath(t *testing.T) {
	for _, c := range []struct {
		name  string
		harm  func(path string) error
		saved bool // refused from then on, and what was answered is in the rescue file
		says  string
	}{
		{"removed", os.Remove, false, "removed by another program; its 2 events were written again"},
		{"emptied", func(p string) error { return os.Truncate(p, 0) }, false, "cut to 0 bytes"},
		{"cut", func(p string) error {
			fi, err := os.Stat(p)
			if err != nil {
				return err
			}
			return os.Truncate(p, fi.Size()-30)
		}, false, "the missing 30 were put back"},
		{"folder removed", func(p string) error { return os.RemoveAll(filepath.Dir(p)) }, false, "removed by another program"},
		{"moved away", func(p string) error { return os.Rename(p, p+".old") }, false, "removed by another program"},
		{"lock removed", func(p string) error { return os.Remove(p + ".lock") }, false, ""},
		{"more written", func(p string) error { return write(p, os.O_APPEND, "hello\n") }, true, ""},
		{"written over", func(p string) error { return write(p, 0, "#####") }, true, ""},
		{"a folder instead", func(p string) error {
			if err := os.Remove(p); err != nil {
				return err
			}
			return os.Mkdir(p, 0o700)
		}, true, ""},
		{"a pipe instead", func(p string) error {
			if err := os.Remove(p); err != nil {
				return err
			}
			return pipe(p)
		}, true, ""},
		{"a link instead", func(p string) error {
			if err := os.Rename(p, p+".old"); err != nil {
				return err
			}
			return os.Symlink(p+".old", p)
		}, true, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "jobs", "job.jsonl")
			p := startFeed(t, command("feed", "--journal", path))
			require.Equal(t, "advice", p.ask(feedSetup)["kind"])
			require.Equal(t, "advice", p.ask(note(1, "one"))["kind"])
			if err := c.harm(path); err != nil {
				p.end()
				t.Skip(err) // such as removing an open file on Windows
			}
			third := p.ask(note(2, "two"))
			code, errs := p.end()
			assert.NotContains(t, errs, "goroutine ")
			if !c.saved {
				require.Equal(t, "advice", third["kind"], third["why"])
				require.Zero(t, code, errs)
				require.Contains(t, errs, c.says)
				requireNotes(t, path, 3)
				return
			}
			require.Equal(t, "refused", third["kind"])
			require.Contains(t, third["why"], "not recorded, and so not taken")
			require.Contains(t, third["why"], "job.jsonl.rescue")
			requireNotes(t, path+".rescue", 2)
		})
	}
}

func write(path string, flag int, s string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|flag, 0)
	if err != nil {
		return err
	}
	if _, err = f.WriteString(s); err != nil {
		return err
	}
	return f.Close()
}

// requireNotes checks that the journal is a setup and notes, n lines in all.
func requireNotes(t *testing.T, path string, n int) {
	t.Helper()
	lines, report, err := journal.Read(path)
	require.NoError(t, err)
	require.True(t, report.Intact(), report.String())
	require.Len(t, lines, n)
	require.Contains(t, string(lines[0].Raw), `"kind":"setup"`)
	for _, l := range lines[1:] {
		require.Contains(t, string(l.Raw), `"kind":"note"`)
	}
}

// TestTrustTwoWriters: the second is refused and does no harm.
func TestTrustTwoWriters(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.jsonl")
	p := startFeed(t, command("feed", "--journal", path))
	p.ask(feedSetup)
	q := startFeed(t, command("feed", "--journal", path))
	code, errs := q.end()
	require.Equal(t, ExitNoStart, code)
	require.Contains(t, errs, "another chargehand is writing")
	require.Equal(t, "advice", p.ask(note(1, "one"))["kind"])
	code, errs = p.end()
	require.Zero(t, code, errs)
	requireNotes(t, path, 2)
}

// TestTrustInputEnds: input that ends within a line is an answer more, not an
// event more; a reader of the answers that goes away ends the command, and the
// event it did not wait for is kept.
func TestTrustInputEnds(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.jsonl")
	p := startFeed(t, command("feed", "--journal", path))
	p.ask(feedSetup)
	whole := note(1, "one")
	_, err := io.WriteString(p.in, whole[:len(whole)/2])
	require.NoError(t, err)
	require.NoError(t, p.in.Close())
	rest, err := io.ReadAll(p.out)
	require.NoError(t, err)
	require.Equal(t, 1, bytes.Count(rest, []byte("\n")))
	require.Contains(t, string(rest), `"kind":"refused"`)
	require.NoError(t, p.cmd.Wait())
	requireNotes(t, path, 1)

	cmd := command("feed", "--journal", path)
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	require.NoError(t, out.Close())
	_, _ = io.WriteString(in, whole+"\n"+note(2, "two")+"\n")
	require.Error(t, cmd.Wait(), "ended by the pipe")
	requireNotes(t, path, 2)
}

// TestTrustClock: times that go back, jump ahead by a century, repeat, or carry
// any zone are recorded as they came and answered; none is lost, and the
// session goes on after a restart.
func TestTrustClock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.jsonl")
	lines := []string{feedSetup}
	for _, at := range []string{
		"2026-06-01T14:00:00Z", "2026-06-01T13:00:00Z", "2020-01-01T00:00:00Z", "2126-06-01T13:00:00Z", "1970-01-01T00:00:00Z", "2026-06-01T13:00:00+14:00",
		"2026-06-01T13:00:00-12:00", "2026-06-01T13:00:00.999999999Z", "2026-06-01T14:00:00Z", "9999-12-31T23:59:59Z", "0001-01-01T00:00:01Z",
	} {
		lines = append(lines, strings.Replace(note(0, "clock"), "2026-06-01T13:00:00Z", at, 1),
			strings.Replace(feedRead, "2026-06-01T13:20:00Z", at, 1),
			`{"kind":"weighed","at":"`+at+`","amount":"1 oz"}`)
	}
	got, errs, code := runFeed(t, strings.Join(lines, "\n"), "--journal", path)
	require.Zero(t, code, errs)
	require.Len(t, got, len(lines))
	taken := 0
	for i, a := range got {
		if a["kind"] == "advice" {
			taken++
		} else {
			assert.NotEmpty(t, a["why"], lines[i])
		}
	}
	recorded, report, err := journal.Read(path)
	require.NoError(t, err)
	require.True(t, report.Intact())
	require.Len(t, recorded, taken)
	assert.Equal(t, float64((taken-1)/3), got[len(got)-1]["total_oz"], "each ounce counts, whenever it was")
	again, errs, code := runFeed(t, note(4000, "on"), "--journal", path)
	require.Zero(t, code, errs)
	require.Equal(t, float64(taken+1), again[0]["n"])
}

// TestTrustLongFeed: a feed of any length is answered line for line. A session has
// an end, so that one that never closes cannot take all memory.
//
//	go test ./ui/cli -run LongFeed -feedlines 100000
func TestTrustLongFeed(t *testing.T) {
	var in strings.Builder
	bad := 0
	for i := range *feedLines {
		switch {
		case i%2000 == 0:
			in.WriteString(feedSetup + "\n")
		case i%2000 == 1999:
			in.WriteString(`{"kind":"close","at":"2026-06-01T14:00:00Z"}` + "\n")
		case i%7 == 0:
			bad++
			in.WriteString("nonsense\n")
		default:
			in.WriteString(note(i%3600, "x") + "\n")
		}
	}
	code, out, errs := runIn(strings.NewReader(in.String()), "feed")
	require.Zero(t, code, errs)
	require.Equal(t, *feedLines, strings.Count(out, "\n"))
	require.Equal(t, bad, strings.Count(out, `"kind":"refused"`))

	const most = 10_000
	in.Reset()
	in.WriteString(feedSetup + "\n")
	for i := 1; i < most+50; i++ {
		in.WriteString(note(i%3600, "x") + "\n")
	}
	in.WriteString(`{"kind":"close","at":"2026-06-01T14:00:00Z"}` + "\n" + feedSetup + "\n")
	code, out, errs = runIn(strings.NewReader(in.String()), "feed")
	require.Zero(t, code, errs)
	answers := strings.Split(strings.TrimSpace(out), "\n")
	require.Contains(t, answers[most-1], `"kind":"advice"`)
	for _, a := range answers[most : most+50] {
		require.Contains(t, a, "close it and begin another")
	}
	require.Contains(t, answers[most+50], `"closed":true`)
	require.Contains(t, answers[most+51], `"n":1,`)
}

// TestTrustDiskFull runs the command where files may not grow beyond a few
// kilobytes: what does not fit is refused event by event, what was answered
// stays, and the feed goes on once there is room.
func TestTrustDiskFull(t *testing.T) {
	shell, err := exec.LookPath("sh")
	if err != nil || runtime.GOOS == "windows" {
		t.Skip("needs a shell that can limit the size of files")
	}
	path := filepath.Join(t.TempDir(), "job.jsonl")
	cmd := exec.Command(shell, "-c", `ulimit -f 8 && exec "$0" "$@"`, os.Args[0], "feed", "--journal", path) // 4 or 8 kB
	cmd.Env = append(os.Environ(), commandEnv+"=1")
	p := startFeed(t, cmd)
	p.ask(feedSetup)
	taken := 1
	for i := range 60 {
		a := p.ask(note(i, strings.Repeat("x", 300)))
		if a["kind"] == "refused" {
			require.Contains(t, a["why"], "the events before it are safe")
			break
		}
		taken++
	}
	require.Less(t, taken, 60, "the limit holds")
	fi, err := os.Stat(path)
	require.NoError(t, err)
	for i := 0; fi.Size()+300 > 8<<10 && i < 3; i++ { // still full, and still answering
		require.Equal(t, "refused", p.ask(note(i, strings.Repeat("y", 300)))["kind"])
	}
	_, errs := p.end()
	require.NotContains(t, errs, "goroutine ")
	requireNotes(t, path, taken)
	got, errs, code := runFeed(t, note(99, "room again"), "--journal", path)
	require.Zero(t, code, errs)
	require.Equal(t, float64(taken+1), got[0]["n"])
}

// TestTrustAskedToEnd: a program that is told to end loses nothing answered.
func TestTrustAskedToEnd(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("processes are not signalled there")
	}
	for _, s := range []os.Signal{os.Interrupt, os.Kill} {
		t.Run(fmt.Sprint(s), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "job.jsonl")
			p := startFeed(t, command("feed", "--journal", path))
			p.ask(feedSetup)
			p.ask(note(1, "one"))
			require.NoError(t, p.cmd.Process.Signal(s))
			_ = p.cmd.Wait()
			requireNotes(t, path, 2)
		})
	}
}
