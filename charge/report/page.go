package report

import (
	"fmt"
	"math"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/charge/audit"
	"chargehand/charge/journal"
	"chargehand/charge/plain"
	q "chargehand/charge/quantity"
)

// Page is one job, ready to be laid out.
type Page struct {
	File        string
	Title       string // the unit's label, or the file's name
	Units       q.System
	Started     time.Time
	Ended       time.Time
	Closed      bool
	Facts       []Fact // what the unit is
	Outcome     string // how it was left, in a sentence
	Story       []Entry
	Ledger      []Weighed
	AddedKg     float64
	RecoveredKg float64
	NetKg       float64
	PlateKg     float64 // NaN when not given
	Findings    []audit.Finding
	Cautions    []string
	Chain       string // what the chain of hashes says
	ChainWhole  bool
	Last        *charge.Advice // of the last reading, nil without one
	Points      []Point        // for the figure
}

// Fact is one line about the unit.
type Fact struct{ Name, Value string }

// Entry is one event of the story.
type Entry struct {
	N      int
	At     time.Time
	Kind   charge.Kind
	What   string // what was entered
	Means  string // what it amounts to
	Told   string // what the technician was told
	Voided bool
	Advice charge.Advice
	Body   charge.Body
}

// Key is the part of Means that decides, Rest what follows it.
func (e Entry) Key() string { key, _ := split(e.Means); return key }

// Rest is what follows Key.
func (e Entry) Rest() string { _, rest := split(e.Means); return rest }

// split cuts after superheat and subcooling.
func split(means string) (key, rest string) {
	const comma = ", "
	i := strings.Index(means, comma)
	if i < 0 {
		return means, ""
	}
	if k := strings.Index(means[i+len(comma):], comma); k >= 0 {
		i += len(comma) + k
		return means[:i], means[i:]
	}
	return means, ""
}

// Steps is the story with checks entered one after the other on one line.
func (p *Page) Steps() []Entry {
	var out []Entry
	for _, e := range p.Story {
		if n := len(out); n > 0 && e.Kind == charge.KindCheck && !e.Voided && out[n-1].Kind == charge.KindCheck && !out[n-1].Voided {
			out[n-1].What += "; " + e.What
			continue
		}
		out = append(out, e)
	}
	return out
}

// Weighed is one line of the ledger.
type Weighed struct {
	At       time.Time
	Kg       float64
	NetKg    float64 // after it
	Phase    charge.Phase
	Cylinder string
}

// Point is a settled or unsettled reading in the figure.
type Point struct {
	NetKg, SuperheatK, SubcoolingK float64
	Settled                        bool
	Forecast                       *charge.Fork // what had been foretold for it, nil without
}

// Of makes the page of one journal from what journal.Read gave.
func Of(file string, lines []journal.Line, chain *journal.Report, units q.System) Page {
	rec := audit.Of(lines, chain, units)
	s := rec.Fold()
	p := Page{File: file, Units: units, Findings: audit.Find(rec), PlateKg: math.NaN(), ChainWhole: true}
	if chain != nil {
		p.ChainWhole = chain.Damage == nil
		p.Chain = fmt.Sprintf("%d lines verified; the last has the SHA-256 %s", chain.Lines, chain.Head)
		if !p.ChainWhole {
			p.Chain = fmt.Sprintf("the chain breaks at line %d: %s", chain.Damage.Line, plain.Line(chain.Damage.Why))
		}
	}
	setup := s.Setup()
	p.Title = plain.Line(string(setup.Unit))
	if p.Title == "" {
		p.Title = plain.Line(file)
	}
	p.Facts = facts(&setup, units)
	p.PlateKg = setup.NameplateCharge.Kilograms()
	p.Closed = s.Closed()

	net := 0.0
	var foretold *charge.Fork
	voided := voids(rec.Events)
	for i, e := range rec.Events {
		told := rec.Told[i]
		n := e.N
		if n == 0 {
			n = i + 1
		}
		entry := Entry{N: n, At: e.At, Kind: e.Kind(), Voided: voided[n], Advice: told, Body: e.Body}
		entry.What = what(e.Body, i == 0)
		if p.Started.IsZero() {
			p.Started = e.At
		}
		p.Ended = e.At
		if !entry.Voided {
			switch b := e.Body.(type) {
			case *charge.Reading:
				entry.Means, entry.Told = means(&told.Derived, units), tell(&told, units)
				p.Last = &rec.Told[i]
				p.Points = append(p.Points, Point{net, told.Derived.SuperheatK, told.Derived.SubcoolingK, told.Derived.Settled, foretold})
				foretold = nil
			case *charge.Weighing:
				kg := b.Amount.Kilograms()
				if i > 0 {
					f := told.Forecast
					if !bandsKnown(f) {
						f = rec.Told[i-1].Forecast
					}
					if bandsKnown(f) {
						foretold = &f
					}
				}
				net += kg
				if kg > 0 {
					p.AddedKg += kg
				} else {
					p.RecoveredKg -= kg
				}
				p.Ledger = append(p.Ledger, Weighed{e.At, kg, net, b.Phase, b.Cylinder.String()})
			}
		}
		p.Story = append(p.Story, entry)
	}
	p.NetKg = net
	if p.Last != nil && !p.Last.Belief.Stated && p.Last.Belief.FixedOrifice > 0 {
		b := p.Last.Belief
		p.Facts = append(p.Facts, Fact{"Metering device, as it answered", fmt.Sprintf("%s (orifice %.2f, valve %.2f)", hyphens(string(b.Verdict)), b.FixedOrifice, b.ExpansionValve)})
	}
	p.Outcome = outcome(&p, rec.Events)
	p.Cautions = cautions(&p)
	return p
}

