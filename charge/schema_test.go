package charge_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/quantity"
	"chargehand/charge/schema"
)

func compiled(t testing.TB, name string) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	for _, f := range []string{"event.json", "journal-line.json", "answer.json"} {
		data, err := schema.Files.ReadFile(f)
		require.NoError(t, err)
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		require.NoError(t, err)
		require.NoError(t, c.AddResource("https://chargehand.invalid/schema/"+f, doc))
	}
	s, err := c.Compile("https://chargehand.invalid/schema/" + name)
	require.NoError(t, err)
	return s
}

func valid(t testing.TB, s *jsonschema.Schema, line []byte) {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(line))
	require.NoError(t, err, "%s", line)
	if err := s.Validate(doc); err != nil {
		t.Fatalf("%v\n%s", err, line)
	}
}

// sessionNames lists the session files.
func sessionNames(t testing.TB) []string {
	files, err := filepath.Glob(filepath.Join("..", "testdata", "sessions", "*.jsonl"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	var names []string
	for _, f := range files {
		names = append(names, strings.TrimSuffix(filepath.Base(f), ".jsonl"))
	}
	return names
}

// TestSchemas validates every event of the session files, the same written
// again, and every answer to them in both systems of units.
func TestSchemas(t *testing.T) {
	event, answer := compiled(t, "event.json"), compiled(t, "answer.json")
	for _, name := range sessionNames(t) {
		data, err := os.ReadFile(filepath.Join("..", "testdata", "sessions", name+".jsonl"))
		require.NoError(t, err)
		for line := range strings.Lines(string(data)) {
			valid(t, event, []byte(line))
		}
		for _, units := range []quantity.System{quantity.US, quantity.SI} {
			s := charge.NewSession(charge.Options{Units: units})
			for _, e := range eventsOf(t, name) {
				again, err := json.Marshal(e)
				require.NoError(t, err)
				valid(t, event, again)
				a, err := s.Apply(e)
				require.NoError(t, err)
				line := charge.AppendAnswer(nil, &a, units)
				valid(t, answer, line)
				assert.NotContains(t, string(line), "NaN")
				if units == quantity.SI {
					assert.NotContains(t, string(line), `_F":`)
					assert.NotContains(t, string(line), `_oz":`)
				}
			}
		}
	}
	for _, bad := range []string{"{}", `{"kind":"reading"}`, `{"kind":"reading","at":"2026-06-01T13:41:00Z"}`, "\xff"} {
		_, err := charge.ParseEvent([]byte(bad))
		valid(t, answer, charge.AppendRefusal(nil, 3, orRefused(err)))
	}
}

func orRefused(err error) error {
	if err == nil {
		return &charge.Refusal{Why: "no reason"}
	}
	return err
}

// TestSchemaRefuses shows that the schema is not one that takes everything.
func TestSchemaRefuses(t *testing.T) {
	event, answer := compiled(t, "event.json"), compiled(t, "answer.json")
	for _, bad := range []string{
		`{"kind":"reading","at":"yesterday","suction_line":"58 °F"}`,
		`{"kind":"reading","at":"2026-06-01T13:41:00Z","suction_pressure":118.2}`,
		`{"kind":"weighed","at":"2026-06-01T13:41:00Z"}`,
		`{"kind":"weighed","at":"2026-06-01T13:41:00Z","amount":"8"}`,
		`{"kind":"check","at":"2026-06-01T13:41:00Z","item":"thermostat","state":"ok"}`,
		`{"kind":"inspect","at":"2026-06-01T13:41:00Z"}`,
	} {
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(bad))
		require.NoError(t, err)
		assert.Error(t, event.Validate(doc), bad)
		_, err = charge.ParseEvent([]byte(bad))
		assert.Error(t, err, "the parser must refuse it too: %s", bad)
	}
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(`{"kind":"advice","n":1,"action":"dance"}`))
	require.NoError(t, err)
	assert.Error(t, answer.Validate(doc))
}

// TestSchemaNamesEveryField compares the schema with the one description of
// the fields in the code: what an event with every field given writes.
func TestSchemaNamesEveryField(t *testing.T) {
	var doc struct {
		Defs map[string]struct {
			Properties map[string]any `json:"properties"`
		} `json:"$defs"`
	}
	data, err := schema.Files.ReadFile("event.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &doc))
	for _, k := range charge.Kinds() {
		names := charge.FieldNames(k)
		require.NotEmpty(t, names)
		for _, n := range names {
			assert.Contains(t, doc.Defs[string(k)].Properties, n, "%s", k)
		}
		assert.Len(t, doc.Defs[string(k)].Properties, len(names)+5, "%s: kind, at, n, prev, format and its fields", k)
	}
}
