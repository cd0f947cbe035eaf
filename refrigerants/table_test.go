package refrigerants_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"chargehand/refrigerants"

	"github.com/stretchr/testify/require"
)

// table reads a file of check values (see testdata/properties/README.md for
// the source of each) as rows by column name.
func table(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "properties", name))
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var rows []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, h := range all[0] {
			m[h] = r[i]
		}
		rows = append(rows, m)
	}
	require.NotEmpty(t, rows)
	return rows
}

func num(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err, "number %q", s)
	return v
}

func lookup(t testing.TB, name string) *refrigerants.Refrigerant {
	t.Helper()
	r, err := refrigerants.Lookup(name)
	require.NoError(t, err)
	return r
}

// evidence logs one line of the page of numbers: a check against a source from
// outside. No cell holds a bar.
func evidence(t testing.TB, source, what, ours, theirs, tolerance string) {
	t.Helper()
	t.Logf("evidence: %s | %s | %s | %s | %s", source, what, ours, theirs, tolerance)
}

// The two sources most tests go against; testdata/properties/README.md says more.
const (
	library  = "CoolProp 8.0.1dev, the same published equations"
	handbook = "2021 ASHRAE Handbook-Fundamentals ch. 29"
)

// worst keeps the largest value by kind for the log.
type worst map[string]float64

func (w worst) up(kind string, v float64) {
	if v < 0 {
		v = -v
	}
	if !(v <= w[kind]) {
		w[kind] = v
	}
}
