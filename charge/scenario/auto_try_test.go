package scenario

import (
	"fmt"
	"testing"
	"time"
)

func TestAutoTry(t *testing.T) {
	for seed := uint64(1); seed <= 3; seed++ {
		for _, s := range All() {
			t0 := time.Now()
			r, err := Start(s, Options{Seed: seed})
			if err != nil {
				fmt.Println(s.Name, err)
				continue
			}
			var log []string
			err = Auto(r, func(m string) { log = append(log, m) })
			if err != nil {
				fmt.Println(seed, s.Name, "ERR", err, log)
				continue
			}
			dt := time.Since(t0)
			d, err := r.Debrief()
			fmt.Printf("%d %-18s err %v %s | %s | taken %.0f min %s | shortest %.0f min %s %v\n", seed, s.Name, err, d.Grade, d.Ended, d.Taken.Minutes, d.Taken.Says, d.Shortest.Minutes, d.Shortest.Says, dt.Round(time.Millisecond))
			for _, w := range d.Missteps {
				fmt.Println("     -", w.Grave, w.What, "|", w.Sign)
			}
		}
	}
	for _, s := range All() {
		r, err := Start(s, Options{Seed: 5})
		if err != nil {
			fmt.Println(s.Name, err)
			continue
		}
		if err := Play(r, s.Misstep.Play); err != nil {
			fmt.Println("MISSTEP", s.Name, err)
			continue
		}
		d, err := r.Debrief()
		fmt.Printf("MISSTEP %-18s err %v %s | %s\n", s.Name, err, d.Grade, d.Ended)
		for _, w := range d.Missteps {
			fmt.Println("     -", w.Grave, w.What, "|", w.Sign)
		}
	}
}
