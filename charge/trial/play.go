package trial

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"chargehand/charge"
	"chargehand/charge/rig"
	"chargehand/refrigerants"
)

// Limits of one job, those of a patient technician.
const (
	mostIncrements = 15
	mostWaits      = 10
	mostMeasures   = 4
	mostMinutes    = 360 * time.Minute
	startUp        = 12 * time.Minute // after a thaw, before readings mean something
)

var morning = time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)

// answer is what a policy says to an event.
type answer struct {
	action  charge.Action
	kg      float64
	wait    time.Duration
	orifice float64 // probability
	verdict charge.Device
	bands   *charge.Bands // of the next settled reading after kg, nil when it gives none
	thaw    bool          // while waiting: compressor off, blower on
	rule    string        // that decided, empty when none did
	refused bool
}

// policy is whoever is asked what to do next.
type policy interface {
	tell(line string) answer
}

// result is how one job ended.
type result struct {
	fault      string
	valve      bool
	end        charge.Action // zero when it hit a limit
	landed     bool
	inBand     bool
	verdict    charge.Device
	verdictAt  int // increments when the final verdict first stood
	everWrong  bool
	increments int
	weighedIn  bool // something went in, whatever came out
	overshot   bool
	unsafe     int
	caught     bool
	minutes    float64
	off        float64 // of the true settled value from the middle of its band, K
	rule       string  // that ended it
	bands      []bandHit
	beliefs    []beliefHit
}

type bandHit struct{ moved, superheat, subcooling bool }

type beliefHit struct {
	p     float64 // of the likelier device
	right bool
}

// play runs one job.
func (p *patient) play(who policy) (r result, err error) {
	r = result{fault: p.fault, valve: p.valve, verdict: charge.DeviceUnknown}
	in := *rig.PlausibleInstruments(p.seed) // each policy meets the same instruments from new
	plant, err := rig.NewPlant(p.sys, rig.PlantOptions{ChargeKg: p.start, Weather: p.weather, Faults: p.faults, Seed: p.seed})
	if err != nil {
		return r, err
	}
	at := func() string { return morning.Add(plant.Clock()).Format(time.RFC3339) }
	who.tell(fmt.Sprintf(p.setup, at()))
	for _, item := range charge.Items() {
		who.tell(fmt.Sprintf(`{"kind":"check","at":%q,"item":%q,"state":"ok"}`, at(), item))
	}
	var pending *answer
	complete, idle, asked, refused := p.complete, 0, 0, 0
	for plant.Clock() < mostMinutes {
		if pending != nil && pending.bands != nil {
			p.judgeBands(&r, &in, plant, pending)
		}
		pending = nil
		a := who.tell(p.reading(&in, plant, at(), complete))
		if a.refused {
			if refused++; refused > 2 {
				break
			}
			complete = true
			if err := plant.Advance(time.Minute); err != nil {
				return r, err
			}
			continue
		}
		p.note(&r, a)
		next := a
		switch a.action {
		case charge.Stop, charge.Correct:
			r.end, r.rule = a.action, a.rule
		case charge.Measure:
			if asked++; asked > mostMeasures {
				return p.judge(r, plant)
			}
			complete = true
			err = plant.Advance(time.Minute)
		case charge.Wait:
			if idle++; idle > mostWaits {
				return p.judge(r, plant)
			}
			asked = 0
			if a.thaw {
				plant.Rest(minutes(a.wait, 5))
				a.wait = startUp
			} else {
				pending = &next
			}
			err = plant.Advance(minutes(a.wait, 5))
		case charge.Add, charge.Recover:
			idle, asked = 0, 0
			pending = &next
			if r.increments >= mostIncrements {
				return p.judge(r, plant)
			}
			if p.fault == "overcharge" && a.action == charge.Recover && r.increments == 0 {
				r.end = charge.Recover
				return p.judge(r, plant)
			}
			kg := a.kg
			if a.action == charge.Recover {
				kg = -kg
			}
			plant.Add(kg)
			r.increments++
			if err = plant.Advance(30*time.Second + time.Duration(math.Abs(kg)/ounce/8*float64(time.Minute))); err != nil {
				return r, err
			}
			if kg > 0 {
				r.weighedIn = true
				if err := p.judgeAddition(&r, plant); err != nil {
					return r, err
				}
			}
			after := who.tell(fmt.Sprintf(`{"kind":"weighed","at":%q,"amount":"%.2f oz"}`, at(), kg/ounce))
			w := a.wait
			if after.wait > 0 {
				w = after.wait
			}
			err = plant.Advance(minutes(w, 10))
		}
		if err != nil {
			return r, err
		}
		if r.end != "" {
			break
		}
	}
	return p.judge(r, plant)
}

func minutes(d time.Duration, otherwise int) time.Duration {
	if d <= 0 {
		return time.Duration(otherwise) * time.Minute
	}
	return min(max(d, 30*time.Second), time.Hour)
}

