package ledger

import (
	"math"
	"strings"
	"time"

	"chargehand/charge"
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
	unknown := Num(math.NaN())
	j := Job{File: file, FullKg: unknown, CylinderStartKg: unknown, CylinderEndKg: unknown}
	start, end := math.NaN(), math.NaN()
	var plate, allowance = math.NaN(), lineSet{}
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
			text(&j.Unit, b.Unit)
			text(&j.Technician, b.Technician)
			text(&j.CylinderRefrigerant, b.CylinderRefrigerant)
			if b.Refrigerant != "" {
				j.Refrigerant = Name(string(b.Refrigerant))
			}
			if b.Application != "" {
				j.Application = b.Application
			}
			number(&plate, b.NameplateCharge.Kilograms())
			number(&start, b.CylinderStart.Kilograms())
			allowance.amend(b)
		case *charge.Weighing:
			kg := b.Amount.Kilograms()
			if kg > 0 {
				j.AddedKg += kg
			} else {
				j.RecoveredKg -= kg
			}
			number(&end, b.Cylinder.Kilograms())
			j.End = e.At
		case *charge.Close:
			number(&end, b.CylinderEnd.Kilograms())
		}
	}
	if j.End.IsZero() {
		j.End = j.Start
	}
	j.FullKg, j.CylinderStartKg, j.CylinderEndKg = Num(plate+allowance.kg()), Num(start), Num(end)
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

func text(dst *string, t charge.Text) {
	if t != "" {
		*dst = string(t)
	}
}

func number(dst *float64, x float64) {
	if !math.IsNaN(x) {
		*dst = x
	}
}

// lineSet is the part of a setup that says how much liquid line there is
// beyond the factory's.
type lineSet struct{ od, length, factory float64 }

func (l *lineSet) amend(s *charge.Setup) {
	if x := s.LiquidLineOD.Inches(); !math.IsNaN(x) {
		l.od = x
	}
	if x := s.LineLength.Feet(); !math.IsNaN(x) {
		l.length = x
	}
	if x := s.FactoryLineLength.Feet(); !math.IsNaN(x) {
		l.factory = x
	}
}

// kg is 0.3, 0.4, 0.6 or 1.2 oz a foot of 1/4, 5/16, 3/8 or 1/2 in liquid line
// (residential makers' manuals), 0 while anything is missing.
func (l lineSet) kg() float64 {
	if l.od == 0 || l.length == 0 || l.factory == 0 {
		return 0
	}
	const oz = 0.028349523125
	for _, row := range [...]struct{ od, oz float64 }{{0.25, 0.3}, {0.3125, 0.4}, {0.375, 0.6}, {0.5, 1.2}} {
		if math.Abs(l.od-row.od) < 0.02 {
			return (l.length - l.factory) * row.oz * oz
		}
	}
	return 0
}

// Name spells a refrigerant the ASHRAE 34 way: "410a" becomes "R-410A". One
// that is not known keeps its letters, in capitals.
func Name(s string) string {
	if r, err := refrigerants.Lookup(s); err == nil {
		return r.Name()
	}
	return strings.ToUpper(strings.TrimSpace(s))
}
