package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// runLine runs a command line with nothing on standard input.
func runLine(t *testing.T, args ...string) (code int, out, errs string) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("LC_ALL", "en_US.UTF-8")
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	var o, e bytes.Buffer
	code = Main(args, &Env{In: strings.NewReader(""), Out: &o, Err: &e})
	return code, o.String(), e.String()
}

const story = "../../testdata/journals/orifice.jsonl"

func TestScreensNeedATerminal(t *testing.T) {
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{nil, ExitUsage, "name a command"},
		{[]string{"log"}, ExitNoStart, "chargehand feed"},
		{[]string{"replay", story}, ExitNoStart, "--plain"},
	} {
		code, out, errs := runLine(t, c.args...)
		assert.Equal(t, c.code, code, "%v", c.args)
		assert.Empty(t, out)
		assert.Contains(t, errs, c.says)
	}
}

func TestReplayPlain(t *testing.T) {
	code, out, errs := runLine(t, "replay", story, "--plain", "--utc", "--width", "72")
	require.Equal(t, ExitOK, code, errs)
	assert.True(t, strings.HasPrefix(out, "record of "))
	for _, l := range strings.Split(out, "\n") {
		assert.LessOrEqual(t, len([]rune(l)), 72, l)
	}
	_, si, _ := runLine(t, "replay", story, "--plain", "--si")
	assert.Contains(t, si, " K")
	assert.NotContains(t, strings.ReplaceAll(si, ": ", ""), "told: ADD 8 oz")
}

func TestReplayExitCodes(t *testing.T) {
	data, err := os.ReadFile(story)
	require.NoError(t, err)
	broken := filepath.Join(t.TempDir(), "broken.jsonl")
	lines := bytes.Split(data, []byte("\n"))
	lines[1] = bytes.Replace(lines[1], []byte(`"kind":`), []byte(`"kind" :`), 1)
	require.NoError(t, os.WriteFile(broken, bytes.Join(lines, []byte("\n")), 0o600))

	code, out, errs := runLine(t, "replay", broken, "--plain")
	assert.Equal(t, ExitFound, code)
	assert.Contains(t, out, "THE CHAIN BREAKS HERE")
	assert.Contains(t, errs, "the chain of hashes breaks")

	code, out, _ = runLine(t, "replay", broken, "--audit")
	assert.Equal(t, ExitFound, code, "a broken chain is serious")
	assert.NotEmpty(t, out)

	code, _, errs = runLine(t, "replay", filepath.Join(t.TempDir(), "none.jsonl"), "--plain")
	assert.Equal(t, ExitNoStart, code)
	assert.Contains(t, errs, "none.jsonl")

	code, _, errs = runLine(t, "replay", story, "--plain", "--width", "12")
	assert.Equal(t, ExitUsage, code)
	assert.Contains(t, errs, "40 columns")
}

func TestScreenCommandsHaveExamples(t *testing.T) {
	for _, cmd := range []string{"log", "replay", "start"} {
		code, out, _ := runLine(t, cmd, "--help")
		assert.Equal(t, ExitOK, code)
		assert.Contains(t, out, "Example", cmd)
		assert.Contains(t, out, "chargehand", cmd)
	}
}
