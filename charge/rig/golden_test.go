package rig

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write testdata/rig/*.golden instead of comparing with it")

// golden compares a section of the validation with testdata/rig, or writes it.
func golden(t *testing.T, section, text string) {
	t.Helper()
	name := filepath.Join("..", "..", "testdata", "rig", strings.ReplaceAll(section, " ", "_")+".golden")
	if *update {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
		return
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err, "run go test ./charge/rig -update")
	require.Equal(t, string(want), text, "if the change is meant, run go test ./charge/rig -update and read the difference")
}
