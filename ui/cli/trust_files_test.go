package cli

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/ui"
	"chargehand/ui/desk"
	"chargehand/ui/prefs"
	"chargehand/ui/uitest"
)

// within fails the test where a command does not come back.
func within(t *testing.T, d time.Duration, args ...string) (code int, out, errs string) {
	t.Helper()
	type answer struct {
		code      int
		out, errs string
	}
	done := make(chan answer, 1)
	go func() {
		var a answer
		a.code, a.out, a.errs = runIn(strings.NewReader(feedSetup+"\n"), args...)
		done <- a
	}()
	select {
	case a := <-done:
		return a.code, a.out, a.errs
	case <-time.After(d):
		t.Fatalf("%v hangs", args)
		return
	}
}

// snapshot is all that is below dir: names, kinds, permissions, contents.
func snapshot(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		fi, err := d.Info()
		if err != nil {
			return err
		}
		all[path] = fi.Mode().String()
		if fi.Mode().IsRegular() && fi.Size() < 1<<20 {
			all[path] += contents(t, path)
		}
		return nil
	}))
	return all
}

// TestTrustNoJournal: whatever stands where a journal is expected, every command
// comes back, says what it is, and leaves it and all around it as it was.
func TestTrustNoJournal(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "none"))
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	good := filepath.Join(dir, "good.jsonl")
	record(t, good, feedSetup, note(1, "invented"))
	whole := contents(t, good)
	units := utf16.Encode([]rune(whole))
	wide := make([]byte, 2*len(units))
	for i, u := range units {
		binary.LittleEndian.PutUint16(wide[2*i:], u)
	}
	for name, content := range map[string]string{
		"utf-16":   "\xff\xfe" + string(wide),
		"latin-1":  strings.ReplaceAll(whole, "invented", "caf\xe9"),
		"mark":     "\ufeff" + whole,
		"cr-lf":    strings.ReplaceAll(whole, "\n", "\r\n"),
		"one-line": strings.Repeat("x", 200_000),
		"brackets": strings.Repeat("[", 100_000),
		"objects":  strings.Repeat(`{"a":`, 50_000) + "\n",
		"feed":     feedSetup + "\n" + feedRead + "\n",
		"page":     "<!DOCTYPE html>\n<html></html>\n",
		"lines":    strings.Repeat("\n", 10_000),
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".jsonl"), []byte(content), 0o600))
	}
	large, err := os.Create(filepath.Join(dir, "large.jsonl"))
	require.NoError(t, err)
	require.NoError(t, large.Truncate(1<<40), "a hole of a terabyte")
	require.NoError(t, large.Close())
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder.jsonl"), 0o700))
	special(t, dir)
	paths, err := filepath.Glob(filepath.Join(dir, "*.jsonl"))
	require.NoError(t, err)
	paths = append(paths, devices...)
	paths = append(paths, filepath.Join(good, "below-a-file"), "")

	before := snapshot(t, dir)
	for i, p := range paths {
		if p == good {
			continue
		}
		lines := [][]string{{"replay", "--plain", p}, {"replay", "--audit", p}, {"report", p}, {"report", "--csv", p}, {"feed", "--journal", p}}
		if i%6 == 0 { // it plays the lesson first, which takes its time
			lines = append(lines, []string{"train", "humid", "--misstep", "--journal", p})
		}
		for _, args := range lines {
			code, _, errs := within(t, 20*time.Second, args...)
			if args[0] != "report" { // which makes a page of the part that verifies
				assert.Contains(t, []int{ExitFound, ExitNoStart}, code, "%v: %s", args, errs)
			}
			assert.NotEmpty(t, errs, "%v", args)
			assert.NotContains(t, errs, "goroutine ")
		}
	}
	code, out, errs := within(t, 20*time.Second, "ledger", dir, "--csv", "--table", "skipped")
	assert.Zero(t, code, errs)
	assert.Greater(t, strings.Count(out, "\n"), 10)
	after := snapshot(t, dir)
	for path := range after {
		if strings.HasSuffix(path, ".lock") {
			delete(after, path) // which a damaged journal was looked at under
		}
	}
	delete(before, good+".lock")
	for path := range before {
		assert.Equal(t, before[path], after[path], path)
	}
	assert.Len(t, after, len(before))
}

