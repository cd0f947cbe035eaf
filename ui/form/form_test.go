package form

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"chargehand/ui/part"
	"chargehand/ui/theme"
	"chargehand/ui/uitest"
)

func row() *Form {
	return New(
		Field{Name: "a", Label: "suction", Default: "118"},
		Field{Name: "b", Label: "liquid", Default: "317"},
		Field{Name: "c", Label: "sight glass", Type: Choice, Choices: []string{"clear", "bubbles", "foam"}},
		Field{Name: "d", Label: "note", Type: Free},
	)
}

func typed(f *Form, script string) (last Outcome) {
	for len(script) > 0 {
		if script[0] == '<' {
			end := strings.IndexByte(script, '>')
			last = f.Key(uitest.Key(script[1:end]))
			script = script[end+1:]
			continue
		}
		r := []rune(script)[0]
		script = script[len(string(r)):]
		last = f.Key(uitest.Rune(r))
	}
	return last
}

func TestSpaceGoesOnAndDefaultsStand(t *testing.T) {
	f := row()
	typed(f, " 320 f ")
	assert.Equal(t, "118", f.Value("a"))
	assert.False(t, f.Fields[0].Typed())
	assert.Equal(t, "320", f.Value("b"))
	assert.Equal(t, "foam", f.Value("c"))
	assert.Equal(t, 3, f.At)
	assert.Equal(t, Accept, typed(f, "two words, even; three<enter>"))
	assert.Equal(t, "two words, even; three", f.Value("d"))
}

func TestBackspaceMendsTheFieldBefore(t *testing.T) {
	f := row()
	typed(f, "12 <backspace>")
	assert.Equal(t, 0, f.At, "an empty field: the slip was in the one before")
	typed(f, "<backspace><backspace>119")
	assert.Equal(t, "119", f.Value("a"))
	typed(f, "<ctrl+u>")
	assert.Equal(t, "118", f.Value("a"), "emptied: the default stands again")
}

func TestEditingInside(t *testing.T) {
	f := row()
	typed(f, "1234<left><left>.<home>-<end>5<left><delete>")
	assert.Equal(t, "-12.34", f.Value("a"))
}

func TestChoiceByLetterAndArrow(t *testing.T) {
	f := row()
	f.At = 2
	typed(f, "b")
	assert.Equal(t, "bubbles", f.Value("c"))
	typed(f, "<right>")
	assert.Equal(t, "foam", f.Value("c"))
	typed(f, "<right>")
	assert.Equal(t, "clear", f.Value("c"))
	typed(f, "<backspace>")
	assert.Empty(t, f.Value("c"))
}

// A row typed on over a choice loses no number.
func TestANumberTypedAtAChoiceGoesOn(t *testing.T) {
	f := New(Field{Name: "a"}, Field{Name: "glass", Type: Choice, Choices: []string{"clear", "foam"}},
		Field{Name: "note", Type: Free}, Field{Name: "b"}, Field{Name: "c"})
	typed(f, "59.2 154.7 4.1")
	assert.Equal(t, "59.2", f.Value("a"))
	assert.Empty(t, f.Value("glass"))
	assert.Equal(t, "154.7", f.Value("b"))
	assert.Equal(t, "4.1", f.Value("c"))
	f = row()
	assert.Equal(t, Ignored, typed(f, "1 2 7"), "no number is asked for behind it")
	assert.Equal(t, 2, f.At)
}

