package scenario

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/charge/belief"
)

// remedies says which items an apprentice looks at when the advice names a
// cause or a rule.
var remedies = map[string][]string{
	belief.LowAirflow:         {"filter", "evaporator-coil", "blower"},
	"split-ceiling":           {"filter", "evaporator-coil", "blower"},
	"coil-freezing":           {"filter", "evaporator-coil", "blower"},
	"superheat-floor":         {"filter", "evaporator-coil", "blower"},
	"air-side":                {"filter", "evaporator-coil", "blower"},
	belief.CondenserFouled:    {"condenser-coil", "condenser-fan"},
	"condensing-over-outdoor": {"condenser-coil", "condenser-fan"},
	"head-ceiling":            {"condenser-coil", "condenser-fan"},
	"compression-ratio":       {"condenser-coil", "condenser-fan"},
	"condenser":               {"condenser-coil", "condenser-fan"},
	"leak-search":             {"leak-search"},
	"leak-answer":             {"leak-search"},
	"flammable-checklist":     {"leak-search", "electrical"},
}

const mostMoves = 120

// Auto plays the tool's own advice to the end: it reads when told to, weighs
// what is offered, looks at what is asked about and puts right what can be put
// right, and leaves the unit alone for the cause the advice names. show, when
// given, is called before each move with what is about to be done and why.
func Auto(r *Run, show func(string)) error {
	p := &player{r: r, show: show}
	if show == nil {
		p.show = func(string) {}
	}
	// The system ran while the tools came up the ladder.
	for range mostMoves {
		if r.Done() {
			return nil
		}
		if err := p.move(); err != nil {
			return err
		}
	}
	return fmt.Errorf("the advice did not come to an end in %d moves", mostMoves)
}

type player struct {
	r        *Run
	show     func(string)
	measured int // answers of measure in a row
	waited   bool
}

func (p *player) move() error {
	a := p.r.Hint()
	if a.Action != charge.Measure {
		p.measured = 0
	}
	switch a.Action {
	case charge.Measure:
		return p.measure(&a)
	case charge.Wait:
		minutes := max(a.Wait, time.Minute).Minutes()
		p.show(fmt.Sprintf("wait %.0f minutes, then read", minutes))
		if err := p.r.Wait(minutes); err != nil {
			return err
		}
		_, err := p.r.Read()
		return err
	case charge.Add, charge.Recover:
		kg := a.AmountKg
		if a.Action == charge.Recover {
			kg = -kg
		}
		p.show(fmt.Sprintf("%s %s", a.Action, p.r.mass(a.AmountKg)))
		if _, err := p.r.Weigh(kg, ""); err != nil {
			return err
		}
		return nil
	case charge.Correct:
		return p.correct(&a)
	default:
		return p.stop(&a)
	}
}

// measure answers questions: items are looked at, readings taken.
func (p *player) measure(a *charge.Advice) error {
	if p.measured++; p.measured > 6 {
		return p.leave("no-settled-reading")
	}
	// A reading that cannot be: whatever could mend that instrument first.
	for _, d := range a.Doubts {
		for i := range p.r.lesson.Items {
			it := &p.r.lesson.Items[i]
			if it.Fix != nil && slices.Contains(it.Fix.Mends, d.Field) && !p.r.Fixed(it.Name) {
				return p.look(it.Name)
			}
		}
	}
	looked := false
	for _, n := range a.Needs {
		if !slices.Contains(charge.Items(), charge.Item(n)) || p.r.Looked(n) && p.r.Fixed(n) {
			continue
		}
		if err := p.look(n); err != nil {
			return err
		}
		looked = true
	}
	if looked {
		return nil
	}
	if !p.waited {
		p.waited = true
		p.show("let it run 15 minutes")
		if err := p.r.Wait(15); err != nil {
			return err
		}
	}
	p.show("read")
	_, err := p.r.Read()
	return err
}

// look inspects an item and, where it is faulty and can be, puts it right.
func (p *player) look(name string) error {
	it, err := p.r.item(name)
	if err != nil {
		return err
	}
	if !p.r.Looked(name) {
		p.show(looking(name))
		if _, err := p.r.Inspect(name); err != nil {
			return err
		}
	}
	if it.Fix != nil && !p.r.Fixed(name) {
		p.show(mending(name))
		if _, err := p.r.Fix(name); err != nil {
			return err
		}
		if len(it.Fix.Mends) > 0 {
			return p.again()
		}
	}
	return nil
}

