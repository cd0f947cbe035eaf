package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/ui"
	"chargehand/ui/prefs"
	"chargehand/ui/uitest"
)

// steering are texts that act on a terminal, hide, or turn what is beside them
// round: control sequences of ECMA-48 with C0 and C1 introducers, the clipboard
// and title commands terminals add, and Unicode's format characters.
var steering = []string{
	"\x1b[31mred", "\x1b]0;title\x07", "\x1b]52;c;ZWNobw==\x1b\\", "\x1b[6n", "\x1bc", "\u009b31m", "\u009d0;title\u009c", "\x07", "\x08\x08", "\x7f",
	"a\x00b", "\u0085", "\u202egnihtemos", "\u2066x\u2069", "\u200bhidden", "\u200e", "\u061c", "\ufeff", "\u2028next", "\U000e0041tag", "\ufffd",
}

// escaped writes s as JSON with nothing but ASCII, so that the line itself is
// harmless and only its meaning is not.
func escaped(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteString(`\` + string(r))
		case r > 0xffff:
			r -= 0x10000
			fmt.Fprintf(&b, `\u%04x\u%04x`, 0xd800+r>>10, 0xdc00+r&0x3ff)
		case r < ' ' || r > '~':
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteRune(r)
		}
	}
	return `"` + b.String() + `"`
}

// TestTrustSteeringRefused: in every text, word, time, quantity and field name, raw or
// escaped, such a text is refused, and the refusal does not carry it on.
func TestTrustSteeringRefused(t *testing.T) {
	const at = `"at":"2026-06-01T13:00:00Z"`
	lines := []string{feedSetup}
	for _, s := range steering {
		for _, q := range []string{`"` + s + `"`, escaped(s)} {
			lines = append(lines,
				`{"kind":"setup",`+at+`,"refrigerant":"R-410A","unit":`+q+`}`,
				`{"kind":"setup",`+at+`,"technician":`+q+`}`,
				`{"kind":"setup",`+at+`,"refrigerant":`+q+`}`,
				`{"kind":"note",`+at+`,"text":`+q+`}`,
				`{"kind":"check",`+at+`,"item":"filter","state":"ok","note":`+q+`}`,
				`{"kind":"check",`+at+`,"item":`+q+`,"state":"ok"}`,
				`{"kind":"override",`+at+`,"rule":`+q+`,"why":"x","by":"x"}`,
				`{"kind":"override",`+at+`,"rule":"air-side","why":`+q+`,"by":`+q+`}`,
				`{"kind":"void",`+at+`,"voids":1,"why":`+q+`}`,
				`{"kind":"close",`+at+`,"why":`+q+`}`,
				`{"kind":"note","at":`+q+`,"text":"x"}`,
				`{"kind":`+q+`,`+at+`}`,
				`{"kind":"reading",`+at+`,"suction_pressure":`+q+`}`,
				`{"kind":"reading",`+at+`,"sight_glass":`+q+`}`,
				`{"kind":"note",`+at+`,"text":"x",`+q+`:"x"}`,
				`{"kind":"note",`+at+`,"text":"x",`+q+`:"x",`+q+`:"x"}`,
			)
		}
	}
	path := filepath.Join(t.TempDir(), "job.jsonl")
	code, out, errs := runIn(strings.NewReader(strings.Join(lines, "\n")+"\n"), "feed", "--journal", path)
	require.Zero(t, code, errs)
	requireNoSteering(t, out)
	requireNoSteering(t, errs)
	answers := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	require.Len(t, answers, len(lines))
	for i, a := range answers[1:] {
		require.True(t, strings.HasPrefix(a, `{"kind":"refused"`), "%q: %s", lines[i+1], a)
		require.True(t, json.Valid([]byte(a)), a)
	}
	require.Equal(t, 1, strings.Count(contents(t, path), "\n"), "nothing of it is recorded")
	t.Logf("%d lines refused", len(lines)-1)
}

// spoken is what may stand in a note and means something elsewhere: markup of
// HTML, Markdown and shells, formulas of spreadsheets, separators, line feeds.
const spoken = "two\nlines\tand <script>alert(1)</script> <img src=x onerror=alert(1)> | `rm` [link](javascript:alert(1)) \"'&; =cmd|' /C calc'!A0 ../../../etc/passwd $(id) e\u0301\u0301 é"

// chained is a journal made by hand, with hashes that fit, as somebody might who
// wants to bring a text in that the command refuses.
func chained(bodies ...string) string {
	var b strings.Builder
	prev := strings.Repeat("0", 64)
	for i, body := range bodies {
		head := fmt.Sprintf(`{"n":%d,`, i+1)
		if i == 0 {
			head += `"format":"chargehand/1",`
		}
		line := head + strings.TrimSuffix(body[1:], "}") + `,"prev":"` + prev + `"}`
		prev = fmt.Sprintf("%x", sha256.Sum256([]byte(line)))
		b.WriteString(line + "\n")
	}
	return b.String()
}

// hostile writes a folder of journals whose texts mean harm: one that is whole, and
// such as break at a text with control characters.
func hostile(t *testing.T) (dir string, files []string) {
	t.Helper()
	dir = t.TempDir()
	q, _ := json.Marshal(spoken)
	whole := []string{
		fmt.Sprintf(`{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-410A","capacity":"3 ton","unit":%[1]s,"technician":%[1]s,"cylinder_refrigerant":"R-410A","<b>x</b>":"\u001b[31m\u009b31m\u202e%[2]s","=1+1":[{"deep":"\u001b]0;x\u0007"}]}`, q, "\u009b31m\u202e"),
		feedRead,
		fmt.Sprintf(`{"kind":"note","at":"2026-06-01T13:21:00Z","text":%s}`, q),
		fmt.Sprintf(`{"kind":"check","at":"2026-06-01T13:22:00Z","item":"filter","state":"ok","note":%s}`, q),
		fmt.Sprintf(`{"kind":"override","at":"2026-06-01T13:23:00Z","rule":"air-side","why":%[1]s,"by":%[1]s}`, q),
		`{"kind":"weighed","at":"2026-06-01T13:24:00Z","amount":"8 oz"}`,
		fmt.Sprintf(`{"kind":"void","at":"2026-06-01T13:25:00Z","voids":6,"why":%s}`, q),
		fmt.Sprintf(`{"kind":"close","at":"2026-06-01T13:26:00Z","why":%s}`, q),
	}
	add := func(name, content string) {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(content), 0o600))
		files = append(files, path)
	}
	add("whole.jsonl", chained(whole...))
	for i, s := range steering {
		for k, bad := range []string{
			`{"kind":"note","at":"2026-06-01T13:30:00Z","text":` + escaped(s) + `}`,
			`{"kind":` + escaped(s) + `,"at":"2026-06-01T13:30:00Z"}`,
			`{"kind":"note","at":"2026-06-01T13:30:00Z","text":"x",` + escaped(s) + `:1}`,
			`{"kind":"reading","at":` + escaped(s) + `,"suction_line":"x"}`,
		} {
			if i%4 == k { // each text once, each place several times
				add(fmt.Sprintf("bad%d.jsonl", i), chained(whole[0], whole[2], bad))
			}
		}
	}
	return dir, files
}

