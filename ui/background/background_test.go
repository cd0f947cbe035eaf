package background_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The trick holds only while this package is initialised first; GODEBUG
// prints the order.
func TestInitialisedBeforeBubbleTea(t *testing.T) {
	if os.Getenv("BACKGROUND_PROBE") != "" {
		return
	}
	cmd := exec.Command(os.Args[0], "-test.run=TestInitialisedBeforeBubbleTea")
	cmd.Env = append(os.Environ(), "BACKGROUND_PROBE=1", "GODEBUG=inittrace=1")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err)
	ours := strings.Index(string(out), "init chargehand/ui/background ")
	theirs := strings.Index(string(out), "init github.com/charmbracelet/bubbletea ")
	require.Positive(t, ours+1, "this package has no init of its own any more:\n%s", out)
	require.Positive(t, theirs+1, "Bubble Tea has no init of its own any more:\n%s", out)
	require.Less(t, ours, theirs)
}
