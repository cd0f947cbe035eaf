package prefs

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	q "chargehand/charge/quantity"
)

func home(t *testing.T) string {
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "config"))
	t.Setenv("XDG_DATA_HOME", filepath.Join(dir, "data"))
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	return dir
}

func TestNothingToConfigure(t *testing.T) {
	dir := home(t)
	p, err := Load()
	require.NoError(t, err)
	assert.Equal(t, Preferences{}, p)
	assert.Equal(t, filepath.Join(dir, "data", "chargehand", "journals"), p.JournalFolder(), "XDG base directory specification 0.8")
}

func TestKept(t *testing.T) {
	home(t)
	want := Preferences{Units: "si", Pressure: "kPag", Elevation: "1600 m", Theme: "contrast", Bell: true, Folder: "~/jobs"}
	require.NoError(t, Save(want))
	got, err := Load()
	require.NoError(t, err)
	assert.Equal(t, want, got)
	assert.Equal(t, q.SI, got.System())
	assert.Equal(t, q.KPaG, got.PressureUnit())
}

func TestUnreadableFileIsReportedAndLeftAlone(t *testing.T) {
	home(t)
	require.NoError(t, os.MkdirAll(filepath.Dir(Path()), 0o700))
	require.NoError(t, os.WriteFile(Path(), []byte("{oops"), 0o600))
	p, err := Load()
	assert.ErrorContains(t, err, "left as it is")
	assert.Equal(t, Preferences{}, p)
	data, _ := os.ReadFile(Path())
	assert.Equal(t, "{oops", string(data))
}

func TestUnitsOfTheCountry(t *testing.T) {
	for lang, want := range map[string]q.System{"en_US.UTF-8": q.US, "de_AT.UTF-8": q.SI, "C.UTF-8": q.US, "": q.US, "en_GB": q.SI} {
		t.Setenv("LC_ALL", lang)
		t.Setenv("LC_MEASUREMENT", "")
		t.Setenv("LANG", "")
		assert.Equal(t, want, Preferences{}.System(), lang)
	}
}
