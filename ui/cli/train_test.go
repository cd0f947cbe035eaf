package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge/journal"
	"chargehand/charge/scenario"
)

func TestTrainLists(t *testing.T) {
	code, out, _ := run(t, "train", "--list")
	assert.Equal(t, ExitOK, code)
	for _, s := range scenario.All() {
		assert.Contains(t, out, s.Name)
		assert.Contains(t, strings.Join(strings.Fields(out), " "), s.Teaches)
	}
	for _, line := range strings.Split(out, "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	code, out, _ = run(t, "train", "--schema")
	assert.Equal(t, ExitOK, code)
	assert.True(t, json.Valid([]byte(out)))
}

func TestTrainAutoKeepsAJournalAndItsDebrief(t *testing.T) {
	file := filepath.Join(t.TempDir(), "run.jsonl")
	code, out, errs := run(t, "train", "too-hot-and-dry", "--auto", "--journal", file)
	require.Equal(t, ExitOK, code, errs)
	assert.Contains(t, out, "leave it: no target")
	lines, report, err := journal.Read(file)
	require.NoError(t, err)
	assert.True(t, report.Intact())
	assert.NotEmpty(t, lines)
	for _, ext := range []string{".debrief.txt", ".debrief.json"} {
		info, err := os.Stat(strings.TrimSuffix(file, ".jsonl") + ext)
		require.NoError(t, err)
		if runtime.GOOS != "windows" {
			assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
		}
	}
	code, _, errs = run(t, "train", "too-hot-and-dry", "--auto", "--journal", file)
	assert.Equal(t, ExitNoStart, code)
	assert.Contains(t, errs, "holds a record already")
	code, out, errs = run(t, "train", "too-hot-and-dry", "--misstep")
	assert.Equal(t, ExitOK, code, errs)
	assert.Contains(t, out, "Not sound")
	code, _, _ = run(t, "train", "--misstep")
	assert.Equal(t, ExitUsage, code)
	code, out, _ = run(t, "train", "too-hot-and-dry", "--auto", "--json", "--si")
	assert.Equal(t, ExitOK, code)
	var d scenario.Debrief
	require.NoError(t, json.Unmarshal([]byte(out), &d))
	assert.Equal(t, scenario.Sound, d.Grade)
}

func TestTrainPlaysAFileAndNamesWhatIsWrongWithIt(t *testing.T) {
	code, source, _ := run(t, "train", "weigh-in-only", "--source")
	require.Equal(t, ExitOK, code)
	dir := t.TempDir()
	good, bad := filepath.Join(dir, "good.json"), filepath.Join(dir, "bad.json")
	require.NoError(t, os.WriteFile(good, []byte(source), 0o600))
	code, out, errs := run(t, "train", good, "--auto")
	require.Equal(t, ExitOK, code, errs)
	assert.Contains(t, out, "Sound")
	require.NoError(t, os.WriteFile(bad, []byte(strings.Replace(source, `"charge_percent": 85`, `"charge_percent": 850`, 1)), 0o600))
	code, _, errs = run(t, "train", bad, "--auto")
	assert.Equal(t, ExitNoStart, code)
	assert.Regexp(t, `line \d+: hidden.charge_percent "850": is out of range`, errs)
	for _, args := range [][]string{{"train", "nothing", "--auto"}, {"train", filepath.Join(dir, "none.json"), "--auto"}, {"train", dir + "/", "--auto"}} {
		code, _, _ = run(t, args...)
		assert.Equal(t, ExitNoStart, code, args)
	}
	code, _, errs = run(t, "train") // no terminal here
	assert.Equal(t, ExitNoStart, code)
	assert.Contains(t, errs, "--auto")
}
