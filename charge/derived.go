package charge

import (
	"math"
	"time"

	"chargehand/charge/moistair"
)

// reading is one set of readings with what it amounts to.
type reading struct {
	Derived
	raw         *Reading
	returnRH    float64
	supplyWetK  float64
	outletPa    float64       // condenser outlet, receiver systems
	outletSatK  float64       // bubble temperature there
	currentA    float64       // compressor
	netKg       float64       // weighed in before it
	moved       int           // weighings before it
	sinceChange time.Duration // since the last change, negative when there was none
	doubts      []Doubt
	grave       bool // some doubt is grave: the reading decides nothing
}

// given reports a number that is known.
func given(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// derive computes what a raw reading amounts to with the refrigerant and the
// barometer of the setup. Superheat counts from the dew point at suction
// pressure, subcooling from the bubble point at liquid pressure.
func (st *state) derive(e Event, b *Reading) reading {
	abs := st.site
	r := reading{raw: b, returnRH: b.ReturnHumidity.Fraction(), supplyWetK: b.SupplyWetBulb.Kelvin(),
		outletPa: b.CondenserOutletPressure.Absolute(abs), currentA: b.CompressorCurrent.Amperes(), sinceChange: -1}
	d := Derived{
		At: e.At, N: e.N,
		SuctionPa:    b.SuctionPressure.Absolute(abs),
		LiquidPa:     b.LiquidPressure.Absolute(abs),
		SuctionLineK: b.SuctionLine.Kelvin(),
		LiquidLineK:  b.LiquidLine.Kelvin(),
		OutdoorK:     b.Outdoor.Kelvin(),
		ReturnDryK:   b.ReturnDryBulb.Kelvin(),
		ReturnWetK:   b.ReturnWetBulb.Kelvin(),
		SupplyDryK:   b.SupplyDryBulb.Kelvin(),
		DischargeK:   b.DischargeLine.Kelvin(),
		Glass:        b.SightGlass,
	}
	if !given(d.ReturnWetK) && given(d.ReturnDryK) && given(r.returnRH) {
		if wet, err := moistair.WetBulb(d.ReturnDryK, r.returnRH, st.site); err == nil {
			d.ReturnWetK = wet
		}
	}
	d.EvaporatingK = st.med.dew(d.SuctionPa)
	d.CondensingK = st.med.bub(d.LiquidPa)
	d.SuperheatK = d.SuctionLineK - d.EvaporatingK
	d.SubcoolingK = d.CondensingK - d.LiquidLineK
	d.SplitK = d.ReturnDryK - d.SupplyDryK
	d.OverOutdoorK = d.CondensingK - d.OutdoorK
	d.ReturnOverEvapK = d.ReturnDryK - d.EvaporatingK
	d.ApproachK = d.LiquidLineK - d.OutdoorK
	d.CompressionRatio = d.LiquidPa / d.SuctionPa
	outlet := r.outletPa
	if !given(outlet) {
		outlet = d.LiquidPa
	}
	r.outletSatK = st.med.bub(outlet)
	d.DropLegSubcoolingK = r.outletSatK - b.DropLeg.Kelvin()
	r.Derived = d
	return r
}

// read folds a reading: derive, doubt, judge whether it is settled, and let
// the belief see it when it can be trusted.
func (st *state) read(e Event, b *Reading) {
	r := st.derive(e, b)
	r.netKg, _, _ = st.totals()
	r.moved = len(st.weighed)
	if st.changeN > 0 {
		r.sinceChange = e.At.Sub(st.change)
	}
	r.doubts = st.doubtsOf(&r)
	for _, d := range r.doubts {
		r.grave = r.grave || d.Grave
	}
	r.Settled = st.settled(&r)
	st.readings = append(st.readings, r)
	if !r.grave && st.recall == nil {
		st.mind.see(st, &st.readings[len(st.readings)-1])
	}
}

// newest is the last reading, nil when there is none.
func (st *state) newest() *reading {
	if len(st.readings) == 0 {
		return nil
	}
	return &st.readings[len(st.readings)-1]
}

// believed is the last reading without a grave doubt, nil when there is none.
func (st *state) believed() *reading {
	for i := len(st.readings) - 1; i >= 0; i-- {
		if !st.readings[i].grave {
			return &st.readings[i]
		}
	}
	return nil
}

// ambient is the outdoor temperature and return wet and dry bulb to judge by:
// of the newest reading that has them, while it is fresh enough.
type ambient struct {
	outK, wetK, dryK float64
	outAge, wetAge   time.Duration
}

func (st *state) ambient() ambient {
	a := ambient{outK: math.NaN(), wetK: math.NaN(), dryK: math.NaN()}
	for i := len(st.readings) - 1; i >= 0; i-- {
		r := &st.readings[i]
		age := st.now.Sub(r.At)
		if age > ambientFresh {
			break
		}
		if r.grave {
			continue
		}
		if !given(a.outK) && given(r.OutdoorK) {
			a.outK, a.outAge = r.OutdoorK, age
		}
		if !given(a.wetK) && given(r.ReturnWetK) {
			a.wetK, a.wetAge = r.ReturnWetK, age
		}
		if !given(a.dryK) && given(r.ReturnDryK) {
			a.dryK = r.ReturnDryK
		}
	}
	return a
}
