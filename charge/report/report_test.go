package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/journal"
	q "chargehand/charge/quantity"
)

// invented is a short job with something for every part of the page.
func invented(t testing.TB, texts ...string) []journal.Line {
	t.Helper()
	text := strings.NewReplacer(texts...).Replace(`{"kind":"setup","at":"2026-06-02T09:00:00Z","refrigerant":"R-410A","unit":"invented roof 2","capacity":"3 ton","nameplate_charge":"7 lb 8 oz","cylinder_start":"22 lb 4 oz","technician":"T"}
{"kind":"check","at":"2026-06-02T09:02:00Z","item":"filter","state":"corrected","note":"new filter"}
{"kind":"check","at":"2026-06-02T09:04:00Z","item":"blower","state":"ok"}
{"kind":"reading","at":"2026-06-02T09:30:00Z","suction_pressure":"118 psig","liquid_pressure":"356 psig","suction_line":"64 °F","liquid_line":"104 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F","supply_dry_bulb":"60 °F","discharge_line":"172 °F"}
{"kind":"weighed","at":"2026-06-02T09:32:00Z","amount":"4 oz","phase":"vapor","cylinder":"22 lb"}
{"kind":"weighed","at":"2026-06-02T09:33:00Z","amount":"40 oz"}
{"kind":"void","at":"2026-06-02T09:34:00Z","voids":6,"why":"slip"}
{"kind":"reading","at":"2026-06-02T09:47:00Z","suction_pressure":"121 psig","liquid_pressure":"361 psig","suction_line":"60.7 °F","liquid_line":"103.5 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}
{"kind":"note","at":"2026-06-02T09:50:00Z","text":"NOTE"}
{"kind":"weighed","at":"2026-06-02T09:55:00Z","amount":"-1 oz"}
{"kind":"reading","at":"2026-06-02T10:04:00Z","suction_pressure":"120 psig"}
{"kind":"close","at":"2026-06-02T10:10:00Z","cylinder_end":"22 lb 1 oz","why":"WHY"}`)
	var lines []journal.Line
	for i, l := range strings.Split(text, "\n") {
		e, err := charge.ParseEvent([]byte(l))
		require.NoError(t, err, l)
		e.N = i + 1
		lines = append(lines, journal.Line{N: i + 1, Raw: []byte(l), Event: e})
	}
	return lines
}

func TestPage(t *testing.T) {
	p := Of("job.jsonl", invented(t), &journal.Report{Lines: 12, Head: strings.Repeat("a", 64)}, q.US)
	assert.Equal(t, "invented roof 2", p.Title)
	assert.InDelta(t, 3*0.028349523125, p.NetKg, 1e-9, "what was taken back does not count")
	assert.InDelta(t, 4*0.028349523125, p.AddedKg, 1e-9)
	assert.InDelta(t, 1*0.028349523125, p.RecoveredKg, 1e-9)
	require.Len(t, p.Ledger, 2)
	require.Len(t, p.Points, 3)
	assert.NotNil(t, p.Points[1].Forecast, "what had been foretold for the second reading")
	assert.True(t, p.Story[5].Voided)
	assert.Contains(t, p.Outcome, "3 oz net weighed in (3 % of the data plate)")
	assert.Contains(t, p.Outcome, "Closed: WHY.")
	// Superheat 24.2 °F and subcooling 3.9 °F: worked with published saturation
	// equations (118 psig dew 39.8 °F, 356 psig bubble 107.9 °F).
	assert.Contains(t, p.Story[3].Means, "superheat 24.2 °F, subcooling 3.9 °F")
	assert.Len(t, p.Steps(), len(p.Story)-1)
}

var writers = map[string]func(io.Writer, []Page) error{"html": HTML, "md": Markdown, "csv": CSV, "json": JSON}

func TestWritersHoldTheJob(t *testing.T) {
	for _, u := range []q.System{q.US, q.SI} {
		pages := []Page{Of("job.jsonl", invented(t), nil, u), Of("other.jsonl", invented(t, "invented roof 2", "invented roof 3"), nil, u)}
		for name, write := range writers {
			var b bytes.Buffer
			require.NoError(t, write(&b, pages), name)
			assert.Contains(t, b.String(), "invented roof 3", name)
			assert.Contains(t, b.String(), "vapor", name)
			assert.NotContains(t, b.String(), "NaN", name)
			assert.NotContains(t, b.String(), "%!", name)
		}
	}
}

