//go:build unix

package cli

import (
	"os"
	"path/filepath"
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
