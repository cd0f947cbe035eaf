package charge

import (
	"fmt"
	"math"
	"time"
)

// advise answers the newest event. The order of what decides:
//
//	the session is closed                         stop
//	nothing has been read                         measure
//	something changed since the newest reading    wait, then measure
//	a reading that cannot be                      measure
//	not settled                                   wait
//	a hard rule fired                             what the rule calls for
//	charge by weight alone                        stop
//	a gate is open                                what the gate asks for
//	a reading the target needs is missing         measure
//	otherwise                                     what the belief proposes, within the step limits
func (st *state) advise(kind Kind) Advice {
	c := st.look()
	a := Advice{N: st.n, At: st.now, Kind: kind, Derived: unread(), Belief: c.device,
		Target: c.target, IfOrifice: c.tg.orifice, IfValve: c.tg.valve, Causes: c.causes, Closed: st.closed}
	a.TotalKg, a.AddedKg, a.RecoveredKg = st.totals()
	if c.last != nil {
		a.Derived = c.last.Derived
		a.Doubts = c.last.doubts
	}
	a.Doubts = append(a.Doubts[:len(a.Doubts):len(a.Doubts)], st.scaleDoubts()...)
	var said map[string]verdict
	a.Rules, said = c.judge()
	d := &decision{sight: c, a: &a, said: said}
	d.decide()
	d.collect()
	a.Cautions = c.cautions(&a, said)
	a.Forecast = st.mind.forecast(d.coming())
	return a
}

func unread() Derived {
	n := math.NaN()
	return Derived{SuctionPa: n, LiquidPa: n, EvaporatingK: n, CondensingK: n, SuperheatK: n, SubcoolingK: n, SuctionLineK: n, LiquidLineK: n,
		OutdoorK: n, ReturnDryK: n, ReturnWetK: n, SupplyDryK: n, DischargeK: n, SplitK: n, OverOutdoorK: n, ReturnOverEvapK: n, ApproachK: n,
		CompressionRatio: n, DropLegSubcoolingK: n}
}

// decision is one answer in the making.
type decision struct {
	*sight
	a    *Advice
	said map[string]verdict
	by   string // the rule or gate that decided, "" otherwise
}

// baseReadings are what every advice needs.
var baseReadings = []string{"suction_pressure", "liquid_pressure", "suction_line", "liquid_line"}

func (d *decision) decide() {
	st, a := d.st, d.a
	unread, early := st.pending()
	switch {
	case st.closed:
		a.Action, a.Done = Stop, st.last.Done
		d.why("The session is closed.")
	case d.obey("identity"):
	case d.last == nil && d.obey("weigh-in-only"):
	case d.last == nil:
		a.Action, a.Needs = Measure, d.firstNeeds()
		d.why("Let it run %s, then take the first full reading.", minutes(15*time.Minute))
	case unread:
		d.afterChange()
	case d.last.grave:
		d.doubtful()
	case early:
		d.wait(st.change.Add(st.waitAfter(d.device)), st.change)
		d.why("Read %s after the last change: not settled yet.", minutes(d.last.sinceChange))
	default:
		d.settled()
	}
}

// afterChange answers while no reading has followed the last change.
func (d *decision) afterChange() {
	st := d.st
	until := st.change.Add(st.waitAfter(d.device))
	if st.now.Before(until) || st.now.Equal(st.change) {
		d.wait(until, st.change)
		if st.changeKg == 0 {
			d.why("Something was put right: let it settle, then read again.")
		} else {
			d.why("%s, %s net. Let it settle, then read again.", d.moved(st.changeKg), mass(d.net, d.u()))
		}
		return
	}
	d.a.Action, d.a.Needs = Measure, d.firstNeeds()
	d.why("It has settled: read again.")
}

func (d *decision) moved(kg float64) string {
	if kg < 0 {
		return mass(-kg, d.u()) + " recovered"
	}
	return mass(kg, d.u()) + " weighed in"
}

