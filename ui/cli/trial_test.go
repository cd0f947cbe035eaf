package cli

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"chargehand/charge/trial"
)

func TestTrialPrintsBothPoliciesAndJSON(t *testing.T) {
	var out, errs bytes.Buffer
	require.Equal(t, ExitOK, Main([]string{"trial", "--systems", "2", "--seed", "4"}, &Env{In: &bytes.Buffer{}, Out: &out, Err: &errs}), errs.String())
	require.Contains(t, out.String(), "fixed increments")
	require.Contains(t, out.String(), "landed in the target band")
	require.Empty(t, errs.String(), "no progress bar off a terminal")

	out.Reset()
	require.Equal(t, ExitOK, Main([]string{"trial", "--systems", "2", "--seed", "4", "--json"}, &Env{In: &bytes.Buffer{}, Out: &out, Err: &errs}), errs.String())
	var r trial.Report
	require.NoError(t, json.Unmarshal(out.Bytes(), &r))
	require.Equal(t, 2, r.Orifices+r.Valves+r.Faulty+r.Unsolved)

	require.Equal(t, ExitUsage, Main([]string{"trial", "--systems", "0"}, &Env{In: &bytes.Buffer{}, Out: &out, Err: &errs}))
}
