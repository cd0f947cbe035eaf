package belief

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// labSweep is a fixed-orifice rooftop unit swept upward through seven charges, shaped after what laboratories publish of
// such units (Breuker and Braun 1998; ASHRAE RP-1173): superheat falls 0.9 to 1.5 °F per 1 % of charge, and subcooling
// is there well before superheat has come down. The figures themselves are invented.
func labSweep(ref string, fullOz, sh100, slope, sc63, sc100, sc128, evap, condOver, outdoor, dry, wet float64) (Unit, []Reading) {
	var out []Reading
	for i, x := range []float64{0.63, 0.75, 0.86, 0.95, 1.00, 1.14, 1.28} {
		sh := max(sh100+slope*100*(1-x), 0)
		if sh > 30 {
			sh = 30 + 0.5*(sh-30)
		}
		sc := sc63 + (sc100-sc63)*(x-0.63)/0.37
		if x > 1 {
			sc = sc100 + (sc128-sc100)*(x-1)/0.28
		}
		ev := evap - 40*max(0.98-x, 0)
		r := reading(25*float64(i), (x-0.63)*fullOz, sh, sc, ev, outdoor+condOver+0.25*(sc-sc100)-10*max(1-x, 0), outdoor, dry, wet)
		r.SupplyDryK = r.ReturnDryK - (18-12*max(1-x, 0))*degF
		out = append(out, r)
	}
	return checked(Unit{Refrigerant: ref, CapacityW: 3 * ton}), out
}

func TestLaboratorySweepIsAnOrifice(t *testing.T) {
	for i, c := range []struct {
		ref                                    string
		full, sh100, slope, sc63, sc100, sc128 float64
		evap, over, outdoor, dry, wet          float64
	}{
		{"R-410A", 101, 12.8, 1.1, 2, 10.6, 19, 43, 24, 82, 80, 67},
		{"R-410A", 101, 7.8, 1.1, 3.5, 12.5, 21, 46, 26, 97, 82, 68},
		{"R-410A", 114, 6.2, 0.95, 4, 12.8, 20, 42, 27, 82, 80, 58},
		{"R-22", 140, 14, 1.5, 0, 8, 17, 41, 22, 90, 80, 67},
		{"R-22", 120, 16, 1.2, 1, 9, 24, 40, 20, 85, 80, 67},
		{"R-410A", 95, 18, 0.9, 5, 11, 18, 44, 25, 95, 80, 67},
	} {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			u, rs := labSweep(c.ref, c.full, c.sh100, c.slope, c.sc63, c.sc100, c.sc128, c.evap, c.over, c.outdoor, c.dry, c.wet)
			b := New(u)
			for _, r := range rs {
				b.Observe(r)
				d := b.Device()
				t.Logf("superheat %.1f subcooling %.1f: orifice %.3f %v, %v", r.SuperheatK/degF, r.SubcoolingK/degF, d.FixedOrifice, d.Verdict, b.Causes()[0])
				require.NotEqual(t, ExpansionValve, d.Verdict)
			}
			require.Equal(t, FixedOrifice, b.Device().Verdict)
		})
	}
}