func (d *decision) wait(until, from time.Time) {
	d.a.Action = Wait
	left := until.Sub(d.st.now)
	if whole := until.Sub(from); left > whole { // a clock that went back
		left = whole
	}
	if left < time.Minute {
		left = time.Minute
	}
	d.a.Wait = left.Round(time.Second)
	d.a.WaitUntil = d.st.now.Add(d.a.Wait)
}

// doubtful asks for the values that cannot be.
func (d *decision) doubtful() {
	d.a.Action = Measure
	for _, x := range d.last.doubts {
		if x.Grave {
			d.need(x.Field)
			if len(d.a.Why) < 2 {
				d.why("%s %s: %s", title(words(x.Field)), x.Value, x.Why)
			}
		}
	}
}

func (d *decision) need(name string) {
	for _, n := range d.a.Needs {
		if n == name {
			return
		}
	}
	d.a.Needs = append(d.a.Needs, name)
}

// firstNeeds are the readings to take now: always the four, and the air where
// the target depends on it.
func (d *decision) firstNeeds() []string {
	needs := append([]string(nil), baseReadings...)
	if d.device.Verdict != ExpansionValve && d.st.comfort() && !d.st.setup.TargetSuperheat.IsValid() {
		needs = append(needs, "outdoor", "return_dry_bulb", "return_wet_bulb")
	}
	if d.st.setup.Arrangement == Receiver {
		needs = append(needs, "outdoor", "sight_glass", "drop_leg")
	}
	return needs
}

// settled decides on a settled, believable reading.
func (d *decision) settled() {
	for _, name := range baseReadings {
		if rawText(d.r.raw, name) == "" {
			d.need(name)
		}
	}
	if len(d.a.Needs) > 0 {
		d.a.Action = Measure
		d.why("Superheat and subcooling need %s.", andList(wordsOf(d.a.Needs)))
		return
	}
	p := d.met(d.st.mind.propose(d.sight))
	if d.obeyHard(p) {
		return
	}
	if p.action != Stop && d.obeyGate(p) {
		return
	}
	d.follow(p)
}

// met leaves alone a system that meets its target as found while the belief in
// another cause is no more than that: the cause is said, and nothing goes in.
func (d *decision) met(p proposal) proposal {
	if p.action != Correct || !d.inDoubt() {
		return p
	}
	p.action, p.wait = Wait, rereadAfter
	if d.rereads() >= 2 {
		p.action = Stop
	}
	return p
}

// inDoubt reports a system in its band as found, another cause not sure, and
// nothing else to be put right.
func (d *decision) inDoubt() bool {
	return d.asFound() && d.inBand() && d.other() < otherCauseSure && !d.toMend()
}

// toMend reports a rule beside that of other causes that calls for something to
// be put right.
func (d *decision) toMend() bool {
	for name, v := range d.said {
		if v.fired && v.then == Correct && name != "other-cause" {
			return true
		}
	}
	return false
}

// obeyHard lets the first fired hard rule decide.
func (d *decision) obeyHard(p proposal) bool {
	for i := range book {
		r := &book[i]
		v, ok := d.said[r.name]
		if r.strength != Hard || !ok || !v.fired {
			continue
		}
		switch r.name {
		case "weigh-in-only":
			d.byWeight(v, p)
			return true
		case "superheat-floor":
			d.flooding(v, p)
			return true
		case "other-cause":
			switch {
			case p.action == Stop && d.inBand(), p.action == Wait && d.inDoubt():
				continue // charged and in band: the cause is said beside it
			case p.action == Measure && !d.toMend():
				continue // what would tell was not read
			}
		}
		if v.then == Recover {
			d.recover(p)
		} else {
			d.a.Action = v.then
		}
		d.by = r.name
		d.a.Needs = append(d.a.Needs, v.needs...)
		d.why("%s", v.says)
		return true
	}
	return false
}

// obey lets one named rule decide when it fired.
func (d *decision) obey(name string) bool {
	v, ok := d.said[name]
	if !ok || !v.fired {
		return false
	}
	for i := range book {
		if book[i].name == name && v.then == "" {
			v.then = book[i].then
		}
	}
	d.a.Action, d.by = v.then, name
	d.a.Needs = append(d.a.Needs, v.needs...)
	d.why("%s", v.says)
	return true
}

