package audit

import (
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// view is a record with what several rules need worked out once: which events
// stand, the setup as finally amended, the weighings with the readings round
// them.
type view struct {
	Record
	void     []bool
	setup    charge.Setup
	readings []reading
	weighed  []weighing
	closed   int // index of the close, -1 without

	added, recovered float64 // kg, both positive
}

type reading struct {
	i int
	*charge.Reading
	at time.Time
}

// weighing is refrigerant that crossed the scale, with the newest reading
// before it and the last one before the next weighing (both indices into
// view.readings, -1 without).
type weighing struct {
	i      int
	kg     float64
	at     time.Time
	phase  charge.Phase
	before int
	after  int
	net    float64 // in the system from this session before this weighing
}

func newView(r Record) *view {
	v := &view{Record: r, void: make([]bool, len(r.Events)), closed: -1}
	byN := make(map[int]int, len(r.Events))
	for i := range r.Events {
		byN[v.number(i)] = i
	}
	for _, e := range r.Events {
		if b, ok := e.Body.(*charge.Void); ok {
			if j, ok := byN[int(b.Voids)]; ok {
				v.void[j] = true
			}
		}
	}
	for i, e := range r.Events {
		if v.void[i] {
			continue
		}
		switch b := e.Body.(type) {
		case *charge.Setup:
			v.setup = v.setup.Amended(b)
		case *charge.Reading:
			v.readings = append(v.readings, reading{i, b, e.At})
			if n := len(v.weighed); n > 0 {
				v.weighed[n-1].after = len(v.readings) - 1
			}
		case *charge.Weighing:
			kg := b.Amount.Kilograms()
			v.weighed = append(v.weighed, weighing{i: i, kg: kg, at: e.At, phase: b.Phase,
				before: len(v.readings) - 1, after: -1, net: v.net()})
			if kg > 0 {
				v.added += kg
			} else {
				v.recovered -= kg
			}
		case *charge.Close:
			v.closed = i
		}
	}
	return v
}

// number is the n of event i; a journal that carries none is counted.
func (v *view) number(i int) int {
	if n := v.Events[i].N; n > 0 {
		return n
	}
	return i + 1
}

// net is what this session left in the system, in kg.
func (v *view) net() float64 { return v.added - v.recovered }

// firstIn is the first weighing into the system, nil without.
func (v *view) firstIn() *weighing {
	for k := range v.weighed {
		if v.weighed[k].kg > 0 {
			return &v.weighed[k]
		}
	}
	return nil
}

// byWeight reports a job done by weight alone, where readings do not set the
// amount: weigh-in-only equipment.
func (v *view) byWeight() bool {
	return v.setup.Arrangement == charge.CriticalCharge || v.setup.Arrangement == charge.VariableSpeed
}

func (v *view) mass(kg float64) string { return q.FormatMassKg(kg, v.Units) }