// looking and mending say what is done about an item.
func looking(item string) string {
	switch charge.Item(item) {
	case charge.LeakSearch:
		return "search for leaks"
	case charge.ElectricalCheck:
		return "check the electrical side"
	}
	return "look at the " + words(item)
}

func mending(item string) string {
	if charge.Item(item) == charge.LeakSearch {
		return "mend the leak"
	}
	return "put the " + words(item) + " right"
}

// again takes back the readings of an instrument that lied and reads anew.
func (p *player) again() error {
	for _, s := range p.r.session.Steps() {
		if s.Event.Kind() != charge.KindReading || s.Voided {
			continue
		}
		p.show(fmt.Sprintf("take the reading of %s back", at(s.Event.At)))
		if _, err := p.r.Enter(&charge.Void{Voids: charge.EventNumber(s.Event.N), Why: "read with an instrument in the wrong place"}); err != nil {
			return err
		}
	}
	p.show("read")
	_, err := p.r.Read()
	return err
}

// correct looks for the cause and leaves the unit alone when it stays.
func (p *player) correct(a *charge.Advice) error {
	names := causesOf(a)
	for _, name := range names {
		items := remedies[name]
		if name == "fault-found" {
			for item, state := range p.r.session.Checks() {
				if state == charge.CheckFaulty {
					items = append(items, string(item))
				}
			}
			slices.Sort(items)
		}
		for _, item := range items {
			it, err := p.r.item(item)
			if err != nil || p.r.Fixed(item) || p.r.Looked(item) && it.Fix == nil {
				continue
			}
			return p.look(item)
		}
	}
	// What else the roof shows, for the record.
	for i := range p.r.lesson.Items {
		it := &p.r.lesson.Items[i]
		if !it.Known() && !p.r.Looked(it.Name) && it.Name != "data-plate" {
			return p.look(it.Name)
		}
	}
	return p.leave(names[0])
}

// causesOf names what decided: a cause other than charge that is likely, then
// the rules and gates that fired.
func causesOf(a *charge.Advice) []string {
	var names []string
	add := func(n string) {
		if n != "" && n != "other-cause" && !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	if a.Action == charge.Correct {
		for _, c := range a.Causes {
			if c.Name != belief.ShortOfCharge && c.Name != belief.ChargeRight && c.Name != belief.Overcharged && c.P > 0.3 {
				add(c.Name)
			}
		}
	}
	for _, s := range a.Stops {
		add(s.Rule)
	}
	for _, g := range a.Gates {
		add(g.Name)
	}
	if len(names) == 0 {
		names = []string{"unclear"}
	}
	return names
}

func (p *player) stop(a *charge.Advice) error {
	if a.Done {
		kind := ChargeIt
		cause := ""
		if p.r.lesson.Goal.Kind == LeaveIt && a.AddedKg == 0 && a.RecoveredKg == 0 {
			kind, cause = LeaveIt, "in-band" // nothing was the matter with the charge
		}
		p.show("done: in band")
		_, err := p.r.Finish(Verdict{kind, cause})
		return err
	}
	return p.leave(causesOf(a)[0])
}

func (p *player) leave(cause string) error {
	p.show("leave it: " + strings.ReplaceAll(cause, "-", " "))
	_, err := p.r.Finish(Verdict{LeaveIt, cause})
	return err
}

// PlayMisstep makes the moves of the mistake the lesson teaches to avoid; show
// as in Auto.
func PlayMisstep(r *Run, show func(string)) error {
	for _, m := range r.lesson.Misstep.Play {
		if show != nil {
			show(m.say(r))
		}
		if err := r.move(m); err != nil {
			return fmt.Errorf("%s: %w", m.Do, err)
		}
	}
	return nil
}

func (r *Run) move(m Move) (err error) {
	switch m.Do {
	case "read":
		_, err = r.Read()
	case "weigh":
		_, err = r.Weigh(m.Amount.Kilograms(), "")
	case "wait":
		err = r.Wait(m.Minutes)
	case "inspect":
		_, err = r.Inspect(m.Item)
	case "fix":
		_, err = r.Fix(m.Item)
	case "finish":
		_, err = r.Finish(Verdict{m.Verdict, m.Cause})
	}
	return err
}

func (m Move) say(r *Run) string {
	switch m.Do {
	case "weigh":
		return "weigh " + r.mass(m.Amount.Kilograms())
	case "wait":
		return fmt.Sprintf("wait %g minutes", m.Minutes)
	case "inspect":
		return looking(m.Item)
	case "fix":
		return mending(m.Item)
	case "finish":
		return "close the job: " + ended(&Verdict{m.Verdict, m.Cause})
	}
	return m.Do
}
