package scenario

import (
	"encoding/json"
	"errors"
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

func (r *reader) scenario(n *node) *Scenario {
	o := r.object(n)
	s := &Scenario{}
	if f := o.need("format"); f != nil && f.text != Format {
		r.say(f, f.text, "is not known: write %q", Format)
	}
	o.get("$schema")
	s.Name = r.name(o.need("name"))
	s.Title = r.words(o.need("title"))
	s.Teaches = r.words(o.need("teaches"))
	for _, p := range r.list(o.need("story"), 20) {
		s.Story = append(s.Story, r.words(p))
	}
	if f := o.need("start"); f != nil {
		t, err := time.Parse(time.RFC3339, f.text)
		if err != nil {
			r.say(f, f.text, `is not a time: write it like "2026-07-14T13:00:00Z"`)
		}
		s.Start = t
	}
	s.Plate = r.word(o.get("plate"), "readable", "unreadable") != "unreadable"
	if f := o.need("setup"); f != nil {
		if b := r.setup(f, true); b != nil {
			s.Setup = *b
		}
	}
	if f := o.need("hidden"); f != nil {
		s.Hidden = r.hidden(f, &s.Setup)
	}
	for _, w := range r.list(o.need("weather"), 50) {
		s.Weather = append(s.Weather, r.weather(w))
	}
	if f := o.get("weather"); f != nil && f.kind == "list" {
		if len(s.Weather) == 0 {
			r.say(f, "", "is empty: give at least the weather at minute 0")
		}
		for i := 1; i < len(s.Weather); i++ {
			if s.Weather[i].Minute <= s.Weather[i-1].Minute {
				r.say(f.items[i], "", "comes before the point in front of it: put the minutes in order")
			}
		}
	}
	for _, t := range r.list(o.get("instruments"), 20) {
		s.Trouble = append(s.Trouble, r.trouble(t))
	}
	seen := map[string]bool{}
	for _, i := range r.list(o.need("inspect"), 30) {
		item := r.item(i)
		if seen[item.Name] {
			r.say(i, item.Name, "is listed twice: keep one")
		}
		seen[item.Name] = true
		s.Items = append(s.Items, item)
	}
	if f := o.need("goal"); f != nil {
		s.Goal = r.goal(f, seen)
	}
	if f := o.need("misstep"); f != nil {
		s.Misstep = r.misstep(f, seen)
	}
	o.done()
	return s
}

// setup hands the fields to the reader of events, which knows their forms.
func (r *reader) setup(n *node, first bool) *charge.Setup {
	o := r.object(n)
	line := map[string]any{"kind": "setup", "at": "2026-01-01T00:00:00Z"}
	at := map[string]*node{}
	for _, m := range o.at.fields {
		o.used[m.name] = true
		if m.name == "kind" || m.name == "at" {
			r.say(m.at, "", "does not belong into a setup of a scenario")
			continue
		}
		if m.at.kind != "text" {
			r.say(m.at, m.at.text, "is a %s: write text between quotation marks, quantities with their unit", m.at.kind)
			return nil
		}
		line[m.name], at[m.name] = m.at.text, m.at
	}
	raw, err := json.Marshal(line)
	if err != nil {
		r.say(n, "", "%s", err)
		return nil
	}
	e, err := charge.ParseEvent(raw)
	if err == nil {
		err = admissible(e, first)
	}
	if err != nil {
		where, why := n, err.Error()
		var ref *charge.Refusal
		if errors.As(err, &ref) {
			why = ref.Why
			if at[ref.Field] != nil {
				where = at[ref.Field]
				r.say(where, ref.Value, "%s", why)
				return nil
			}
			if ref.Field != "" {
				why = ref.Field + " " + why
			}
		}
		r.say(where, "", "%s", why)
		return nil
	}
	for _, x := range e.Extra {
		r.problems = append(r.problems, Problem{Line: at[x.Name].line, Field: clip(at[x.Name].path), Why: "is not a field of a setup"})
	}
	return e.Body.(*charge.Setup)
}

// admissible lets a session say whether it would take the setup.
func admissible(e charge.Event, first bool) error {
	s := charge.NewSession(charge.Options{})
	if !first {
		if _, err := s.Apply(charge.Event{At: e.At, Body: &charge.Setup{Refrigerant: "R-410A"}}); err != nil {
			return err
		}
	}
	_, err := s.Apply(e)
	return err
}

func (r *reader) weather(n *node) Weather {
	o := r.object(n)
	w := Weather{
		Minute:     r.number(o.need("minute"), 0, 1440, 0),
		OutdoorK:   r.between(o.need("outdoor"), 233, 330),
		ReturnDryK: r.between(o.need("return_dry_bulb"), 233, 318),
		ReturnWetK: r.between(o.need("return_wet_bulb"), 233, 310),
	}
	if w.ReturnWetK > w.ReturnDryK {
		r.say(n, "", "the wet bulb is above the dry bulb: swap them")
	}
	o.done()
	return w
}

func (r *reader) between(n *node, lowK, highK float64) float64 {
	k := quantity[q.Temperature](r, n).Kelvin()
	if k < lowK || k > highK {
		r.say(n, n.text, "is out of range for a scenario: %s to %s", q.FormatTemperatureK(lowK, q.US), q.FormatTemperatureK(highK, q.US))
	}
	return k
}
