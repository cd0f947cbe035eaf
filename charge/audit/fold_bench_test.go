package audit_test

import (
	"path/filepath"
	"testing"

	"chargehand/charge/audit"
	"chargehand/charge/journal"
	q "chargehand/charge/quantity"
)

// BenchmarkFold judges a sound journal of about 20 events by every rule: the
// whole fold, belief included. BenchmarkRaw reads it from the disk and judges
// it by the rules that need the entries alone.
func BenchmarkFold(b *testing.B) {
	lines, report, err := journal.Read(filepath.Join("..", "..", "testdata", "journals", "orifice.jsonl"))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(lines)), "events")
	for b.Loop() {
		if fs := audit.Findings(lines, report, q.US); len(fs) != 0 {
			b.Fatal(fs)
		}
	}
	each := b.Elapsed().Seconds() / float64(b.N)
	b.Logf("bar: replay and audit with the whole fold, a log of %d events | 1,000 logs a second on two cores | %.0f a second, one after the other | go test ./charge/audit -run '^$' -bench Fold", len(lines), 1/each)
}

func BenchmarkRaw(b *testing.B) {
	path := filepath.Join("..", "..", "testdata", "journals", "orifice.jsonl")
	for b.Loop() {
		lines, report, err := journal.Read(path)
		if err != nil {
			b.Fatal(err)
		}
		if fs := audit.Find(audit.Of(lines, report, q.US)); len(fs) != 0 {
			b.Fatal(fs)
		}
	}
}