func TestAUnitTypedBehindASpaceBelongsToItsNumber(t *testing.T) {
	fields := func(behind ...Field) *Form {
		f := New(append([]Field{{Name: "a"}}, behind...)...)
		f.List = true
		return f
	}
	device := Field{Name: "b", Type: Choice, Choices: []string{"fixed orifice", "expansion valve"}}
	number, free := Field{Name: "b"}, Field{Name: "b", Type: Free}
	for _, c := range []struct {
		name, keys string
		behind     []Field
		a, b       string
	}{
		{"a unit", "9 lb", []Field{number}, "9lb", ""},
		{"pounds and ounces", "9 lb 2 oz", []Field{number, {Name: "c"}}, "9lb 2oz", ""},
		{"pounds and ounces before a choice", "9 lb 2 oz", []Field{device, {Name: "c"}}, "9lb 2oz", ""},
		{"pounds and ounces before a text", "22 lb 4 oz", []Field{free}, "22lb 4 oz", ""},
		{"a unit joined to the second", "9lb 2oz", []Field{number}, "9lb 2oz", ""},
		{"two numbers", "9lb 2", []Field{number}, "9lb", "2"},
		{"a number and a mass", "6 22lb", []Field{number}, "6", "22lb"},
		{"a letter of a choice", "9 f", []Field{device}, "9", "fixed orifice"},
		{"a text", "22 R-410A", []Field{free}, "22", "R-410A"},
		{"a text behind a number", "22 oz blend", []Field{free}, "22oz", "blend"},
		{"a unit before a value that stands", "9<tab>4<shift+tab><backspace>7 lb", []Field{number}, "7lb", "4"},
		{"a number typed on to a value that stands", "9<tab>4<shift+tab> 2", []Field{number}, "9", "42"},
		{"pounds before a choice that begins with an l", "22 lb 4 oz", []Field{{Name: "b", Type: Choice, Choices: []string{"liquid", "vapor"}}}, "22lb 4oz", ""},
		{"a choice that begins with an l", "22 l", []Field{{Name: "b", Type: Choice, Choices: []string{"liquid", "vapor"}}}, "22", "liquid"},
		{"Tab went on", "9<tab>lb", []Field{number}, "9", "lb"},
		{"rubbed out and typed anew", "9 4<backspace>lb", []Field{number}, "9", "lb"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := fields(c.behind...)
			typed(f, c.keys)
			assert.Equal(t, c.a, f.Value("a"))
			assert.Equal(t, c.b, f.Value("b"))
			assert.Empty(t, f.Value("c"))
		})
	}
}

func TestListEnter(t *testing.T) {
	f := row()
	f.List = true
	assert.Equal(t, Typing, typed(f, "5<enter>"), "goes on")
	assert.Equal(t, 1, f.At)
	assert.Equal(t, Accept, typed(f, "<enter>"), "nothing was typed here: that is all")
}

func TestKeysThatAreNoNumberStayKeys(t *testing.T) {
	f := row()
	assert.Equal(t, Ignored, typed(f, "x"))
	assert.Equal(t, Ignored, typed(f, "?"))
	assert.Equal(t, Back, typed(f, "<esc>"))
	typed(f, "446 ")
	f.At = 0
	typed(f, "kPag")
	assert.Equal(t, "446kPag", f.Value("a"))
}

func TestPasteFillsFieldAfterFieldAndNeverAccepts(t *testing.T) {
	f := row()
	out := f.Key(tea.KeyMsg{Type: tea.KeyRunes, Paste: true, Runes: []rune("  118.5\t\t 320\r\n")})
	assert.Equal(t, Typing, out)
	assert.Equal(t, "118.5", f.Value("a"))
	assert.Equal(t, "320", f.Value("b"))
	f = row()
	f.At = 3
	f.Key(tea.KeyMsg{Type: tea.KeyRunes, Paste: true, Runes: []rune("one\ntwo \x1b[31mthree")})
	assert.Equal(t, "one two [31mthree", f.Value("d"), "control characters are left out")
}

func TestShapeTellsDefaultFromTyped(t *testing.T) {
	f := row()
	typed(f, "119 ")
	assert.Equal(t, []string{"suction 119   liquid [_317]   sight glass ·   note ·"}, f.Lines(80, 5, theme.Theme{}))
	assert.Equal(t, []string{"suction 119   liquid [_317]", "sight glass ·   note ·"}, f.Lines(30, 5, theme.Theme{}))
}

func TestFormStaysInItsBox(t *testing.T) {
	names := uitest.Names()
	rapid.Check(t, func(t *rapid.T) {
		f := row()
		f.List = rapid.Bool().Draw(t, "list")
		for range rapid.IntRange(0, 40).Draw(t, "keys") {
			if rapid.Bool().Draw(t, "named") {
				f.Key(uitest.Key(rapid.SampledFrom(names).Draw(t, "key")))
			} else {
				f.Key(uitest.Rune(rapid.SampledFrom([]rune("0123456789.,- abfcxÄ日é")).Draw(t, "rune")))
			}
			require.True(t, f.At >= 0 && f.At < len(f.Fields))
		}
		w, h := rapid.IntRange(40, 90).Draw(t, "w"), rapid.IntRange(1, 6).Draw(t, "h")
		lines := f.Lines(w, h, theme.Theme{})
		require.LessOrEqual(t, len(lines), h)
		for _, l := range lines {
			require.LessOrEqual(t, part.Width(l), w, "%q", l)
		}
	})
}
