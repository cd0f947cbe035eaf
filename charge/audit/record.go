package audit

import (
	"fmt"

	"chargehand/charge"
	"chargehand/charge/journal"
	q "chargehand/charge/quantity"
)

// Of makes a record of what journal.Read gave. It is cheap; Fold adds what the
// technician was told.
func Of(lines []journal.Line, report *journal.Report, units q.System) Record {
	r := Record{Events: make([]charge.Event, len(lines)), Units: units}
	for i := range lines {
		r.Events[i] = lines[i].Event
	}
	if report == nil {
		return r
	}
	if d := report.Damage; d != nil {
		says := d.Why
		if report.After > 1 {
			says += fmt.Sprintf(" (%d lines left unread)", report.After)
		}
		r.Chain.Breaks = []Break{{Line: d.Line, Says: says}}
	}
	if report.Torn > 0 {
		r.Chain.Torn = fmt.Sprintf("%d bytes", report.Torn)
	}
	return r
}

// Fold runs the session over the record's events and keeps what was told at
// each, so that every rule can be put. It returns the session for whoever
// wants more of it.
func (r *Record) Fold() *charge.Session {
	s := charge.NewSession(charge.Options{Units: r.Units})
	r.Told, r.Refused = make([]charge.Advice, len(r.Events)), nil
	for i, e := range r.Events {
		a, err := s.Apply(e)
		if err != nil {
			r.Refused = append(r.Refused, Refused{i, err.Error()})
			if i > 0 {
				a = r.Told[i-1] // nothing changed
			}
		}
		r.Told[i] = a
	}
	return s
}

// Findings reads, folds and judges in one call: what replay and report need.
func Findings(lines []journal.Line, report *journal.Report, units q.System) []Finding {
	r := Of(lines, report, units)
	r.Fold()
	return Find(r)
}
