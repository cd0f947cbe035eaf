//go:build unix

package cli

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

var devices = []string{"/dev/zero", "/dev/null", "/dev/random"}

func pipe(path string) error { return syscall.Mkfifo(path, 0o600) }

// special puts what is no plain file into dir.
func special(t *testing.T, dir string) {
	t.Helper()
	require.NoError(t, pipe(filepath.Join(dir, "pipe.jsonl")))
	for name, to := range map[string]string{"link": "good.jsonl", "dangling": "nowhere", "zero": "/dev/zero", "loop": "loop.jsonl", "up": ".."} {
		require.NoError(t, os.Symlink(to, filepath.Join(dir, name+".jsonl")))
	}
}

// TestTrustReadOnlyFolder runs the command as a user who may read but not write
// there: it says so and writes nothing.
func TestTrustReadOnlyFolder(t *testing.T) {
	dir, err := os.MkdirTemp("", "chargehand")
	require.NoError(t, err)
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	folder := filepath.Join(dir, "jobs")
	job := filepath.Join(folder, "job.jsonl")
	record(t, job, feedSetup, note(1, "x"))
	require.NoError(t, os.Chmod(job, 0o644))
	binary := filepath.Join(dir, "chargehand")
	program, err := os.ReadFile(os.Args[0])
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(binary, program, 0o755))
	run := func(args ...string) (code int, out, errs string) {
		cmd := exec.Command(binary, args...)
		cmd.Env = append(os.Environ(), commandEnv+"=1", "HOME="+dir, "XDG_CONFIG_HOME="+dir)
		if os.Geteuid() == 0 {
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		}
		cmd.Dir = dir
		cmd.Stdin = strings.NewReader(note(2, "more") + "\n")
		var o, e bytes.Buffer
		cmd.Stdout, cmd.Stderr = &o, &e
		if err := cmd.Run(); cmd.ProcessState == nil {
			t.Skip("cannot be run from there or as another user: ", err)
		}
		return cmd.ProcessState.ExitCode(), o.String(), e.String()
	}
	require.NoError(t, os.Chmod(folder, 0o555))
	require.NoError(t, os.Chmod(dir, 0o755))
	t.Cleanup(func() { _ = os.Chmod(folder, 0o755) })
	before := snapshot(t, folder)
	code, out, errs := run("replay", "--plain", job)
	require.Zero(t, code, errs)
	require.Contains(t, out, "record of")
	for _, args := range [][]string{
		{"feed", "--journal", job}, {"feed", "--journal", filepath.Join(folder, "new.jsonl")}, {"feed", "--journal", filepath.Join(folder, "deeper", "new.jsonl")},
		{"report", job, "-o", filepath.Join(folder, "page.html")}, {"train", "humid", "--misstep", "--journal", filepath.Join(folder, "run.jsonl")},
	} {
		code, _, errs := run(args...)
		require.Equal(t, ExitNoStart, code, "%v: %s", args, errs)
		require.Contains(t, errs, "permission denied", "%v", args)
	}
	require.Equal(t, before, snapshot(t, folder))
}

// TestTrustClosedStreams starts the feed with standard streams closed: files it opens
// must not take their numbers, or answers would be written into the journal.
func TestTrustClosedStreams(t *testing.T) {
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("needs a shell")
	}
	for _, closed := range []string{">&-", "2>&-", ">&- 2>&-", "<&-", "<&- >&- 2>&-"} {
		path := filepath.Join(t.TempDir(), "job.jsonl")
		cmd := exec.Command(shell, "-c", `exec "$0" "$@" `+closed, os.Args[0], "feed", "--journal", path)
		cmd.Env = append(os.Environ(), commandEnv+"=1")
		cmd.Stdin = strings.NewReader(feedSetup + "\n" + note(1, "one") + "\n")
		_ = cmd.Run()
		if strings.Contains(closed, "<") {
			require.Empty(t, contents(t, path), closed)
		} else {
			requireNotes(t, path, 2)
		}
		require.Empty(t, contents(t, path+".lock"), closed)
	}
}