func TestHostileTextStaysText(t *testing.T) {
	hostile := `<script>alert(1)</script><img src=x onerror=alert(2)>](javascript:alert(3)) =1+1 | **b**`
	quoted, err := json.Marshal(hostile)
	require.NoError(t, err)
	in := string(quoted[1 : len(quoted)-1])
	p := Of("=cmd.jsonl", invented(t, "NOTE", in, "WHY", in, "invented roof 2", in, `"technician":"T"`, `"technician":"`+in+`"`), nil, q.US)
	p.File = "=cmd\x1b[2J.jsonl"
	var b bytes.Buffer
	require.NoError(t, HTML(&b, []Page{p}))
	assert.NotContains(t, b.String(), "<script")
	assert.NotContains(t, b.String(), "<img")
	assert.NotContains(t, b.String(), "\x1b")
	b.Reset()
	require.NoError(t, Markdown(&b, []Page{p}))
	assert.NotRegexp(t, `(^|[^\\])<script`, b.String())
	assert.NotRegexp(t, `[^\\]\]\(javascript`, b.String())
	b.Reset()
	require.NoError(t, CSV(&b, []Page{p}))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for _, r := range rows {
		for _, c := range r {
			assert.False(t, strings.HasPrefix(c, "="), c)
			assert.NotContains(t, c, "\x1b")
		}
	}
}

// The page may fetch nothing: no address but name spaces, no script, a policy
// in its head.
func TestHTMLIsSelfContained(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, HTML(&b, []Page{Of("job.jsonl", invented(t), nil, q.US)}))
	s := b.String()
	assert.Contains(t, s, "default-src 'none'")
	for _, bad := range []string{"<script", "<iframe", "@import", "url(", "src=\"http", "href=\"http", "xlink:href"} {
		assert.NotContains(t, s, bad)
	}
	assert.Equal(t, 1, strings.Count(s, "<h1>"))
	for _, need := range []string{`<html lang="en">`, "<main>", "<header>", "<footer>", `name="viewport"`, `role="img"`, "<title>Charge report", `scope="col"`} {
		assert.Contains(t, s, need)
	}
}

func TestFigureIsWholeSVG(t *testing.T) {
	p := Of("job.jsonl", invented(t), nil, q.SI)
	svg, err := figure(&p, "f")
	require.NoError(t, err)
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
	}
	assert.Contains(t, svg, "<title")
	assert.Contains(t, svg, "<desc")
	empty := Page{}
	svg, err = figure(&empty, "f")
	require.NoError(t, err)
	assert.Empty(t, svg)
}

func TestTicks(t *testing.T) {
	for _, r := range [][2]float64{{0, 1}, {-0.5, 8.7}, {-2, 45}, {0, 900}, {3, 3.0001}} {
		ts := ticks{}.Ticks(r[0], r[1])
		assert.True(t, len(ts) >= 2 && len(ts) <= 8, "%v: %d", r, len(ts))
	}
}

func TestBrokenChainIsSaid(t *testing.T) {
	lines := invented(t)[:4]
	p := Of("job.jsonl", lines, &journal.Report{Lines: 4, Head: "x", Damage: &journal.DamageError{Line: 5, Why: "prev does not fit line 4"}, After: 8}, q.US)
	assert.False(t, p.ChainWhole)
	require.NotEmpty(t, p.Findings)
	assert.Equal(t, "chain-broken", p.Findings[0].Rule)
	assert.Contains(t, p.Outcome, "not closed")
}

func BenchmarkPage(b *testing.B) {
	lines := invented(b)
	for b.Loop() {
		p := Of("job.jsonl", lines, nil, q.US)
		if err := HTML(io.Discard, []Page{p}); err != nil {
			b.Fatal(err)
		}
	}
}

// The column of net amounts adds up over what stands: 4 oz in, 40 oz taken
// back, 1 oz out.
func TestCSVCarriesTheNetAmount(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, CSV(&b, []Page{Of("job.jsonl", invented(t), nil, q.US)}))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	column := func(name string) (i int) {
		for i = range rows[0] {
			if rows[0][i] == name {
				return i
			}
		}
		t.Fatalf("no column %s", name)
		return 0
	}
	var weighed, net []string
	for _, r := range rows[1:] {
		weighed, net = append(weighed, r[column("weighed_oz")]), append(net, r[column("net_oz")])
	}
	assert.Equal(t, []string{"", "", "", "", "4", "", "", "", "", "-1", "", ""}, weighed)
	assert.Equal(t, []string{"0", "0", "0", "0", "4", "4", "4", "4", "4", "3", "3", "3"}, net)
}
