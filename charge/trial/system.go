package trial

import (
	"fmt"
	"math"
	"math/rand"
	"time"

	"chargehand/charge"
	"chargehand/charge/rig"
)

const (
	degF  = 5.0 / 9
	zeroF = 459.67 * degF // 0 °F, K
	ounce = 0.028349523125
	tonW  = 3516.853
	psi   = 6894.757
)

// bands of a landing, K.
const (
	superheatBand  = 5 * degF
	subcoolingBand = 3 * degF
	subcoolingElse = 10 * degF // target of a valve system without a data plate figure
)

// patient is a system drawn for the trial, with what is told of it.
type patient struct {
	name     string
	sys      *rig.System
	valve    bool
	fault    string // empty: to be charged
	faults   rig.Faults
	start    float64 // kg
	weather  []rig.Weather
	target   float64 // subcooling of a valve, K
	setup    string  // the event
	complete bool    // the first reading has every field
	seed     int64
}

// draw makes the system number i of a seed. Draws that cannot be charged by any method, or that do not solve, are drawn
// again.
func draw(seed int64, i int) (*patient, error) {
	rng := rand.New(rand.NewSource(seed*1_000_003 + int64(i)))
	for range 200 {
		if p, ok := try(rng, fmt.Sprintf("s%d-%04d", seed, i)); ok {
			return p, nil
		}
	}
	return nil, fmt.Errorf("trial: no system drawn for seed %d, number %d", seed, i)
}

func try(rng *rand.Rand, name string) (*patient, bool) {
	spec, c := rig.Plausible(rng)
	p := &patient{name: name, valve: spec.Device.IsValve(), seed: rng.Int63()}
	if spec.Application != rig.Comfort && !p.valve {
		return nil, false // boxes with a capillary tube are weighed in
	}
	out := (c.OutdoorK - zeroF) / degF
	if out < 65 || out > 108 {
		return nil, false // outside what the methods are for
	}
	if !p.valve && !charge.TargetSuperheat(c.OutdoorK, c.ReturnWetK).Defined {
		return nil, false
	}
	sys, err := rig.Size(spec)
	if err != nil {
		return nil, false
	}
	p.sys = sys
	p.target = subcoolingElse
	plate := math.Round(spec.DesignSubcoolingK / degF)
	given := plate >= 5 && rng.Float64() < 0.55
	if given {
		p.target = plate * degF
	}
	sound, err := sys.Sweep(c, rig.Faults{}, 60)
	if err != nil {
		return nil, false
	}
	best, ok := p.optimum(sound, c)
	if !ok {
		return nil, false
	}
	if at, err := sound.At(best); err != nil || !workable(spec, c, at) {
		return nil, false
	}
	end := c
	if rng.Float64() < 1.0/6 {
		if !p.spoil(rng, spec, sound, c, best) {
			return nil, false
		}
	} else {
		p.start = best * (0.6 + 0.43*rng.Float64())
		if rng.Float64() < 1.0/3 { // the weather moves
			end.OutdoorK += (11*rng.Float64() - 5) * degF
			end.ReturnWetK = math.Min(end.ReturnWetK+(3*rng.Float64()-1.5)*degF, end.ReturnDryK-0.3)
			if !p.valve && !charge.TargetSuperheat(end.OutdoorK, end.ReturnWetK).Defined {
				return nil, false
			}
		}
	}
	p.weather = []rig.Weather{{At: 0, Conditions: c}, {At: time.Duration(35+55*rng.Float64()) * time.Minute, Conditions: end}}
	p.complete = rng.Float64() < 0.7

	app, capacity, nameplate, sub := "", "", "", ""
	if spec.Application == rig.MediumTemperature {
		app = `,"application":"medium-temperature"`
	}
	if rng.Float64() < 0.9 {
		capacity = fmt.Sprintf(`,"capacity":"%.2f ton"`, spec.CapacityW/tonW)
	}
	if rng.Float64() < 0.66 {
		oz := math.Round(sys.NameplateKg / ounce * math.Exp(0.01*rng.NormFloat64()))
		nameplate = fmt.Sprintf(`,"nameplate_charge":"%.0f oz"`, oz)
	}
	if given {
		sub = fmt.Sprintf(`,"target_subcooling":"%.0f °F"`, plate)
	}
	p.setup = fmt.Sprintf(`{"kind":"setup","at":%%q,"refrigerant":%q,"unit":"trial","barometer":"%.2f psia"%s%s%s%s}`,
		spec.Refrigerant, c.BarometerPa/psi, capacity, nameplate, sub, app)
	return p, true
}

// workable reports whether a technician would charge this system on this day at all: return air within the methods' range,
// and at the right charge no coil that freezes, no head, discharge or split that calls for something else first.
func workable(spec rig.Spec, c rig.Conditions, at rig.State) bool {
	f := func(k float64) float64 { return (k - zeroF) / degF }
	if spec.Application == rig.Comfort {
		if dry := f(c.ReturnDryK); dry < 70 || dry > 83 || f(at.EvaporatingK) < 33 || c.ReturnDryK-at.SupplyDryK > 26*degF {
			return false
		}
	}
	return f(at.DischargeLineK) < 215 && at.CondensingK-c.OutdoorK < 32*degF
}

// optimum is the charge at which the target is met exactly, by a sweep at conditions c.
func (p *patient) optimum(s *rig.Sweep, c rig.Conditions) (float64, bool) {
	value := func(st rig.State) float64 { return st.SubcoolingK - p.target }
	if !p.valve {
		mid := charge.TargetSuperheat(c.OutdoorK, c.ReturnWetK).Mid
		value = func(st rig.State) float64 { return mid - st.SuperheatK }
	}
	for i := 1; i < len(s.States); i++ {
		a, b := value(s.States[i-1]), value(s.States[i])
		if a < 0 && b >= 0 {
			f := a / (a - b)
			kg := s.States[i-1].ChargeKg + f*(s.States[i].ChargeKg-s.States[i-1].ChargeKg)
			return kg, 0.6*kg > s.States[0].ChargeKg
		}
	}
	return 0, false
}

// spoil gives the system a reason not to be charged, one that a technician could notice.
func (p *patient) spoil(rng *rand.Rand, spec rig.Spec, sound *rig.Sweep, c rig.Conditions, best float64) bool {
	if rng.Intn(7) == 0 {
		p.fault, p.start = "overcharge", best*(1.17+0.12*rng.Float64())
		return true
	}
	p.faults, p.start = rig.PlausibleFault(rng, spec), best*(0.94+0.12*rng.Float64())
	f := p.faults
	for _, n := range []struct {
		name string
		size float64
	}{{"airflow", f.LowAirflow}, {"fouled", f.CondenserFouling}, {"fan", f.CondenserFan}, {"restriction", f.Restriction},
		{"noncondensable", f.NonCondensable}, {"weak", f.WeakCompressor}, {"valve-open", f.ValveStuckOpen},
		{"valve-shut", f.ValveStuckShut}, {"bulb", f.BulbLoose}} {
		if n.size > 0 {
			p.fault = n.name
		}
	}
	was, err := sound.At(p.start)
	if err != nil {
		return false
	}
	is, err := p.sys.Steady(p.start, c, p.faults)
	if err != nil {
		return false
	}
	far := func(a, b, f float64) bool { return math.Abs(a-b) > f*degF }
	return far(is.SuperheatK, was.SuperheatK, 10) || far(is.SubcoolingK, was.SubcoolingK, 7) ||
		far(is.CondensingK, was.CondensingK, 9) || far(is.EvaporatingK, was.EvaporatingK, 6)
}
