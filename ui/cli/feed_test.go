package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
)

const (
	feedSetup = `{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-410A","capacity":"3 ton"}`
	feedRead  = `{"kind":"reading","at":"2026-06-01T13:20:00Z","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}`
)

// runFeed runs the command line and gives the decoded answers.
func runFeed(t *testing.T, in string, args ...string) (answers []map[string]any, errs string, code int) {
	t.Helper()
	var out, e bytes.Buffer
	code = Main(append([]string{"feed"}, args...), &Env{In: strings.NewReader(in), Out: &out, Err: &e})
	for line := range strings.Lines(out.String()) {
		var m map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &m), "%s", line)
		answers = append(answers, m)
	}
	return answers, e.String(), code
}

// TestFeedBadLines: every line gets exactly one answer, and a bad one does no
// harm.
func TestFeedBadLines(t *testing.T) {
	lines := []string{
		feedSetup, "", "   ", "hello", "{", "[]", "null", `{"kind":"dance","at":"2026-06-01T13:00:00Z"}`,
		"\xff\xfe\xfd", "\x00\x00", `{"kind":"note","at":"2026-06-01T13:00:00Z","text":"\u001b[31mred"}`,
		strings.Repeat("x", 63<<10), strings.Repeat("y", 64<<10), strings.Repeat("z", 1<<20),
		`{"kind":"note","at":"2026-06-01T13:00:00Z","text":"` + strings.Repeat("w", 200<<10) + `"}`,
		`{"kind":"reading","at":"2026-06-01T13:20:00Z","suction_pressure":118}`, "\r", feedRead + "\r", feedRead,
	}
	got, errs, code := runFeed(t, strings.Join(lines, "\n")+"\n")
	require.Len(t, got, len(lines))
	assert.Zero(t, code)
	assert.Empty(t, errs)
	for i, a := range got {
		if i == 0 || i >= len(lines)-2 {
			assert.Equal(t, "advice", a["kind"], "line %d: %v", i+1, a)
			continue
		}
		assert.Equal(t, "refused", a["kind"], "line %d", i+1)
		assert.Equal(t, float64(i+1), a["line"])
		assert.NotEmpty(t, a["why"])
	}
	assert.Equal(t, float64(3), got[len(got)-1]["n"], "only what was taken counts")
	assert.Contains(t, got[13]["why"], "64 kB")
}

// TestFeedEnds: a last line without its line feed is answered; a byte order
// mark and an empty input are no trouble.
func TestFeedEnds(t *testing.T) {
	got, _, code := runFeed(t, "\ufeff"+feedSetup)
	require.Len(t, got, 1)
	assert.Equal(t, "advice", got[0]["kind"])
	assert.Zero(t, code)
	got, _, code = runFeed(t, "")
	assert.Empty(t, got)
	assert.Zero(t, code)
	got, _, _ = runFeed(t, strings.Repeat("x", 100<<10))
	require.Len(t, got, 1)
	assert.Equal(t, "refused", got[0]["kind"])
}

// TestFeedFlushes: each answer is there before the next line is asked for.
func TestFeedFlushes(t *testing.T) {
	in, feedIn := io.Pipe()
	feedOut, out := io.Pipe()
	done := make(chan int)
	go func() {
		done <- Main([]string{"feed"}, &Env{In: in, Out: out, Err: io.Discard})
		out.Close()
	}()
	buf := make([]byte, 1<<16)
	for _, line := range []string{feedSetup, "bad", feedRead} {
		_, err := io.WriteString(feedIn, line+"\n")
		require.NoError(t, err)
		n, err := feedOut.Read(buf)
		require.NoError(t, err)
		assert.Equal(t, byte('\n'), buf[n-1], "one whole line, at once")
		assert.Equal(t, 1, bytes.Count(buf[:n], []byte("\n")))
	}
	feedIn.Close()
	assert.Zero(t, <-done)
}

// TestFeedNewSession: a setup after a close begins a new session.
func TestFeedNewSession(t *testing.T) {
	stop := `{"kind":"close","at":"2026-06-01T14:00:00Z"}`
	in := strings.Join([]string{feedSetup, feedRead, `{"kind":"weighed","at":"2026-06-01T13:21:00Z","amount":"8 oz"}`, stop, feedSetup}, "\n")
	got, _, _ := runFeed(t, in)
	require.Len(t, got, 5)
	assert.Equal(t, float64(8), got[3]["total_oz"])
	assert.Equal(t, float64(0), got[4]["total_oz"])
	assert.Equal(t, float64(1), got[4]["n"])
	assert.Equal(t, false, got[4]["closed"])

	got, _, _ = runFeed(t, in, "--journal", filepath.Join(t.TempDir(), "job.jsonl"))
	require.Len(t, got, 5)
	assert.Equal(t, "refused", got[4]["kind"])
	assert.Contains(t, got[4]["why"], "another --journal FILE")
}