// TestTrustWrites: all that commands write is for their user alone, and lies where
// it was asked for.
func TestTrustWrites(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("permissions are lists there, and inherited")
	}
	root := t.TempDir()
	dir := filepath.Join(root, "deep", "er")
	job := filepath.Join(dir, "job.jsonl")
	code, _, errs := runIn(strings.NewReader(feedSetup+"\n"+note(1, "x")), "feed", "--journal", job)
	require.Zero(t, code, errs)
	f, err := os.OpenFile(job, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString(`{"n":3,"ki`)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	code, _, errs = runIn(strings.NewReader(""), "feed", "--journal", job)
	require.Zero(t, code, errs)
	for _, form := range []string{"--html", "--md", "--csv", "--json"} {
		code, _, errs = runIn(strings.NewReader(""), "report", job, form, "-o", filepath.Join(dir, "page"+form))
		require.Zero(t, code, errs)
	}
	code, _, errs = runIn(strings.NewReader(""), "train", "humid", "--misstep", "--journal", filepath.Join(dir, "lesson", "run.jsonl"))
	require.Zero(t, code, errs)
	seen := 0
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		require.NoError(t, err)
		if path == root {
			return nil
		}
		seen++
		fi, err := d.Info()
		require.NoError(t, err)
		assert.Zero(t, fi.Mode().Perm()&0o077, "%s %s", path, fi.Mode())
		return nil
	}))
	assert.Equal(t, 3+3+4+4, seen, "folders, job with lock and torn tail, pages, lesson with lock and debriefs")
}

// TestTrustRecordsKept: no command writes a page over a record, or through a link.
func TestTrustRecordsKept(t *testing.T) {
	dir := t.TempDir()
	job := filepath.Join(dir, "job.jsonl")
	record(t, job, feedSetup, note(1, "x"))
	other := filepath.Join(dir, "renamed.html")
	require.NoError(t, os.WriteFile(other, []byte(contents(t, job)), 0o600))
	precious := filepath.Join(dir, "precious")
	require.NoError(t, os.WriteFile(precious, []byte("precious"), 0o600))
	links := []string{filepath.Join(dir, "page.html"), filepath.Join(dir, "run.debrief.txt"), filepath.Join(dir, "run.debrief.json")}
	for _, l := range links {
		if err := os.Symlink(precious, l); err != nil {
			t.Skip("no symbolic links here: ", err)
		}
	}
	before := snapshot(t, dir)
	for _, o := range []string{job, other, links[0], dir, filepath.Join(dir, "new.jsonl")} {
		code, _, errs := runIn(strings.NewReader(""), "report", job, "-o", o)
		assert.Equal(t, ExitNoStart, code, o)
		assert.NotEmpty(t, errs)
	}
	assert.Equal(t, before, snapshot(t, dir))
	code, _, _ := runIn(strings.NewReader(""), "train", "humid", "--misstep", "--journal", filepath.Join(dir, "run.jsonl"))
	assert.Equal(t, ExitNoStart, code)
	assert.Equal(t, "precious", contents(t, precious))
}