// TestTrustTextShown: no command that shows a record lets one of its texts steer
// the terminal, become markup, or break out of a table.
func TestTrustTextShown(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	dir, files := hostile(t)
	for _, f := range files {
		for _, args := range [][]string{
			{"replay", "--plain"}, {"replay", "--audit"}, {"report", "--html"}, {"report", "--md"}, {"report", "--csv"}, {"report", "--json"}, {"feed", "--journal"},
		} {
			code, out, errs := runIn(strings.NewReader(""), append(args, f)...)
			assert.Contains(t, []int{ExitOK, ExitFound, ExitNoStart}, code)
			requireNoSteering(t, out, "%v", args)
			requireNoSteering(t, errs, "%v", args)
			switch args[1] {
			case "--html":
				for _, s := range []string{"<script>alert", "<img src=x", "<b>x", "href=\"javascript"} {
					assert.NotContains(t, out, s)
				}
			case "--md":
				assert.NotContains(t, out, "<script>")
				assert.NotContains(t, out, "\n=cmd")
			case "--csv":
				rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
				require.NoError(t, err)
				requireNoFormula(t, rows)
			case "--json":
				require.True(t, json.Valid([]byte(out)))
			}
		}
	}
	for _, args := range [][]string{{}, {"--audit"}, {"--json"}, {"--csv"}, {"--csv", "--table", "additions"}, {"--csv", "--table", "skipped"}} {
		code, out, errs := runIn(strings.NewReader(""), append([]string{"ledger", dir}, args...)...)
		require.Zero(t, code, errs)
		requireNoSteering(t, out, "%v", args)
		requireNoSteering(t, errs, "%v", args)
		if len(args) > 0 && args[0] == "--csv" {
			rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
			require.NoError(t, err)
			requireNoFormula(t, rows)
		}
	}
}

