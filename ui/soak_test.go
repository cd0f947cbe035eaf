package ui

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"chargehand/ui/uitest"
)

var soak = flag.Int("soak", 150, "random keys and resizes on each screen; 100000 is the long run")

// Letters and digits a thumb may hit, more often those that mean something.
const thumbs = "rwcnuesofqmtbpixyhjkldgG?!12345678900000.,-+%/ oooofcsnpsiakgFCK°é日"

// press makes one random key message.
func press(r *rand.Rand, names []string) (string, func(*uitest.Driver)) {
	switch n := r.IntN(100); {
	case n < 60:
		rs := []rune(thumbs)
		k := rs[r.IntN(len(rs))]
		return fmt.Sprintf("%q", k), func(d *uitest.Driver) { d.Send(uitest.Rune(k)) }
	case n < 88:
		k := names[r.IntN(len(names))]
		return "<" + k + ">", func(d *uitest.Driver) { d.Send(uitest.Key(k)) }
	case n < 90:
		return "burst", func(d *uitest.Driver) { d.Burst("118 3jjx") }
	case n < 92:
		return "paste", func(d *uitest.Driver) { d.Paste("121 361,5\t60.7\n103 \x1b[31m88 76 65\r\n") }
	default:
		w, h := 1+r.IntN(210), 1+r.IntN(64)
		if r.IntN(3) == 0 {
			w, h = 40+r.IntN(80), 20+r.IntN(20)
		}
		return fmt.Sprintf("resize %dx%d", w, h), func(d *uitest.Driver) { d.Resize(w, h) }
	}
}

// Random keys and resizes neither panic nor break a layout. Where a key ends
// the program the scene starts again.
func TestSoak(t *testing.T) {
	var names []string
	for _, n := range uitest.Names() {
		if n != "ctrl+c" {
			names = append(names, n)
		}
	}
	began := time.Now()
	total := 0
	for i, sc := range scenes {
		t.Run(sc.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(7, uint64(i)))
			var done []string
			defer func() {
				if p := recover(); p != nil {
					t.Fatalf("panic %v after %v", p, tail(done))
				}
			}()
			d := sc.make(t, 80, 24)
			for k := 0; k < *soak; k++ {
				what, do := press(r, names)
				done = append(done, what)
				do(d)
				if d.Quit || k%500 == 499 { // a fresh job now and then, or the log grows without end
					d = sc.make(t, 80, 24)
					done = nil
					continue
				}
				if err := d.Fits(); err != nil {
					require.NoError(t, err, "after %v", tail(done))
				}
			}
			total += *soak
		})
	}
	t.Logf("bar: random keys and resizes on each screen without panic or overflow | 100000 | %d each on %d screens, %d in all, %s | go test ./ui -run TestSoak -soak 100000 -timeout 0", *soak, total/max(*soak, 1), total, time.Since(began).Round(time.Second))
}

func tail(s []string) []string { return s[max(len(s)-40, 0):] }