// TestFeedJournal: what was answered is in the journal, what was refused is
// not, and a journal is resumed where it stood.
func TestFeedJournal(t *testing.T) {
	path := filepath.Join(t.TempDir(), "jobs", "job.jsonl")
	got, errs, code := runFeed(t, feedSetup+"\nbad\n"+feedRead+"\n", "--journal", path)
	require.Len(t, got, 3, errs)
	assert.Zero(t, code)
	lines, report, err := journal.Read(path)
	require.NoError(t, err)
	assert.True(t, report.Intact())
	require.Len(t, lines, 2)
	assert.Equal(t, charge.KindReading, lines[1].Event.Kind())

	weigh := `{"kind":"weighed","at":"2026-06-01T13:21:00Z","amount":"8 oz"}`
	got, _, _ = runFeed(t, weigh+"\n", "--journal", path)
	require.Len(t, got, 1)
	assert.Equal(t, float64(3), got[0]["n"])
	assert.Equal(t, float64(8), got[0]["total_oz"])
	assert.NotNil(t, got[0]["superheat_F"], "the reading of the first run is known")

	// A whole session answered in one go is the same as in two.
	whole, _, _ := runFeed(t, feedSetup+"\n"+feedRead+"\n"+weigh+"\n")
	assert.Equal(t, whole[2], got[0])

	_, errs, code = runFeed(t, "", "--journal", t.TempDir())
	assert.Equal(t, ExitNoStart, code)
	assert.NotEmpty(t, errs)
}

// TestFeedSI: the same names end in _C, _K and _g.
func TestFeedSI(t *testing.T) {
	us, _, _ := runFeed(t, feedSetup+"\n"+feedRead+"\n")
	si, _, _ := runFeed(t, feedSetup+"\n"+feedRead+"\n", "--si")
	assert.InDelta(t, us[1]["superheat_F"].(float64)*5/9, si[1]["superheat_K"].(float64), 0.01)
	assert.InDelta(t, (us[1]["evaporating_F"].(float64)-32)*5/9, si[1]["evaporating_C"].(float64), 0.01)
	assert.NotContains(t, si[1], "superheat_F")
	assert.Contains(t, si[1], "total_g")
}

type brokenWriter struct{ after int }

func (w *brokenWriter) Write(p []byte) (int, error) {
	if w.after--; w.after < 0 {
		return 0, os.ErrClosed
	}
	return len(p), nil
}

// TestFeedBrokenPipe: when nobody reads the answers any more the command ends.
func TestFeedBrokenPipe(t *testing.T) {
	var errs bytes.Buffer
	code := Main([]string{"feed"}, &Env{In: strings.NewReader(feedSetup + "\n" + feedRead + "\n"), Out: &brokenWriter{after: 1}, Err: &errs})
	assert.Equal(t, ExitFound, code)
	assert.Contains(t, errs.String(), "standard output")
}

// FuzzFeed: any bytes in, one JSON object a line out.
func FuzzFeed(f *testing.F) {
	f.Add([]byte(feedSetup + "\n" + feedRead + "\nbad\n"))
	f.Add([]byte("\n\n\x00\n" + strings.Repeat("{", 300)))
	f.Add([]byte(feedSetup + "\r\n" + `{"kind":"close","at":"2026-06-01T14:00:00Z"}` + "\n" + feedSetup))
	f.Fuzz(func(t *testing.T, in []byte) {
		if bytes.Count(in, []byte("reading")) > 6 {
			return
		}
		var out bytes.Buffer
		code := Main([]string{"feed"}, &Env{In: bytes.NewReader(in), Out: &out, Err: io.Discard})
		require.Zero(t, code)
		want := bytes.Count(in, []byte("\n"))
		if len(in) > 0 && in[len(in)-1] != '\n' {
			want++
		}
		require.Equal(t, want, bytes.Count(out.Bytes(), []byte("\n")))
		for line := range bytes.Lines(out.Bytes()) {
			require.True(t, json.Valid(line), "%s", line)
		}
	})
}

// BenchmarkFeed answers 1,000 events in sessions of 25 and reports the 99th
// percentile of one line in, one line out.
func BenchmarkFeed(b *testing.B) {
	var in []string
	for len(in) < 1000 {
		at := time.Date(2026, 6, 1, 13, 0, 0, 0, time.UTC)
		line := func(format string, args ...any) {
			in = append(in, fmt.Sprintf(`{"at":%q,`, at.Format(time.RFC3339))+fmt.Sprintf(format, args...)+"}")
			at = at.Add(12 * time.Minute)
		}
		line(`"kind":"setup","refrigerant":"R-410A","capacity":"5 ton","nameplate_charge":"9 lb 14 oz"`)
		for _, i := range charge.Items() {
			line(`"kind":"check","item":%q,"state":"ok"`, i)
		}
		for k := range 8 {
			x := float64(k)
			line(`"kind":"reading","suction_pressure":"%.1f psig","liquid_pressure":"%.1f psig","suction_line":"%.1f °F","liquid_line":"%.1f °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"`,
				108+1.5*x, 340+4*x, 72-2.4*x, 103.5-0.2*x)
			line(`"kind":"weighed","amount":"%g oz"`, 6-0.5*x)
		}
		line(`"kind":"close"`)
	}
	f := &feed{}
	f.begin()
	f.answer(nil, 1, []byte(in[0]), false) // first use of the refrigerant
	var took []time.Duration
	var out []byte
	for b.Loop() {
		f.begin()
		for i, l := range in {
			start := time.Now()
			out = f.answer(out[:0], i+1, []byte(l), false)
			took = append(took, time.Since(start))
			if bytes.HasPrefix(out, []byte(`{"kind":"refused"`)) {
				b.Fatalf("%s: %s", l, out)
			}
		}
	}
	slices.Sort(took)
	p99 := float64(took[len(took)*99/100].Microseconds()) / 1e3
	b.ReportMetric(p99, "p99-ms")
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1e3, "p50-ms")
	b.Logf("bar: feed answers 1,000 events, p99 of one | 20 ms | %.1f ms | go test ./ui/cli -run '^$' -bench Feed", p99)
}
