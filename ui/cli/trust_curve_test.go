package cli

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// TestTrustNumbersOnTheCommandLine: numbers without measure are refused at once,
// neither counted through nor worked with.
func TestTrustNumbersOnTheCommandLine(t *testing.T) {
	for _, args := range []string{
		"curve --charge 1e308", "curve --charge 1:1e300:1e297", "curve --charge NaN", "curve --charge 1:Inf:1", "curve --charge 0", "curve --charge -5",
		"curve --charge 100:50:1", "curve --charge 50:100:-1", "curve --charge 1:100:1e-9", "curve --receiver 1e308L", "curve --receiver NaN", "curve --line-length -5ft", "curve --line-length 1e308m",
		"curve --capacity 1e300ton", "curve --capacity NaNton", "curve --outdoor 1e300F", "curve --return 80F/NaNF", "curve --return 1e999F/60F", "curve --low-airflow NaN", "curve --low-airflow 1e308",
		"curve --elevation 1e300ft", "curve --design-superheat NaNF", "curve --design-subcooling 1e999F",
		"pt R-410A NaNpsig", "pt R-410A 1e999psig", "pt R-410A -1e300F", "pt R-410A 1e-300psia", "pt R-410A --table 0F..1e300F", "pt R-410A --table NaNF..InfF", "pt R-410A --table 0F..100F --step 1e-300F",
		"pt R-410A 40F --elevation NaNft", "pt R-410A 40F --barometer 1e300psia", "pt R-410A 40F --barometer 0psia",
		"replay ../../testdata/journals/orifice.jsonl --plain --width NaN", "replay ../../testdata/journals/orifice.jsonl --plain --width -80", "train humid --misstep --seed NaN",
	} {
		code, _, errs := within(t, 20*time.Second, strings.Fields(args)...)
		assert.Equal(t, ExitUsage, code, "%s: %s", args, errs)
		assert.NotEmpty(t, errs, args)
	}
	// Measure, but none that a system of this kind has: the flag, the value as it
	// was typed and what would do are named.
	for _, c := range []struct{ flag, value, fix string }{
		{"--design-superheat", "500F", "2 to 45 °F"}, {"--design-superheat", "0.001F", "2 to 45 °F"}, {"--design-superheat", "-5K", "1.1 to 25.0 K"},
		{"--design-subcooling", "500F", "1 to 17 °F"}, {"--design-subcooling", "60", "1 to 17 °F"}, {"--design-outdoor", "300F", "design for cooler outdoor air"},
		{"--line-length", "100000m", "at most 200 m (656 ft)"}, {"--capacity", "5000ton", "100 W to 1 MW"},
		{"--design-return", "80F/90F", "check which is which"}, {"--head-pressure", "-5psig", "such as 180psig"},
	} {
		code, out, errs := within(t, 20*time.Second, "curve", "--charge", "100", "--receiver", "4L", c.flag, c.value)
		assert.Equal(t, ExitUsage, code, "%s %s: %s", c.flag, c.value, errs)
		assert.Empty(t, out)
		for _, says := range []string{c.flag, strings.TrimPrefix(c.value, "-"), c.fix} {
			assert.Contains(t, errs, says)
		}
	}
	for _, args := range []string{"curve --charge 100 --width 1000000000", "pt R-410A --width 1000000000", "replay ../../testdata/journals/orifice.jsonl --plain --width 1000000000"} {
		code, out, errs := within(t, 20*time.Second, strings.Fields(args)...)
		assert.Zero(t, code, errs)
		assert.Less(t, len(out), 100<<10, args)
	}
}
