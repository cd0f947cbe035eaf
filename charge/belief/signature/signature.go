// Package signature knows faults by the mark they leave over all channels of one full reading: what somebody who has
// seen many units sees at a glance, before anything is weighed in.
//
// It is a small network trained on systems of package rig, sound at every charge or with one fault each, read with
// plausible instruments and with the scatter of real units laid over; package train says on what. The inputs are
// differences of temperature, so capacity, data plate and refrigerant hardly matter.
//
// What it gives is evidence, not a verdict: a log likelihood ratio against a sound system, bounded, which package belief
// pools with that of its members.
package signature

import (
	_ "embed"
	"encoding/json"
	"math"
	"sync"
)

//go:generate go run ../../../.ci/signature -out weights.json

// Fault is what may be wrong besides the charge. The zero Fault is Sound.
type Fault int

const (
	Sound Fault = iota
	Airflow
	Condenser
	Gas
	Restriction
	Weak
	Overfeed // a valve that hangs open or has lost its bulb
	Faults   // how many there are
)

// Look is one full reading, temperatures in kelvin and differences in kelvin. NaN is a value not taken.
type Look struct {
	Box                           bool // a refrigerated room, whose wet bulb does not count
	Superheat, Subcooling         float64
	Evaporating, Condensing       float64 // dew and bubble point
	Outdoor, ReturnDry, ReturnWet float64
	SupplyDry, Discharge          float64
	DischargeOver                 float64 // discharge line less condensing temperature that the refrigerant gives without superheat
	TargetSuperheat               float64 // of an orifice in this air
	TargetSubcooling              float64 // of the data plate; zero when it says nothing
}

const (
	degF  = 5.0 / 9
	zeroF = 459.67 * degF

	// Inputs is how many numbers the network looks at.
	Inputs = 14
	// Most is the largest evidence given, natural log: no reading is a proof.
	Most = 6.0
)

// Inputs are what the network looks at, about one in size and bounded. ok is false when the reading is not full.
func (l *Look) Inputs() (x [Inputs]float64, ok bool) {
	f := func(k float64) float64 { return k / degF }
	box, known := 0.0, 0.0
	wet, dry, over, want := f(l.ReturnWet-l.Evaporating), f(l.ReturnDry-l.ReturnWet), f(l.Superheat-l.TargetSuperheat), 0.0
	if l.Box {
		box, wet, dry, over = 1, 22, 13, 0
	}
	if l.TargetSubcooling > 0 {
		want, known = f(l.TargetSubcooling), 1
	}
	fall := f(l.ReturnDry - l.Evaporating)
	x = [Inputs]float64{
		box,
		f(l.Superheat)/20 - 1,
		f(l.Subcooling)/6 - 1,
		fall/20 - 2,
		wet/10 - 2.2,
		f(l.Condensing-l.Outdoor)/10 - 2,
		f(l.ReturnDry-l.SupplyDry)/8 - 2.2,
		dry/8 - 1.6,
		(f(l.Outdoor-zeroF) - 85) / 15,
		(f(l.Discharge-l.Condensing-l.DischargeOver) - 25) / 30,
		f(l.Condensing-l.Evaporating)/20 - 3,
		over / 20,
		f(l.Superheat)/math.Max(fall, 5)*2 - 1,
		known * (f(l.Subcooling) - want) / 6,
	}
	for i, v := range x {
		if math.IsNaN(v) {
			return x, false
		}
		x[i] = 3 * math.Tanh(v/3)
	}
	return x, true
}

// Evidence is the log likelihood of the reading under each fault less that of a sound system, within Most. ok is false when
// the reading is not full.
func Evidence(l *Look) (e [Faults]float64, ok bool) {
	x, ok := l.Inputs()
	if !ok {
		return e, false
	}
	return trained().Evidence(x), true
}

//go:embed weights.json
var stored []byte

var trained = sync.OnceValue(func() *Net {
	n := new(Net)
	if err := json.Unmarshal(stored, n); err != nil {
		panic("signature: the embedded weights are damaged: " + err.Error())
	}
	return n
})