func bandsKnown(f charge.Fork) bool {
	return f.Both.Superheat[1] != 0 && !math.IsNaN(f.Both.Superheat[1])
}

func voids(events []charge.Event) map[int]bool {
	m := map[int]bool{}
	for _, e := range events {
		if v, ok := e.Body.(*charge.Void); ok {
			m[int(v.Voids)] = true
		}
	}
	return m
}

// outcome says how the unit was left.
func outcome(p *Page, events []charge.Event) string {
	var b strings.Builder
	switch {
	case p.NetKg > 0.0005:
		fmt.Fprintf(&b, "%s net weighed in", q.FormatMassKg(p.NetKg, p.Units))
	case p.NetKg < -0.0005:
		fmt.Fprintf(&b, "%s net recovered", q.FormatMassKg(-p.NetKg, p.Units))
	default:
		b.WriteString("No refrigerant left in or taken out")
	}
	if pct := 100 * p.NetKg / p.PlateKg; !math.IsNaN(pct) && math.Abs(pct) > 0.05 {
		fmt.Fprintf(&b, " (%.0f %% of the data plate)", math.Abs(pct))
	}
	b.WriteString(". ")
	if p.Last != nil {
		d := p.Last.Derived
		fmt.Fprintf(&b, "Last reading: superheat %s, subcooling %s. ", diff(d.SuperheatK, p.Units), diff(d.SubcoolingK, p.Units))
		if t := p.Last.Target; t.Defined && (t.Of == charge.OfSuperheat || t.Of == charge.OfSubcooling) {
			fmt.Fprintf(&b, "Target %s %s to %s (%s). ", t.Of, diff(t.Low, p.Units), diff(t.High, p.Units), plain.Line(t.Source))
		}
	}
	if !p.Closed {
		b.WriteString("The job was not closed.")
	} else {
		for i := len(events) - 1; i >= 0; i-- {
			if c, ok := events[i].Body.(*charge.Close); ok {
				if c.Why != "" {
					fmt.Fprintf(&b, "Closed: %s.", strings.TrimSuffix(plain.Line(string(c.Why)), "."))
				}
				break
			}
		}
	}
	return strings.TrimSpace(b.String())
}

// cautions are those of the last reading and the standing ones.
func cautions(p *Page) []string {
	var out []string
	if p.Last != nil {
		for _, c := range p.Last.Cautions {
			out = append(out, plain.Line(c))
		}
	}
	return append(out,
		"Readings and amounts were entered by hand; superheat, subcooling, device and causes were worked out from them.",
		"The manufacturer's charging chart, the data plate, local codes and the employer's procedure take precedence over anything here.",
		"Refrigerant circuits are for certified persons. Recover, never vent. This page does not say that the system is safe or tight.")
}