// obeyGate lets the first open gate decide. What was asked and gone past by
// weighing in is not asked again.
func (d *decision) obeyGate(p proposal) bool {
	open := false
	for i := range book {
		r := &book[i]
		if !d.open(r) {
			continue
		}
		v := d.said[r.name]
		if v.unread != "" && !open && d.asksFirst(p) {
			d.by = r.name
			d.why("%s", v.unread)
			d.ask(p)
			return true
		}
		if !open {
			d.a.Action, d.by = v.then, r.name
			if v.then == Wait {
				d.wait(d.st.now.Add(v.wait), d.st.now)
			}
			d.why("%s", v.says)
		}
		if d.a.Action == Measure {
			for _, n := range v.needs {
				d.need(n)
			}
		}
		open = true
	}
	return open
}

// asksFirst reports a first reading that lacks what would tell the cause: it is
// read before anything is blamed.
func (d *decision) asksFirst(p proposal) bool {
	return p.action == Measure && len(d.st.readings) == 1
}

// ask asks for what the belief needs.
func (d *decision) ask(p proposal) {
	d.a.Action = Measure
	for _, name := range p.needs {
		d.need(name)
	}
	d.why("%s", d.whyMeasure(p.needs))
}

// open reports a gate that stands open: fired, not set aside, not gone past.
func (d *decision) open(r *rule) bool {
	v, ok := d.said[r.name]
	if r.strength != Gated || !ok || !v.fired || d.st.passed[r.name] {
		return false
	}
	_, aside := d.st.waived[r.name]
	return !aside
}

// byWeight answers where refrigerant is charged by weight alone. No increment
// is offered, whatever is set aside; an overshoot may be taken back.
func (d *decision) byWeight(v verdict, p proposal) {
	d.by = "weigh-in-only"
	d.a.Action = Stop
	if _, aside := d.st.waived[d.by]; !aside {
		d.why("%s", v.says)
		return
	}
	t := d.tg.orifice
	switch {
	case t.Defined && d.r.SuperheatK < t.Low:
		d.recover(proposal{})
		d.why("Superheat %s is under its window (%s): take a little back.", diff(d.r.SuperheatK, d.u()), bandText(t, d.u()))
	case t.Defined && d.r.SuperheatK <= t.High:
		d.why("Superheat %s is in its window (%s). Stop here, provisional: not charged by weight, recover and weigh in %s when it can be done.", diff(d.r.SuperheatK, d.u()), bandText(t, d.u()), d.plateText())
	default:
		d.why("No increment is offered here: %s is charged by weight. What you weigh in stays on the record.", "this unit")
	}
}

func (d *decision) why(format string, args ...any) {
	d.a.Why = append(d.a.Why, fmt.Sprintf(format, args...))
}

// collect fills the lists of fired rules and open gates.
func (d *decision) collect() {
	for i := range book {
		r := &book[i]
		v, ok := d.said[r.name]
		if !ok || !v.fired {
			continue
		}
		switch {
		case r.strength == Hard, r.strength == Gated && r.name == d.by && d.a.Action != Measure:
			d.a.Stops = append(d.a.Stops, Fired{Rule: r.name, Says: v.says})
		}
		if d.open(r) {
			d.a.Gates = append(d.a.Gates, Gate{Name: r.name, Asks: v.says})
		}
	}
	if d.by == "other-cause" && len(d.a.Stops) == 0 && len(d.a.Why) > 0 {
		d.a.Stops = append(d.a.Stops, Fired{Rule: d.by, Says: d.a.Why[0]})
	}
}

// coming is the mass between the newest reading and the state the forecast is
// made for.
func (d *decision) coming() float64 {
	kg := 0.0
	if d.r != nil {
		kg = d.net - d.r.netKg
	}
	switch d.a.Action {
	case Add:
		kg += d.a.AmountKg
	case Recover:
		kg -= d.a.AmountKg
	}
	return kg
}
