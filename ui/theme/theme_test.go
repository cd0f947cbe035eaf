package theme

import (
	"regexp"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

func all(t Theme) []Style {
	return []Style{t.Loud, t.Strong, t.Faint, t.Label, t.Key, t.Cursor, t.Mind, t.A, t.B, t.Band, t.Point}
}

func TestThemesUseOnlyTheTerminalsOwnColours(t *testing.T) {
	lipgloss.SetColorProfile(termenv.TrueColor)
	defer lipgloss.SetColorProfile(termenv.Ascii)
	t.Setenv("NO_COLOR", "")
	own := regexp.MustCompile(`^\x1b\[(0|1|2|4|7|3[0-7]|9[0-7])(;(0|1|2|4|7|3[0-7]|9[0-7]))*m$`)
	for _, name := range []string{"dark", "light", "contrast"} {
		th := Named(name)
		assert.Equal(t, name, th.Name)
		coloured := 0
		for _, s := range all(th) {
			assert.Equal(t, "42 °F", ansi.Strip(s.Render("42 °F")), name)
			if s.on == "" {
				continue
			}
			coloured++
			assert.Regexp(t, own, s.on, name)
		}
		assert.Positive(t, coloured, name)
	}
}

func TestNoColour(t *testing.T) {
	lipgloss.SetColorProfile(termenv.TrueColor)
	defer lipgloss.SetColorProfile(termenv.Ascii)
	t.Setenv("NO_COLOR", "1")
	for _, name := range Names() {
		for _, s := range all(Named(name)) {
			assert.Equal(t, "stop", s.Render("stop"))
		}
	}
}

func TestNextStepsThroughAll(t *testing.T) {
	seen := map[string]bool{}
	for n, i := "dark", 0; i < len(Names()); n, i = Next(n), i+1 {
		seen[n] = true
	}
	assert.Len(t, seen, len(Names()))
	assert.Equal(t, "dark", Next("no such"))
}

func TestPlainCharactersWhereThereIsNothingElse(t *testing.T) {
	for _, c := range []struct {
		term, lang string
		want       bool
	}{{"xterm-256color", "en_US.UTF-8", false}, {"xterm", "", false}, {"dumb", "en_US.UTF-8", true}, {"linux", "C.UTF-8", true}, {"xterm", "C", true}} {
		t.Setenv("TERM", c.term)
		t.Setenv("LC_ALL", c.lang)
		t.Setenv("LC_CTYPE", "")
		t.Setenv("LANG", "")
		assert.Equal(t, c.want, DefaultASCII(), "%+v", c)
	}
}