// requireNoFormula: no cell of text begins as a spreadsheet begins a formula (OWASP,
// CSV Injection).
func requireNoFormula(t *testing.T, rows [][]string) {
	t.Helper()
	for _, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				var number json.Number
				require.NoError(t, json.Unmarshal([]byte(cell), &number), "cell %q", cell)
			}
		}
	}
}

// TestTrustTextOnScreens: the same for the screens, at several sizes, with every
// key that shows something, and with such file names.
func TestTrustTextOnScreens(t *testing.T) {
	dir, files := hostile(t)
	for i, name := range []string{"a\x1b]0;x\x07b.jsonl", "a\u009b31mb.jsonl", "a\u202eb.jsonl", "a\nb.jsonl"} {
		path := filepath.Join(dir, name)
		if os.WriteFile(path, []byte(contents(t, files[i%2])), 0o600) == nil {
			files = append(files, path)
		}
	}
	keys := strings.Fields("? q j k n <esc> e <esc> u <esc> c <esc> h a d p <esc> r <esc> t <esc> ! <tab> <enter> <esc>")
	look := func(open func(*ui.App) error) {
		for _, size := range [][2]int{{40, 20}, {120, 40}} {
			clock := uitest.NewClock()
			app := ui.New(ui.Options{Prefs: prefs.Preferences{Folder: dir}, Now: clock.Now, Zone: time.UTC, Tick: uitest.NoTick, Ring: func() {}})
			if open(app) != nil {
				return // refused, before anything is drawn
			}
			d := uitest.New(app, size[0], size[1])
			for _, k := range append([]string{""}, keys...) {
				if k != "" && !d.Quit {
					d.Type(k)
				}
				view := app.View()
				for _, line := range strings.Split(stripColours(view), "\n") {
					requireNoSteering(t, line, "%q", line)
					require.NotContains(t, line, "\t")
				}
			}
		}
	}
	for _, f := range append(files[:3:3], files[len(files)-4:]...) {
		look(func(a *ui.App) error { return a.Replay(f) })
		copied := filepath.Join(t.TempDir(), filepath.Base(f))
		if os.WriteFile(copied, []byte(contents(t, f)), 0o600) == nil {
			look(func(a *ui.App) error { return a.Log(copied) })
		}
	}
	look(func(a *ui.App) error { a.Start(); return nil })
}

// stripColours takes the sequences of colour and weight away, and no others.
func stripColours(s string) string {
	var b bytes.Buffer
	for len(s) > 0 {
		if strings.HasPrefix(s, "\x1b[") {
			if end := strings.IndexFunc(s[2:], func(r rune) bool { return r != ';' && r != ':' && (r < '0' || r > '9') }); end >= 0 && s[2+end] == 'm' {
				s = s[2+end+1:]
				continue
			}
		}
		b.WriteByte(s[0])
		s = s[1:]
	}
	return b.String()
}

// TestTrustMessages: what is typed on the command line, and names of files, come
// back in messages that steer nothing and have an end.
func TestTrustMessages(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "gone"), nil, 0o600), "a file, so that nothing can be made in it")
	for _, s := range append(append([]string{}, steering...), "\xff\xfe", strings.Repeat("x", 100_000)) {
		if strings.Contains(s, "\x00") {
			continue // no command line can hold one
		}
		gone := filepath.Join(dir, "gone", s)
		for _, args := range [][]string{
			{s}, {"feed", s}, {"feed", "--" + s}, {"feed", "--journal", gone + "/" + s}, {"replay", gone}, {"replay", "--plain", gone}, {"replay", "--width", s, "x"},
			{"report", gone}, {"report", s, "-o", gone}, {"ledger", gone}, {"ledger", dir, "--gwp", s}, {"train", s}, {"train", gone + ".json"}, {"train", s, "--source"},
			{"pt", s}, {"pt", "R-410A", s}, {"pt", "R-410A", "--table", s}, {"pt", "R-410A", "40F", "--elevation", s}, {"curve", "--refrigerant", s}, {"curve", "--capacity", s},
			{"curve", "--device", s}, {"completion", s}, {"log", gone},
		} {
			code, out, errs := runIn(strings.NewReader(""), args...)
			assert.NotEqual(t, ExitOK, code, "%.80q", args)
			requireNoSteering(t, errs, "%.80q", args)
			requireNoSteering(t, out, "%.80q", args)
			assert.LessOrEqual(t, len(errs), 20<<10)
		}
	}
}
