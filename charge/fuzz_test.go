package charge_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/quantity"
)

// FuzzParseEvent: whatever comes in, a line is an event that survives being
// written and read again, or a *Refusal with something to do. Nothing panics.
func FuzzParseEvent(f *testing.F) {
	for _, name := range sessionNames(f) {
		for _, e := range eventsOf(f, name) {
			line, err := json.Marshal(e)
			require.NoError(f, err)
			f.Add(line)
		}
	}
	for _, s := range []string{
		``, `{}`, `[]`, `null`, `{"kind":"reading"`, `{"kind":"note","at":"2026-06-01T13:41:00Z","text":"\u0000"}`,
		`{"kind":"note","at":"2026-06-01T13:41:00Z","text":"x"}{}`, "{\"kind\":\"note\",\"at\":\"2026-06-01T13:41:00Z\",\"text\":\"\xff\"}",
		`{"kind":"void","at":"2026-06-01T13:41:00Z","voids":1e3}`, `{"kind":"note","kind":"void"}`,
		`{"kind":"weighed","at":"2026-06-01T13:41:00Z","amount":"8 oz","colour":{"deep":[1,2,3]}}`,
		`{"kind":"reading","at":"9999-12-31T23:59:60Z","suction_pressure":"1e308 psig"}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		e, err := charge.ParseEvent(line)
		if err != nil {
			r, ok := err.(*charge.Refusal)
			require.True(t, ok, "%T", err)
			require.NotEmpty(t, r.Why)
			require.True(t, json.Valid(charge.AppendRefusal(nil, 1, err)))
			return
		}
		again, err := json.Marshal(e)
		require.NoError(t, err)
		require.False(t, bytes.ContainsAny(again, "\n"), "one event is one line")
		back, err := charge.ParseEvent(again)
		require.NoError(t, err, "%s", again)
		third, err := json.Marshal(back)
		require.NoError(t, err)
		assert.Equal(t, string(again), string(third))
	})
}

// FuzzSession folds any stream of lines: no panic, no number that is not one,
// a refused event changes nothing, and the totals are the sum of what stands.
func FuzzSession(f *testing.F) {
	for _, name := range []string{"orifice-after-cleaning", "wrong-refrigerant", "receiver-in-winter"} {
		var b strings.Builder
		for i, e := range eventsOf(f, name) {
			if i > 10 { // few readings: the belief is slow under the fuzzer
				break
			}
			line, err := json.Marshal(e)
			require.NoError(f, err)
			b.Write(line)
			b.WriteByte('\n')
		}
		f.Add(b.String())
	}
	f.Add(`{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-744","elevation":"-300 m"}
{"kind":"reading","at":"2026-06-01T12:00:00Z","suction_pressure":"20 inHg vac","liquid_pressure":"99 MPa","suction_line":"-459 °F","liquid_line":"2000 K","return_humidity":"0 %","return_dry_bulb":"0 K"}
{"kind":"weighed","at":"0001-01-01T00:00:00Z","amount":"-2000 kg","cylinder":"1 g"}
{"kind":"void","at":"2026-06-01T13:00:00Z","voids":3}
{"kind":"close","at":"2026-06-01T13:00:00Z"}
`)
	f.Fuzz(func(t *testing.T, stream string) {
		if len(stream) > 6000 || strings.Count(stream, "reading") > 3 {
			return
		}
		s := charge.NewSession(charge.Options{})
		lines := 0
		for line := range strings.Lines(stream) {
			if lines++; lines > 24 {
				return
			}
			e, err := charge.ParseEvent([]byte(line))
			if err != nil {
				continue
			}
			was := s.Len()
			a, err := s.Apply(e)
			if err != nil {
				require.Equal(t, was, s.Len())
				continue
			}
			require.Equal(t, was+1, s.Len())
			for _, u := range []quantity.System{quantity.US, quantity.SI} {
				out := charge.AppendAnswer(nil, &a, u)
				require.True(t, json.Valid(out), "%s", out)
				require.False(t, bytes.Contains(out, []byte("NaN")) && !bytes.Contains([]byte(stream), []byte("NaN")), "%s", out)
			}
			sum := 0.0
			for _, st := range s.Steps() {
				if w, ok := st.Event.Body.(*charge.Weighing); ok && !st.Voided {
					sum += w.Amount.Kilograms()
				}
			}
			require.InDelta(t, sum, a.TotalKg, 1e-6)
			require.GreaterOrEqual(t, a.AmountKg, 0.0)
			require.Contains(t, []charge.Action{charge.Measure, charge.Correct, charge.Wait, charge.Add, charge.Recover, charge.Stop}, a.Action)
			require.NotEmpty(t, a.Why)
		}
	})
}
