package rig

import (
	"math"
	"math/rand"
)

// Plausible draws a system and the weather it stands in: the breadth of what a
// technician meets, wider than any one maker's product. The distribution:
//
//	application     comfort 80 %, medium temperature 20 %
//	capacity        comfort log-uniform 1.5 to 10 ton (1 to 10 with the small
//	                ones rarer), coolers log-uniform 0.3 to 3 ton
//	refrigerant     comfort R-410A 40, R-22 17, R-32 12, R-454B 12, R-407C 8,
//	                R-134a 4, R-404A 2, R-290 2, R-513A 1, R-452B 2 %; coolers R-404A 30,
//	                R-134a 20, R-448A 10, R-449A 10, R-290 10, R-22 5, R-407A 5,
//	                R-507A 5, R-454C 3, R-513A 2 %
//	device          comfort: piston 42, thermostatic 42, electronic 12, capillary
//	                4 %; coolers: thermostatic 72, capillary 18, electronic 10 %
//	superheat       fixed 3 to 11 K at the port, valves 4.5 to 10 K
//	subcooling      2.5 to 9 K: real units carry more at a given superheat than
//	                tidy simulations
//	condensing      comfort 7 to 16 K over ambient, coolers 8 to 17 K; its zones'
//	                conductances, volumes and slip independent of each other
//	micro-channel   25 % of comfort
//	receiver        none here: PlausibleReceiver
//	accumulator     25 % of comfort
//	weather         outdoor 55 to 115 °F, return wet bulb 55 to 76 °F with 35 to
//	                65 % relative humidity; coolers 60 to 105 °F, box -1 to 6 °C
//
// Everything else in the Spec is spread about its default as written below.
func Plausible(rng *rand.Rand) (Spec, Conditions) {
	if rng.Float64() < 0.8 {
		return plausibleComfort(rng)
	}
	return plausibleCooler(rng)
}

// share is a weighted choice.
type share struct {
	name   string
	weight float64
}

var comfortRefrigerants = []share{{"R-410A", 40}, {"R-22", 17}, {"R-32", 12}, {"R-454B", 12}, {"R-407C", 8},
	{"R-134a", 4}, {"R-404A", 2}, {"R-290", 2}, {"R-513A", 1}, {"R-452B", 2}}

var coolerRefrigerants = []share{{"R-404A", 30}, {"R-134a", 20}, {"R-448A", 10}, {"R-449A", 10}, {"R-290", 10},
	{"R-22", 5}, {"R-407A", 5}, {"R-507A", 5}, {"R-454C", 3}, {"R-513A", 2}}

func choose(rng *rand.Rand, list []share) string {
	total := 0.0
	for _, s := range list {
		total += s.weight
	}
	x := rng.Float64() * total
	for _, s := range list {
		if x -= s.weight; x < 0 {
			return s.name
		}
	}
	return list[len(list)-1].name
}

func between(rng *rand.Rand, a, b float64) float64 { return a + (b-a)*rng.Float64() }

func logBetween(rng *rand.Rand, a, b float64) float64 {
	return math.Exp(between(rng, math.Log(a), math.Log(b)))
}

// about spreads a value log-normally by sigma, cut at two and a half sigmas.
func about(rng *rand.Rand, v, sigma float64) float64 {
	n := rng.NormFloat64()
	return v * math.Exp(sigma*math.Max(-2.5, math.Min(2.5, n)))
}

const wattsPerTon = 3516.853

// spread fills in the numbers common to all applications.
func spread(rng *rand.Rand, p *Spec) {
	p.CondenserVapor = between(rng, 0.45, 0.9)
	p.CondenserLiquid = between(rng, 0.35, 0.9)
	p.EvaporatorVapor = between(rng, 0.18, 0.50)
	p.EvaporatorAirShare = between(rng, 0.5, 0.8)
	p.CondenserAirShare = between(rng, 0.6, 0.85)
	p.VolumetricBest = between(rng, 0.92, 1)
	p.Clearance = between(rng, 0.015, 0.06)
	p.IsentropicBest = between(rng, 0.58, 0.75)
	p.ShellLoss = between(rng, 0.03, 0.12)
	p.SuctionDropK = between(rng, 0.2, 1.3)
	p.EvaporatorDropK = between(rng, 0.6, 2.2)
	p.CondenserDropK = between(rng, 0.2, 1.2)
	p.LiquidDropPerM = logBetween(rng, 700, 4000)
	p.CondenserVolume = about(rng, 1, 0.25)
	p.EvaporatorVolume = about(rng, 1, 0.25)
	p.OilKg = about(rng, 0.11e-3*p.CapacityW, 0.3)
	p.VaporChoke = between(rng, 0.3, 4.5)
	if p.Device.IsValve() {
		p.FlashingMargin = between(rng, 0.4, 0.8)
		p.ValveCapacity = between(rng, 1.2, 2.2)
		p.CondenserSlip = between(rng, 0.33, 0.58)
		p.EvaporatorSlip = between(rng, 0.08, 0.28)
	} else {
		p.CondenserSlip = between(rng, 0.42, 0.68)
		p.EvaporatorSlip = between(rng, 0.15, 0.40)
		p.FlashingMargin = between(rng, 0.17, 0.42)
	}
	if p.Device == ThermostaticValve {
		p.ValveGradientK = between(rng, 1.5, 6)
		if rng.Float64() < 0.3 {
			p.ValveBleed = between(rng, 0.08, 0.25)
		}
	}
}

