package cli

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReportAndAuditOfAFile(t *testing.T) {
	dir := t.TempDir()
	job, broken, page := filepath.Join(dir, "job.jsonl"), filepath.Join(dir, "broken.jsonl"), filepath.Join(dir, "page.html")
	data := inventedJournal("roof 1", 0, 10)
	require.NoError(t, os.WriteFile(job, data, 0o600))
	data[len(data)/2] ^= 1
	require.NoError(t, os.WriteFile(broken, data, 0o600))

	code, _, errs := run(t, "report", job, job, "--html", "-o", page)
	require.Equal(t, ExitOK, code, errs)
	html, err := os.ReadFile(page)
	require.NoError(t, err)
	assert.Contains(t, string(html), "roof 1")
	if info, err := os.Stat(page); err == nil && runtime.GOOS != "windows" {
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	}
	for _, form := range []string{"--md", "--csv", "--json"} {
		code, out, errs := run(t, "report", job, form, "--si")
		require.Equal(t, ExitOK, code, errs)
		assert.Contains(t, out, "roof 1")
	}
	code, out, errs := run(t, "report", broken, "--md")
	require.Equal(t, ExitOK, code, errs)
	assert.Contains(t, out, "chain breaks at line")
	code, _, _ = run(t, "report", filepath.Join(dir, "none.jsonl"))
	assert.Equal(t, ExitNoStart, code)
	code, _, _ = run(t, "report", job, "--md", "--csv")
	assert.Equal(t, ExitUsage, code)

	code, out, _ = run(t, "replay", broken, "--audit")
	assert.Equal(t, ExitFound, code)
	assert.Contains(t, out, "chain broken")
}
