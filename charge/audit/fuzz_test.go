package audit

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"chargehand/charge"
	"chargehand/charge/ledger"
)

// FuzzFind puts every rule to whatever events can be parsed, with and without
// answers, and wants sentences a terminal can show.
func FuzzFind(f *testing.F) {
	f.Add([]byte(sound))
	f.Add([]byte(`{"kind":"weighed","at":"2026-06-02T09:32:00Z","amount":"-4 oz"}` + "\n" + `{"kind":"void","at":"2026-06-02T09:32:00Z","voids":1}`))
	f.Add([]byte(`{"kind":"close","at":"0001-01-01T00:00:00Z","\u001b[2J":1}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var events []charge.Event
		for _, line := range bytes.Split(data, []byte{'\n'}) {
			if e, err := charge.ParseEvent(line); err == nil && len(events) < 40 {
				events = append(events, e)
			}
		}
		ledger.JobOf("f", events)
		for _, told := range [][]charge.Advice{nil, make([]charge.Advice, len(events))} {
			fs := Find(Record{Events: events, Told: told, Chain: Chain{Breaks: []Break{{2, "x"}}}})
			if err := Print(io.Discard, fs, 40); err != nil {
				t.Fatal(err)
			}
			for _, x := range fs {
				if strings.Contains(x.Says, "%!") {
					t.Fatalf("a broken sentence: %q", x.Says)
				}
				for _, r := range x.Says {
					if r < 0x20 || r >= 0x7f && r < 0xa0 {
						t.Fatalf("%U in %q", r, x.Says)
					}
				}
			}
		}
	})
}