func plausibleComfort(rng *rand.Rand) (Spec, Conditions) {
	p := Spec{Application: Comfort}
	p.Refrigerant = choose(rng, comfortRefrigerants)
	p.CapacityW = wattsPerTon * logBetween(rng, 1.5, 10)
	if rng.Float64() < 0.1 {
		p.CapacityW = wattsPerTon * between(rng, 0.7, 1.5)
	}
	switch x := rng.Float64(); {
	case x < 0.42:
		p.Device = FixedOrifice
	case x < 0.46:
		p.Device = CapillaryTube
	case x < 0.88:
		p.Device = ThermostaticValve
	default:
		p.Device = ElectronicValve
	}
	spread(rng, &p)
	p.DesignSuperheatK = between(rng, 3, 11)
	if p.Device.IsValve() {
		p.DesignSuperheatK = between(rng, 4.5, 10)
	}
	p.CondensingOverAmbientK = between(rng, 7, 16)
	p.DesignSubcoolingK = math.Min(between(rng, 2.5, 9), 0.72*p.CondensingOverAmbientK)
	p.EvaporatorTDK = between(rng, 16.5, 22.5)
	p.EvaporatorAirKgPerJ = 6.2e-5 * between(rng, 0.85, 1.15)
	p.SuctionGainK = between(rng, 0.3, 2.5)
	p.LiquidLineM = logBetween(rng, 2, 22)
	p.MicroChannel = rng.Float64() < 0.25
	if rng.Float64() < 0.25 {
		p.AccumulatorM3 = between(rng, 0.08e-3, 0.22e-3) * p.CapacityW / 1000
	}
	wet := between(rng, 55, 76)
	c := Conditions{
		OutdoorK: fahrenheit(between(rng, 55, 115)), ReturnWetK: fahrenheit(wet), BarometerPa: 101325,
	}
	c.ReturnDryK = dryBulb(c.ReturnWetK, between(rng, 0.35, 0.65), c.BarometerPa)
	if rng.Float64() < 0.15 {
		c.BarometerPa = between(rng, 80e3, 101e3)
	}
	return p, c
}

func plausibleCooler(rng *rand.Rand) (Spec, Conditions) {
	p := Spec{Application: MediumTemperature}
	p.Refrigerant = choose(rng, coolerRefrigerants)
	p.CapacityW = wattsPerTon * logBetween(rng, 0.3, 3)
	switch x := rng.Float64(); {
	case x < 0.72:
		p.Device = ThermostaticValve
	case x < 0.90:
		p.Device = CapillaryTube
		p.CapacityW = wattsPerTon * logBetween(rng, 0.3, 0.7)
	default:
		p.Device = ElectronicValve
	}
	spread(rng, &p)
	p.DesignSuperheatK = between(rng, 5, 11)
	p.CondensingOverAmbientK = between(rng, 8, 17)
	p.DesignSubcoolingK = math.Min(between(rng, 2, 7), 0.72*p.CondensingOverAmbientK)
	p.EvaporatorTDK = between(rng, 5.5, 9)
	p.EvaporatorDropK = between(rng, 0.3, 1.2)
	p.SuctionGainK = between(rng, 1, 5)
	p.LiquidLineM = logBetween(rng, 2, 20)
	if p.Device == CapillaryTube {
		p.LiquidLineM = between(rng, 1.5, 3)
	}
	box := between(rng, 272.2, 279)
	c := Conditions{OutdoorK: fahrenheit(between(rng, 60, 105)), ReturnDryK: box, BarometerPa: 101325}
	c.ReturnWetK = box - between(rng, 0.6, 2)
	return p, c
}

// PlausibleReceiver draws a cooler with a receiver, two in three with a
// flooding head-pressure control.
func PlausibleReceiver(rng *rand.Rand) (Spec, Conditions) {
	p, c := plausibleCooler(rng)
	for p.Device == CapillaryTube {
		p, c = plausibleCooler(rng)
	}
	p.ReceiverM3 = between(rng, 0.5e-3, 1.4e-3) * p.CapacityW / 1000
	p.ReceiverLevel = between(rng, 0.15, 0.4)
	p.DesignSubcoolingK = 0 // what the receiver leaves
	if rng.Float64() < 0.67 {
		if f, err := lookup(p.Refrigerant); err == nil {
			// Holds the condenser at 24 to 32 °C.
			p.HeadPressurePa = f.bubbleP(between(rng, 297, 305))
		}
		c.OutdoorK = fahrenheit(between(rng, 35, 105))
	}
	return p, c
}

// PlausibleFault draws one fault of noticeable size that this system can have.
func PlausibleFault(rng *rand.Rand, p Spec) Faults {
	var f Faults
	n := 6
	if p.Device.IsValve() {
		n = 9
	}
	severity := between(rng, 0.25, 0.9)
	switch rng.Intn(n) {
	case 0:
		f.LowAirflow = severity * 0.7
	case 1:
		f.CondenserFouling = severity
	case 2:
		f.CondenserFan = severity
	case 3:
		f.Restriction = severity
	case 4:
		f.NonCondensable = severity
	case 5:
		f.WeakCompressor = severity
	case 6:
		f.ValveStuckOpen = severity
	case 7:
		f.ValveStuckShut = severity
	case 8:
		f.BulbLoose = severity * 0.5
	}
	return f
}

func fahrenheit(f float64) float64 { return (f + 459.67) / 1.8 }

// dryBulb of air with this wet bulb and relative humidity.
func dryBulb(wet, rh, baro float64) float64 {
	lo, hi := wet, wet+35
	for range 40 {
		mid := (lo + hi) / 2
		pw := saturatedRatio(mid, baro) // ratio to pressure and back
		pw = rh * pw * baro / (0.621945 + pw)
		if wetBulb(mid, 0.621945*pw/(baro-pw), baro) < wet {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
