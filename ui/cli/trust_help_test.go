package cli

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
)

// commandEnv makes the test binary be the command itself, so that tests can
// start, kill and starve real processes.
const commandEnv = "CHARGEHAND_TEST_COMMAND"

func init() {
	if os.Getenv(commandEnv) != "" {
		os.Exit(Main(os.Args[1:], &Env{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}))
	}
}

// command is the command line as a process of its own.
func command(args ...string) *exec.Cmd {
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), commandEnv+"=1")
	return cmd
}

// steers gives the first character in s that a terminal would act on or that
// cannot be seen, "" if there is none.
func steers(s string) string {
	for i, r := range s {
		_, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			return fmt.Sprintf("byte %#x at %d", s[i], i)
		case r == '\n', r == '\t', r == 0x200c, r == 0x200d:
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp):
			return fmt.Sprintf("%U at %d", r, i)
		}
	}
	return ""
}

func requireNoSteering(t *testing.T, s string, what ...any) {
	t.Helper()
	require.Empty(t, steers(s), what...)
}

// note is a note of an invented session, i seconds into it.
func note(i int, text string) string {
	return fmt.Sprintf(`{"kind":"note","at":"2026-06-01T%02d:%02d:%02dZ","text":%q}`, 13+i/3600, i/60%60, i%60, text)
}

// record writes a journal of the events given.
func record(t *testing.T, path string, lines ...string) {
	t.Helper()
	j, _, err := journal.Open(path)
	require.NoError(t, err)
	for _, l := range lines {
		e, err := charge.ParseEvent([]byte(l))
		require.NoError(t, err, l)
		_, err = j.Append(e)
		require.NoError(t, err)
	}
	require.NoError(t, j.Close())
}

// contents is what a file holds.
func contents(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(b)
}

// runIn runs a command line in this process.
func runIn(in io.Reader, args ...string) (code int, out, errs string) {
	var o, e strings.Builder
	code = Main(args, &Env{In: in, Out: &o, Err: &e})
	return code, o.String(), e.String()
}
