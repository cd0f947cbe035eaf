package ui

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// The tour in the README is made of the golden screens: between
// <!-- screen:NAME --> and <!-- /screen --> stands testdata/screens/NAME.txt.
// go test ./ui -update writes them anew, any other run compares.
var tour = regexp.MustCompile(`(?s)<!-- screen:([a-z0-9-]+) -->\n.*?<!-- /screen -->`)

func TestREADMEShowsTheRealScreens(t *testing.T) {
	const path = "../README.md"
	readme, err := os.ReadFile(path)
	require.NoError(t, err)
	found := 0
	want := tour.ReplaceAllFunc(readme, func(block []byte) []byte {
		found++
		name := string(tour.FindSubmatch(block)[1])
		text, err := os.ReadFile(filepath.Join(screens, name+".txt"))
		require.NoError(t, err, "the README shows a screen nobody draws")
		return []byte("<!-- screen:" + name + " -->\n```text\n" + string(text) + "```\n<!-- /screen -->")
	})
	require.Positive(t, found, "the README has no tour")
	if updating() {
		if string(want) != string(readme) {
			require.NoError(t, os.WriteFile(path, want, 0o644))
		}
		return
	}
	require.Equal(t, string(want), string(readme), "the README's screens are stale: go test ./ui -update")
}
