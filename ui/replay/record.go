// Package replay steps through a finished record: at each step what was
// entered, what the technician was told, and the fork as it stood. The same
// fold that advised then is run again, so nothing is reconstructed from memory.
//
// A record whose chain of hashes breaks is shown up to the break, and the
// break is a step of its own: after it nothing is proven.
package replay

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"

	"chargehand/charge"
	"chargehand/charge/audit"
	"chargehand/charge/journal"
	"chargehand/charge/plain"
	q "chargehand/charge/quantity"
	"chargehand/ui/fork"
	"chargehand/ui/live"
	"chargehand/ui/say"
	"chargehand/ui/screen"
)

// Record is a journal read, folded and judged.
type Record struct {
	Path      string
	Steps     []charge.Step
	Setup     charge.Setup
	Barometer float64
	Units     q.System
	Broken    string                  // where the chain breaks and why, "" when whole
	Torn      string                  // an unfinished last write, "" when none
	Refused   []string                // lines the fold would not take
	Head      string                  // hash of the last line
	Findings  map[int][]audit.Finding // by event number; 0 for the whole
	scale     fork.Scale
}

// Load reads the journal at path without locking or changing it, folds and
// judges it.
func Load(path string, units q.System) (*Record, error) {
	lines, report, err := journal.Read(path)
	if err != nil {
		return nil, err
	}
	return of(path, lines, report, units), nil
}

// of folds and judges what was read.
func of(path string, lines []journal.Line, report *journal.Report, units q.System) *Record {
	r := &Record{Path: path, Units: units, Findings: map[int][]audit.Finding{}, Barometer: 101325}
	rec := audit.Of(lines, report, units)
	s := rec.Fold()
	r.Steps = s.Steps()
	if len(r.Steps) > 0 {
		r.Setup, r.Barometer = s.Setup(), s.BarometerPa()
	}
	for _, f := range audit.Find(rec) {
		r.Findings[f.N] = append(r.Findings[f.N], f)
	}
	for _, x := range rec.Refused {
		r.Refused = append(r.Refused, fmt.Sprintf("line %d was not taken: %s", x.Index+1, plain.Line(x.Why)))
	}
	if report != nil {
		r.Head = report.Head
		if d := report.Damage; d != nil {
			r.Broken = fmt.Sprintf("line %d (byte %d): %s", d.Line, d.Offset, plain.Line(d.Why))
			if report.After > 0 {
				r.Broken += fmt.Sprintf("; %d lines from there on prove nothing", report.After)
			}
		}
		if report.Torn > 0 {
			r.Torn = fmt.Sprintf("the last write was cut short: %d bytes that were never acknowledged are left out", report.Torn)
		}
	}
	r.scale = live.Fork(r.Steps, units).Grow(fork.Scale{})
	return r
}

// flagged reports whether a step is worth a supervisor's look.
func (r *Record) flagged(i int) bool {
	for _, f := range r.Findings[r.Steps[i].Event.N] {
		if f.Severity >= audit.Look {
			return true
		}
	}
	return false
}

// flags is the number of steps worth a look.
func (r *Record) flags() int {
	n := 0
	for i := range r.Steps {
		if r.flagged(i) {
			n++
		}
	}
	return n
}

// Fork is the chart as of step i, on the scale of the whole record: it keeps
// still while one steps through.
func (r *Record) Fork(i int) fork.Data {
	d := live.Fork(asTold(r.Steps[:i+1]), r.Units)
	d.Scale = r.scale
	return d
}

// asTold are steps as they stood then: later amendments and voids not seen.
func asTold(steps []charge.Step) []charge.Step {
	out := make([]charge.Step, len(steps))
	voided := map[int]bool{}
	for _, st := range steps {
		if v, ok := st.Event.Body.(*charge.Void); ok {
			voided[int(v.Voids)] = true
		}
	}
	for i, st := range steps {
		out[i] = st
		out[i].Now = st.Told
		out[i].Voided = voided[st.Event.N]
	}
	return out
}

// entered lists the fields of an event as they were typed, name and value.
func entered(e charge.Event) [][2]string {
	line, err := e.MarshalJSON()
	if err != nil {
		return nil
	}
	dec := json.NewDecoder(bytes.NewReader(line))
	if t, err := dec.Token(); err != nil || t != json.Delim('{') {
		return nil
	}
	var out [][2]string
	for dec.More() {
		k, err := dec.Token()
		if err != nil {
			return out
		}
		var raw json.RawMessage
		if err := dec.Decode(&raw); err != nil {
			return out
		}
		name, _ := k.(string)
		if name == "kind" || name == "at" {
			continue
		}
		var text string
		if json.Unmarshal(raw, &text) != nil {
			text = string(raw)
		}
		out = append(out, [2]string{plain.Line(say.FieldWords(name)), plain.Line(text)})
	}
	return out
}

// against says what was done against what had been advised, "" where there is
// nothing to compare.
func (r *Record) against(i int) string {
	st := r.Steps[i]
	var before *charge.Step
	for k := i - 1; k >= 0; k-- {
		if v := r.Steps[k].Event.Kind(); v != charge.KindNote && !(v == charge.KindVoid) {
			before = &r.Steps[k]
			break
		}
	}
	if before == nil {
		return ""
	}
	switch b := st.Event.Body.(type) {
	case *charge.Weighing:
		kg := b.Amount.Kilograms()
		told := before.Told
		var advised float64
		switch told.Action {
		case charge.Add:
			advised = told.AmountKg
		case charge.Recover:
			advised = -told.AmountKg
		}
		did := "weighed in " + say.Mass(kg, r.Units)
		if kg < 0 {
			did = "recovered " + say.Mass(-kg, r.Units)
		}
		if math.Abs(kg-advised) <= 0.003+0.05*math.Abs(advised) && advised != 0 {
			return did + ", as advised"
		}
		return did + " where the advice was: " + say.Told(told, r.Units)
	case *charge.Reading:
		for k := i - 1; k >= 0; k-- {
			if r.Steps[k].Event.Kind() == charge.KindReading {
				return ""
			}
			if w, ok := r.Steps[k].Event.Body.(*charge.Weighing); ok && w != nil {
				waited := st.Event.At.Sub(r.Steps[k].Event.At)
				advised := r.Steps[k].Told.Wait
				if advised > 0 && waited < advised {
					return fmt.Sprintf("read %s after the weighing; %s was advised", say.Minutes(waited), say.Minutes(advised))
				}
				return "read " + say.Minutes(waited) + " after the weighing"
			}
		}
	}
	return ""
}

// Title is the record in one line.
func (r *Record) Title() string {
	if u := say.Unit(r.Setup); u != "" {
		return u
	}
	return r.Path
}

func look(units q.System) *screen.Look {
	return &screen.Look{Units: units, Pressure: units.PressureUnit()}
}