// TestTrustLabelsAsFileNames: a job's journal is named after the unit's label,
// and stays in its folder whatever the label is.
func TestTrustLabelsAsFileNames(t *testing.T) {
	for _, label := range []string{
		"../../etc/passwd", `..\..\windows\system32`, "/etc/passwd", "C:\\boot.ini", "a/b/c", ".", "..", "...", "~", "~root/x", "$HOME", "`id`", "-rf", "--help", "CON", "nul", "aux.txt",
		"a.jsonl", ".hidden", "x\ny", strings.Repeat("long ", 400), strings.Repeat("°", 500), "日本語の機械", "file://etc", "%2e%2e%2f", "a:stream", " ", "\t",
	} {
		root := t.TempDir()
		folder := filepath.Join(root, "jobs")
		q := strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(label, `\`, `\\`), "\n", `\n`), "\t", `\t`), `"`, `\"`)
		e, err := charge.ParseEvent([]byte(`{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-410A","unit":"` + q + `"}`))
		if err != nil {
			continue // too long for a label
		}
		r := desk.Lazy(folder)
		_, err = r.Append(e)
		require.NoError(t, err, label)
		path := r.Path()
		require.NoError(t, r.Close())
		assert.Equal(t, folder, filepath.Dir(path), label)
		assert.Regexp(t, `^2026-06-01-1300[a-z0-9-]{0,34}\.jsonl$`, filepath.Base(path))
		entries, err := os.ReadDir(root)
		require.NoError(t, err)
		assert.Len(t, entries, 1, label)
	}
}

// TestTrustJobsTogether: jobs with the same label, begun in the same minute by several
// programs, have a journal each.
func TestTrustJobsTogether(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "jobs")
	const programs = 24
	paths := make(chan string, programs)
	for i := range programs {
		go func() {
			e, err := charge.ParseEvent([]byte(feedSetup))
			r := desk.Lazy(folder)
			if err == nil {
				_, err = r.Append(e)
			}
			if err == nil && i%2 == 0 {
				err = r.Close()
			}
			if err != nil {
				paths <- err.Error()
				return
			}
			paths <- r.Path()
		}()
	}
	seen := map[string]bool{}
	for range programs {
		path := <-paths
		require.False(t, seen[path], path)
		seen[path] = true
		require.Equal(t, 1, strings.Count(contents(t, path), "\n"))
	}
}

// TestTrustLinkedFolder: a folder of journals reached through a link is not an
// empty one.
func TestTrustLinkedFolder(t *testing.T) {
	dir := t.TempDir()
	record(t, filepath.Join(dir, "jobs", "job.jsonl"), feedSetup, `{"kind":"weighed","at":"2026-06-01T13:21:00Z","amount":"8 oz"}`)
	link := filepath.Join(dir, "link")
	if err := os.Symlink("jobs", link); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	code, out, errs := runIn(strings.NewReader(""), "ledger", link)
	require.Zero(t, code, errs)
	require.Contains(t, out, "1 journal")
}

// TestTrustFolderOfAnything: a journals' folder with pipes, devices, links, junk and a
// thousand records still opens on the start screen.
func TestTrustFolderOfAnything(t *testing.T) {
	dir := t.TempDir()
	record(t, filepath.Join(dir, "good.jsonl"), feedSetup, note(1, "x"))
	special(t, dir)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder.jsonl"), 0o700))
	whole := contents(t, filepath.Join(dir, "good.jsonl"))
	for i := range 1000 {
		require.NoError(t, os.WriteFile(filepath.Join(dir, fmt.Sprintf("%d.jsonl", i)), []byte(whole[:len(whole)-i%3]), 0o600))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "junk.jsonl"), []byte("\x00\xff"), 0o600))
	done := make(chan string, 1)
	go func() {
		app := ui.New(ui.Options{Prefs: prefs.Preferences{Folder: dir}, Tick: uitest.NoTick, Ring: func() {}})
		app.Start()
		d := uitest.New(app, 80, 24)
		first := app.View()
		d.Type("jjjj?")
		done <- first
	}()
	select {
	case first := <-done:
		require.Contains(t, first, "new job")
	case <-time.After(20 * time.Second):
		t.Fatal("the start screen hangs")
	}
}

