package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge/journal"
	"chargehand/charge/ledger"
)

// inventedJournal is a job of 20 events as the journal writes them.
func inventedJournal(unit string, day int, ounces float64) []byte {
	at := time.Date(2026, 1, 1, 9, 0, 0, 0, time.UTC).AddDate(0, 0, day)
	prev := strings.Repeat("0", 64)
	var out bytes.Buffer
	n := 0
	line := func(body string, format string) {
		n++
		text := fmt.Sprintf(`{"n":%d,%s%s,"prev":"%s"}`, n, format, body, prev)
		sum := sha256.Sum256([]byte(text))
		prev = hex.EncodeToString(sum[:])
		out.WriteString(text)
		out.WriteByte('\n')
	}
	stamp := func() string {
		at = at.Add(4 * time.Minute)
		return at.Format(time.RFC3339)
	}
	line(fmt.Sprintf(`"kind":"setup","at":%q,"refrigerant":"R-410A","unit":%q,"capacity":"3 ton","nameplate_charge":"7 lb 8 oz","cylinder_start":"22 lb","cylinder_refrigerant":"R-410A"`, stamp(), unit),
		`"format":"`+journal.Format+`",`)
	for _, item := range []string{"filter", "evaporator-coil", "blower", "condenser-coil", "condenser-fan", "leak-search"} {
		line(fmt.Sprintf(`"kind":"check","at":%q,"item":%q,"state":"ok"`, stamp(), item), "")
	}
	for i := range 6 {
		line(fmt.Sprintf(`"kind":"reading","at":%q,"suction_pressure":"%d psig","liquid_pressure":"%d psig","suction_line":"%.1f °F","liquid_line":"103.%d °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"`,
			stamp(), 118+i, 356+2*i, 64-1.5*float64(i), i), "")
		if i < 5 {
			at = at.Add(2 * time.Minute)
			line(fmt.Sprintf(`"kind":"weighed","at":%q,"amount":"%g oz","phase":"liquid"`, stamp(), ounces/5), "")
			at = at.Add(8 * time.Minute)
		}
	}
	line(fmt.Sprintf(`"kind":"note","at":%q,"text":"invented"`, stamp()), "")
	line(fmt.Sprintf(`"kind":"close","at":%q,"cylinder_end":"%g oz","why":"in band"`, stamp(), 352-ounces), "")
	return out.Bytes()
}

func run(t *testing.T, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = Main(args, &Env{In: strings.NewReader(""), Out: &o, Err: &e})
	return code, o.String(), e.String()
}

func TestLedgerOverAFolder(t *testing.T) {
	dir := t.TempDir()
	sub := filepath.Join(dir, "2026")
	require.NoError(t, os.Mkdir(sub, 0o700))
	put := func(path string, data []byte) { require.NoError(t, os.WriteFile(path, data, 0o600)) }
	put(filepath.Join(dir, "a.jsonl"), inventedJournal("roof 1", 0, 8))
	put(filepath.Join(sub, "b.jsonl"), inventedJournal("roof 1", 90, 16))
	put(filepath.Join(sub, "c.jsonl"), inventedJournal("roof 2", 30, 4))
	broken := bytes.Replace(inventedJournal("roof 3", 30, 4), []byte(`"filter"`), []byte(`"blower"`), 1)
	put(filepath.Join(sub, "broken.jsonl"), broken)
	put(filepath.Join(sub, "other.jsonl"), []byte("{\"a\":1}\n"))
	put(filepath.Join(sub, "notes.txt"), []byte("not looked at"))
	require.NoError(t, os.Symlink(filepath.Join(dir, "a.jsonl"), filepath.Join(sub, "link.jsonl")))

	code, out, errs := run(t, "ledger", dir, "--json", "--audit")
	require.Equal(t, ExitOK, code, errs)
	var r ledger.Report
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	assert.Equal(t, 3, r.Journals)
	require.Len(t, r.Units, 2)
	assert.Equal(t, "roof 1", r.Units[0].Unit)
	assert.InDelta(t, 24*0.028349523125, r.Units[0].Flow.InKg, 1e-9)
	assert.InDelta(t, 24*0.028349523125*2.0875, float64(r.Units[0].Flow.CO2eIn), 1e-4) // AR4 2087.5
	require.Len(t, r.Units[0].Additions, 2)
	assert.InDelta(t, 100*16.0/120*365/90, float64(r.Units[0].Additions[1].Annualizing), 1e-4)
	require.Len(t, r.Skipped, 3, "%v", r.Skipped)
	assert.Contains(t, r.Skipped[0].Why, "chain breaks at line 3")

	for _, args := range [][]string{{}, {"--si"}, {"--csv"}, {"--csv", "--table", "months"}} {
		code, out, errs = run(t, append([]string{"ledger", dir}, args...)...)
		require.Equal(t, ExitOK, code, errs)
		assert.NotEmpty(t, out)
	}
	code, _, _ = run(t, "ledger", filepath.Join(dir, "nothing"))
	assert.Equal(t, ExitNoStart, code)
	code, _, _ = run(t, "ledger", filepath.Join(dir, "a.jsonl"))
	assert.Equal(t, ExitNoStart, code)
}

// BenchmarkLedgerAndAudit10000 reads 10,000 journals of 20 events, makes the
// ledger and runs the audit over each; it reports the time, and the heap that
// stays.
func BenchmarkLedgerAndAudit10000(b *testing.B) {
	dir := b.TempDir()
	const journals = 10000
	for i := range journals {
		sub := filepath.Join(dir, fmt.Sprintf("%02d", i%50))
		if i < 50 {
			if err := os.Mkdir(sub, 0o700); err != nil {
				b.Fatal(err)
			}
		}
		data := inventedJournal(fmt.Sprintf("unit %d", i%1500), i%700, float64(2+i%12))
		if err := os.WriteFile(filepath.Join(sub, fmt.Sprintf("%05d.jsonl", i)), data, 0o600); err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		r, err := gather(dir, ledger.Options{}, true)
		if err != nil || r.Journals != journals {
			b.Fatal(err, r.Journals, r.Skipped)
		}
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		b.ReportMetric(float64(m.HeapAlloc)/1e6, "MB-left")
		b.ReportMetric(float64(m.Sys)/1e6, "MB-sys")
	}
	b.Logf("bar: 10,000 journals of 20 events through ledger and audit of the entries | 10 s on two cores | %.1f s | go test ./ui/cli -run '^$' -bench LedgerAndAudit", b.Elapsed().Seconds()/float64(b.N))
}