// reading is the event a technician types now.
func (p *patient) reading(in *rig.Instruments, plant *rig.Plant, at string, complete bool) string {
	v := in.Read(plant.Clock(), plant.State())
	f := func(k float64) string { return fmt.Sprintf("%.1f °F", (k-zeroF)/degF) }
	m := map[string]string{"kind": "reading", "at": at,
		"suction_pressure": fmt.Sprintf("%.1f psig", v.SuctionGaugePa/psi), "liquid_pressure": fmt.Sprintf("%.1f psig", v.LiquidGaugePa/psi),
		"suction_line": f(v.SuctionLineK), "liquid_line": f(v.LiquidLineK), "outdoor": f(v.OutdoorK), "return_dry_bulb": f(v.ReturnDryK),
	}
	if complete {
		m["return_wet_bulb"] = f(math.Min(v.ReturnWetK, v.ReturnDryK))
		m["supply_dry_bulb"], m["discharge_line"] = f(v.SupplyDryK), f(v.DischargeLineK)
	}
	line, _ := json.Marshal(m)
	return string(line)
}

// note keeps what the answer says of the device.
func (p *patient) note(r *result, a answer) {
	if a.verdict != r.verdict {
		r.verdict, r.verdictAt = a.verdict, r.increments
	}
	if a.verdict != charge.DeviceUnknown && a.verdict != p.device() {
		r.everWrong = true
	}
	if p.fault == "" && !math.IsNaN(a.orifice) {
		r.beliefs = append(r.beliefs, beliefHit{max(a.orifice, 1-a.orifice), a.orifice > 0.5 == !p.valve})
	}
}

func (p *patient) device() charge.Device {
	if p.valve {
		return charge.ExpansionValve
	}
	return charge.FixedOrifice
}

// goal is the true target at the conditions of now, K.
func (p *patient) goal(plant *rig.Plant) float64 {
	if p.valve {
		return p.target
	}
	c := plant.Conditions()
	if t := charge.TargetSuperheat(c.OutdoorK, c.ReturnWetK); t.Defined {
		return t.Mid
	}
	return 5 * degF
}

// judgeAddition looks at where an addition leads.
func (p *patient) judgeAddition(r *result, plant *rig.Plant) error {
	s, err := plant.Settled()
	if err != nil {
		return err
	}
	t := p.goal(plant)
	if p.valve {
		r.overshot = r.overshot || p.fault == "" && s.SubcoolingK > t+subcoolingBand
		return nil
	}
	if p.fault == "" && s.SuperheatK < 4*degF && s.SuperheatK < math.Max(t-superheatBand, 0.5*degF) {
		r.overshot = true
	}
	if s.SuperheatK < 2*degF {
		r.unsafe++
	}
	return nil
}

// judgeBands compares a forecast with the settled reading these instruments would give now.
func (p *patient) judgeBands(r *result, in *rig.Instruments, plant *rig.Plant, a *answer) {
	s, err := plant.Settled()
	if err != nil || p.fault != "" {
		return
	}
	look := *in
	for _, c := range []*rig.Sensor{&look.Suction, &look.Liquid, &look.SuctionLine, &look.LiquidLine} {
		c.Lag = 0
	}
	v := look.Read(plant.Clock(), s)
	sh, sc, err := p.derive(v, plant.Conditions().BarometerPa)
	if err != nil {
		return
	}
	inside := func(b [3]float64, x float64) bool { return x >= b[0] && x <= b[2] }
	r.bands = append(r.bands, bandHit{a.action == charge.Add || a.action == charge.Recover, inside(a.bands.Superheat, sh), inside(a.bands.Subcooling, sc)})
}

// derive is superheat and subcooling as a technician derives them.
func (p *patient) derive(v rig.Readings, barometer float64) (sh, sc float64, err error) {
	r, err := refrigerants.Lookup(p.sys.Spec().Refrigerant)
	if err != nil {
		return 0, 0, err
	}
	dew, err := r.DewTemperature(v.SuctionGaugePa + barometer)
	if err != nil {
		return 0, 0, err
	}
	bubble, err := r.BubbleTemperature(v.LiquidGaugePa + barometer)
	return v.SuctionLineK - dew, bubble - v.LiquidLineK, err
}

// judge settles how the job ended.
func (p *patient) judge(r result, plant *rig.Plant) (result, error) {
	r.minutes = plant.Clock().Minutes()
	if p.fault != "" {
		r.caught = !r.weighedIn && r.end != ""
		return r, nil
	}
	s, err := plant.Settled()
	if err != nil {
		return r, err
	}
	if p.valve {
		r.off = s.SubcoolingK - p.goal(plant)
		r.inBand = math.Abs(r.off) <= subcoolingBand
	} else {
		r.off = s.SuperheatK - p.goal(plant)
		r.inBand = math.Abs(r.off) <= superheatBand
	}
	r.landed = r.inBand && r.end == charge.Stop
	return r, nil
}
