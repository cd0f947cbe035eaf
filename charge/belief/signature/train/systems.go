package train

import (
	"math"
	"math/rand"
	"runtime"
	"sync"

	"chargehand/charge/belief"
	"chargehand/charge/belief/signature"
	"chargehand/charge/rig"
	"chargehand/refrigerants"
)

const degF = 5.0 / 9

// Row is one reading with what is wrong.
type Row struct {
	look  signature.Look
	fault signature.Fault
}

// Gather draws readings side by side. Each system has its own stream, so the outcome does not depend on how.
func Gather(n int, seed int64) []Row {
	rows := make([]Row, n)
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				rng := rand.New(rand.NewSource(seed*1_000_003 + int64(i)))
				for ok := false; !ok; {
					rows[i], ok = draw(rng)
				}
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
	return rows
}

// draw draws a system and reads it. ok is false for one outside what is wanted or that does not solve.
func draw(rng *rand.Rand) (r Row, ok bool) {
	spec, c := rig.Plausible(rng)
	if out := c.OutdoorK/degF - 459.67; out < 62 || out > 110 {
		return r, false
	}
	sys, err := rig.Size(spec)
	if err != nil {
		return r, false
	}
	share, faults := 0.58+0.5*rng.Float64(), rig.Faults{}
	switch x := rng.Float64(); {
	case x < 0.5:
		faults = rig.PlausibleFault(rng, spec)
		r.fault = faultOf(faults)
		share = 0.93 + 0.14*rng.Float64()
		if rng.Float64() < 0.3 {
			share = 0.78 + 0.4*rng.Float64()
		}
	case x < 0.55:
		share = 1.05 + 0.25*rng.Float64()
	}
	kg := share * sys.NameplateKg
	is, err := sys.Steady(kg, c, faults)
	if err != nil {
		return r, false
	}
	if r.fault != signature.Sound {
		was, err := sys.Steady(kg, c, rig.Faults{})
		if err != nil || !shows(was, is) {
			return r, false
		}
	}
	u := belief.Unit{Refrigerant: spec.Refrigerant}
	if spec.Application != rig.Comfort {
		u.Application = belief.MediumTemperature
	}
	if plate := math.Round(spec.DesignSubcoolingK / degF); plate >= 5 && rng.Float64() < 0.55 {
		u.TargetSubcoolingK = plate * degF
	}
	reading, err := read(rig.PlausibleInstruments(rng.Int63()).Read(0, is), spec.Refrigerant, c.BarometerPa)
	if err != nil {
		return r, false
	}
	r.look = belief.Look(u, reading)
	return r, true
}

// read derives what a technician would.
func read(v rig.Readings, refrigerant string, barometer float64) (belief.Reading, error) {
	r := belief.NewReading()
	f, err := refrigerants.Lookup(refrigerant)
	if err != nil {
		return r, err
	}
	if r.EvaporatingK, err = f.DewTemperature(v.SuctionGaugePa + barometer); err != nil {
		return r, err
	}
	if r.CondensingK, err = f.BubbleTemperature(v.LiquidGaugePa + barometer); err != nil {
		return r, err
	}
	r.SuperheatK, r.SubcoolingK = v.SuctionLineK-r.EvaporatingK, r.CondensingK-v.LiquidLineK
	r.OutdoorK, r.ReturnDryK, r.ReturnWetK = v.OutdoorK, v.ReturnDryK, v.ReturnWetK
	r.SupplyDryK, r.DischargeK = v.SupplyDryK, v.DischargeLineK
	return r, nil
}

// shows reports a fault that somebody could notice.
func shows(was, is rig.State) bool {
	far := func(a, b, f float64) bool { return math.Abs(a-b) > f*degF }
	return far(is.SuperheatK, was.SuperheatK, 10) || far(is.SubcoolingK, was.SubcoolingK, 7) ||
		far(is.CondensingK, was.CondensingK, 9) || far(is.EvaporatingK, was.EvaporatingK, 6)
}

func faultOf(f rig.Faults) signature.Fault {
	switch {
	case f.LowAirflow > 0:
		return signature.Airflow
	case f.CondenserFouling > 0, f.CondenserFan > 0:
		return signature.Condenser
	case f.NonCondensable > 0:
		return signature.Gas
	case f.Restriction > 0, f.ValveStuckShut > 0:
		return signature.Restriction
	case f.WeakCompressor > 0:
		return signature.Weak
	case f.ValveStuckOpen > 0, f.BulbLoose > 0:
		return signature.Overfeed
	}
	return signature.Sound
}

// scatter lays over a reading what real units of one kind differ by from the rig, K: coils, fans and compressors of all
// makes [our choice: wide enough that an independent simulation's sound systems are not called faulty].
func scatter(l signature.Look, rng *rand.Rand) signature.Look {
	g := func(f float64) float64 { return f * degF * rng.NormFloat64() }
	superheat, condensing := g(1.2), g(2)
	l.Superheat += superheat
	l.Subcooling += g(0.8)
	l.Evaporating += g(2.2)
	l.Condensing += condensing
	l.Discharge += condensing + superheat + g(5)
	l.SupplyDry += g(1.5)
	return l
}
