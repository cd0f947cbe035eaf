package ledger

import (
	"math"
	"strings"
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/refrigerants"
)

// Job is what one journal says about refrigerant.
type Job struct {
	File        string             `json:"file"`
	Unit        string             `json:"unit"`
	Refrigerant string             `json:"refrigerant"` // "R-410A"
	Application charge.Application `json:"application,omitempty"`
	Technician  string             `json:"technician,omitempty"`
	Start       time.Time          `json:"start"`
	End         time.Time          `json:"end"` // the last weighing where there is one
	AddedKg     float64            `json:"in_kg"`
	RecoveredKg float64            `json:"out_kg"`         // positive
	FullKg      Num                `json:"full_charge_kg"` // data plate and line set, NaN when not given

	CylinderRefrigerant string `json:"cylinder_refrigerant,omitempty"`
	CylinderStartKg     Num    `json:"cylinder_start_kg"` // NaN when not given
	CylinderEndKg       Num    `json:"cylinder_end_kg"`   // the last scale reading, NaN when not given
	Findings            int    `json:"findings,omitempty"`
	SeriousFinds        int    `json:"serious,omitempty"` // of the audit, when it was asked for
}

// NetKg is what the job left in the system.
func (j Job) NetKg() float64 { return j.AddedKg - j.RecoveredKg }

// JobOf reduces the events of one journal.
func JobOf(file string, events []charge.Event) Job {
	j := Job{File: file}
	var setup charge.Setup // as finally amended
	var end q.Mass
	for i := range events {
		e := &events[i]
		if j.Start.IsZero() || e.At.Before(j.Start) {
			j.Start = e.At
		}
		if voided(events, i) {
			continue
		}
		switch b := e.Body.(type) {
		case *charge.Setup:
			setup = setup.Amended(b)
		case *charge.Weighing:
			kg := b.Amount.Kilograms()
			if kg > 0 {
				j.AddedKg += kg
			} else {
				j.RecoveredKg -= kg
			}
			given(&end, b.Cylinder)
			j.End = e.At
		case *charge.Close:
			given(&end, b.CylinderEnd)
		}
	}
	if j.End.IsZero() {
		j.End = j.Start
	}
	j.Unit, j.Technician, j.Application = string(setup.Unit), string(setup.Technician), setup.Application
	if setup.Refrigerant != "" {
		j.Refrigerant = Name(string(setup.Refrigerant))
	}
	j.CylinderRefrigerant = string(setup.CylinderRefrigerant)
	j.FullKg, j.CylinderStartKg, j.CylinderEndKg = Num(full(&setup)), Num(setup.CylinderStart.Kilograms()), Num(end.Kilograms())
	return j
}

// voided reports whether a later event takes event i back. Voids are rare and
// journals short: a scan costs less than a set.
func voided(events []charge.Event, i int) bool {
	n := events[i].N
	if n == 0 {
		n = i + 1
	}
	for k := i + 1; k < len(events); k++ {
		if v, ok := events[k].Body.(*charge.Void); ok && int(v.Voids) == n {
			return true
		}
	}
	return false
}

// given lays a later entry over an earlier one, where there is a later one.
func given[T interface{ IsZero() bool }](dst *T, later T) {
	if !later.IsZero() {
		*dst = later
	}
}

// full is the data plate charge with the line set's allowance, reckoned as the
// advice reckons it; NaN when there is no plate.
func full(s *charge.Setup) float64 {
	kg := s.NameplateCharge.Kilograms()
	if a := charge.LineAllowance(s.LiquidLineOD, s.LineLength, s.FactoryLineLength); !math.IsNaN(a) {
		kg = math.Max(kg+a, kg/2)
	}
	return kg
}

// Name spells a refrigerant the ASHRAE 34 way: "410a" becomes "R-410A". One
// that is not known keeps its letters, in capitals.
func Name(s string) string {
	if r, err := refrigerants.Lookup(s); err == nil {
		return r.Name()
	}
	return strings.ToUpper(strings.TrimSpace(s))
}
