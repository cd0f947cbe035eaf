package ui

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/adrg/xdg"
	"github.com/charmbracelet/lipgloss"
	_ "github.com/charmbracelet/x/exp/golden" // defines -update
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"time"
)

// TestMain fixes the world: no colours, plain UTF-8, folders of our own.
func TestMain(m *testing.M) {
	flag.Parse()
	dir, err := os.MkdirTemp("", "chargehand-ui")
	if err != nil {
		panic(err)
	}
	for k, v := range map[string]string{
		"NO_COLOR": "", "LC_ALL": "en_US.UTF-8", "TERM": "xterm-256color", "HOME": dir,
		"XDG_CONFIG_HOME": filepath.Join(dir, "config"), "XDG_DATA_HOME": filepath.Join(dir, "data"),
	} {
		os.Setenv(k, v)
	}
	xdg.Reload()
	time.Local = time.UTC
	lipgloss.SetColorProfile(termenv.Ascii)
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

func updating() bool { f := flag.Lookup("update"); return f != nil && f.Value.String() == "true" }

// screens is where the golden screens are.
const screens = "../testdata/screens"

// golden compares a screen with its file, or writes it with -update. Spaces at
// the ends of lines are not kept.
func golden(t testing.TB, name, view string) {
	t.Helper()
	path := filepath.Join(screens, name+".txt")
	got := tidy(view)
	if updating() {
		require.NoError(t, os.MkdirAll(screens, 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "make it with: go test ./ui -update")
	require.Equal(t, string(want), got, "%s: read the difference; if it is meant: go test ./ui -update", path)
}

func tidy(view string) string {
	lines := strings.Split(view, "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), "\n") + "\n"
}