// TestTrustNoTerminal: the null device is a character device too, but nobody sits
// at it.
func TestTrustNoTerminal(t *testing.T) {
	null, err := os.OpenFile(os.DevNull, os.O_RDWR, 0)
	require.NoError(t, err)
	defer null.Close()
	for _, args := range [][]string{nil, {"log"}, {"replay", "x.jsonl"}, {"train"}} {
		var errs bytes.Buffer
		code := Main(args, &Env{In: null, Out: null, Err: &errs})
		assert.Contains(t, []int{ExitUsage, ExitNoStart}, code, "%v", args)
		assert.Contains(t, errs.String(), "terminal", "%v", args)
	}
}

// TestTrustPreferences: nothing in place of the preferences keeps a command from
// its work.
func TestTrustPreferences(t *testing.T) {
	job := filepath.Join(t.TempDir(), "job.jsonl")
	record(t, job, feedSetup, note(1, "x"))
	for name, make := range map[string]func(path string) error{
		"folder": func(p string) error { return os.Mkdir(p, 0o700) },
		"large":  func(p string) error { return os.WriteFile(p, bytes.Repeat([]byte(" "), 2<<20), 0o600) },
		"deep":   func(p string) error { return os.WriteFile(p, bytes.Repeat([]byte("["), 1<<20), 0o600) },
		"escape": func(p string) error {
			return os.WriteFile(p, []byte(`{"technician":"\u001b[31m","folder":"\u001b]0;x\u0007","theme":"\u009b","units":1}`), 0o600)
		},
		"device": func(p string) error {
			if len(devices) == 0 {
				return fs.ErrNotExist
			}
			return os.Symlink(devices[0], p)
		},
		"pipe": pipe,
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			t.Setenv("XDG_CONFIG_HOME", dir)
			xdg.Reload()
			t.Cleanup(xdg.Reload)
			require.NoError(t, os.Mkdir(filepath.Join(dir, "chargehand"), 0o700))
			if err := make(filepath.Join(dir, "chargehand", "preferences.json")); err != nil {
				t.Skip(err)
			}
			code, out, errs := within(t, 10*time.Second, "replay", "--plain", job)
			assert.Zero(t, code)
			assert.Contains(t, out, "record of")
			assert.Contains(t, errs, "the file is left as it is")
			requireNoSteering(t, errs)
		})
	}
}

// TestTrustDiskOfAnswersFull: a command whose output cannot be written says so
// and does not end as if all were well.
func TestTrustDiskOfAnswersFull(t *testing.T) {
	job := filepath.Join(t.TempDir(), "job.jsonl")
	record(t, job, feedSetup, note(1, "x"))
	for _, args := range [][]string{
		{"replay", "--plain", job}, {"replay", "--audit", job}, {"report", job}, {"report", "--md", job}, {"report", "--csv", job}, {"report", "--json", job},
		{"ledger", filepath.Dir(job)}, {"ledger", filepath.Dir(job), "--json"}, {"ledger", filepath.Dir(job), "--csv"}, {"pt", "R-410A"}, {"pt", "R-410A", "--csv"}, {"pt", "R-410A", "40F", "--json"},
		{"curve", "--charge", "100"}, {"curve", "--charge", "100", "--json"}, {"curve", "--charge", "100", "--csv"},
		{"train", "--list"}, {"train", "--schema"}, {"train", "humid", "--source"}, {"train", "humid", "--misstep"}, {"train", "humid", "--misstep", "--json"},
		{"feed"}, {"man"}, {"completion", "bash"}, {"--help"}, {"feed", "--help"}, {"--version"},
	} {
		var errs bytes.Buffer
		code := Main(args, &Env{In: strings.NewReader(feedSetup + "\n"), Out: &brokenWriter{}, Err: &errs})
		assert.NotEqual(t, ExitOK, code, "%v", args)
		assert.Contains(t, errs.String(), os.ErrClosed.Error(), "%v", args)
	}
}
