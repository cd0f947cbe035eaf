package belief

// The hidden numbers of a member, each a standard normal in the prior, so that a Crank-Nicolson step leaves the
// prior as it is and only the likelihood decides.
const (
	zStart = iota
	zKg
	zTarget
	zRate
	zBend
	zGain
	zSlope
	zKnee
	zSubcool
	zSteep
	zCurve
	zSoft
	zGap
	zHold
	zDrift
	zOut
	zWet
	zSealOut
	zSuperheat
	zSettle
	zHunt
	zDisc
	zCond
	zSeverity
	zSeverity2
	zSeal
	zRound
	zCount
)

// member is one plausible system and what the readings have said of its standing offsets.
type member struct {
	z      [zCount]float64
	law    law
	start  float64 // charge fraction at the start of the session
	kg     float64 // mass at charge fraction 1
	settle float64 // minutes
	hunt   float64 // standard deviation of superheat from hunting, K
	disc   float64 // multiplies every discrepancy

	target, targetShift, openShift float64 // where the table is met; faults' shifts
	dtPrior, dtSD                  float64 // of the fed evaporating temperature, under return air
	x0Prior, xHoldPrior            float64 // of law, with it at its prior
	outScale, wetScale, driftScale float64 // spreads decoded once

	track
	logw float64
}

// track is the running part of a member: what changes with each reading.
type track struct {
	off    [channels]float64 // mean of the standing offset
	vari   [channels]float64 // its variance
	lag    [channels]float64 // how far the system was from settled at the last reading
	last   [channels]float64 // settled prediction at the last reading
	x      float64           // charge fraction at the last reading
	logl   float64           // log likelihood of all readings so far
	newest float64           // of the newest alone
}

// observation is a reading with its instrument scales, ready for comparison.
type observation struct {
	y      [channels]float64 // NaN when not taken
	noise  [channels]float64 // variance of one reading
	bias   [channels]float64 // variance of the session's bias
	w      weather
	netKg  float64
	change float64 // minutes since the last weighing
	time   float64 // minutes
}

// decode turns the standard normals of m into a law for hypothesis h in the weather of the first reading o, which anchor
// then fits to that reading.
func (h *hypothesis) decode(m *member, o *observation) {
	z := &m.z
	u := h.unit
	comfort := u.Application == Comfort
	sev, sev2, table := 0.0, 0.0, startQuantiles
	if h.cause != causeNone {
		sev, sev2, table = normalCDF(z[zSeverity]), normalCDF(z[zSeverity2]), faultQuantiles
	}
	m.start = quantile(table, normalCDF(z[zStart]))
	h.weigh(m)
	m.settle = settleMin * exp(settleSD*z[zSettle])
	m.disc = scatter(z[zDisc])
	m.hunt = 0
	m.outScale, m.wetScale, m.driftScale = exp(0.35*z[zOut]), exp(0.35*z[zWet]), exp(0.7*z[zDrift])
	if h.device == ExpansionValve && z[zHunt] > 0.25 {
		m.hunt = min(1.0+1.3*(z[zHunt]-0.25), 3.5) * degF
	}

	l := &m.law
	l.device, l.ref = h.device, o.w
	l.a = rateOpen * exp(rateOpenSD*z[zRate])
	l.b = max(bendOpen+bendOpenSD*z[zBend], 0)
	l.gain = (3 + 2.2*z[zGain]) * degF
	l.es = evapSlope * exp(evapSlopeSD*z[zSlope])
	if !comfort {
		l.a *= rateBox
		l.gain = gainBox + gainBoxSD*z[zGain]
		l.es = evapSlopeBox * exp(evapSlopeBoxSD*z[zSlope])
	}
	if h.device == FixedOrifice {
		l.es *= evapSlopeOri
	}
	l.ed, l.we = 0.17+0.07*z[zKnee], 0.06*exp(0.6*z[zRound])
	l.cc = 0.25 * exp(0.4*z[zCond])
	l.ce = 0.45 * exp(0.25*z[zCond])
	l.flood = 190 * degF
	l.rho = 0.6 + 0.12*z[zGap]
	l.evOut, l.evDry = 0.10, 0.1
	l.evWet = 0.85
	l.condOut, l.condWet = condOverAirOut, condOverAirWet
	l.scAdd = 0
	l.seal = exp(clamp(sealLoss+sealLossSD*z[zSeal], sealLossLeast, sealLossMost)) - 1
	if h.device == ExpansionValve || h.cause == causeRestriction {
		l.seal = 0
	}

	// Subcooling at full charge and where the liquid seals the outlet.
	full := subcoolFullOri * exp(subcoolFullSD*z[zSubcool])
	l.k = steepOri * exp(steepOriSD*z[zSteep])
	if low := flatBelow - z[zSteep]; low > 0 { // an accumulator or a long line buffers liquid: subcooling hardly answers
		l.k *= max(exp(-3.5*low), 0.1)
		full *= exp(-0.6 * low)
	}
	l.r = max(1.3+1.1*z[zCurve], 0)
	full = max(full, subcoolLeastOri)
	xt := targetShare + targetShareSD*z[zTarget]
	if h.device == ExpansionValve {
		full, xt = subcoolFullVal+subcoolValSD*z[zSubcool], 0.99+0.03*z[zTarget]
		if u.TargetSubcoolingK > 0 {
			full = u.TargetSubcoolingK + 0.6*degF*z[zSubcool]
		}
		full = max(full, 3*degF)
		l.k = steepVal * exp(steepValSD*z[zSteep])
		if !comfort {
			l.k *= steepBox
		}
		l.r = max(1.9+1.1*z[zCurve], 0)
	}
	l.wk = 0.02 * exp(0.7*z[zSoft])
	l.xk = xt - full/max(l.k-l.r*full, 0.3*l.k)

	// Evaporating temperature when fed, anchored on the first reading further down.
	switch {
	case comfort:
		l.dt = (o.w.dry - o.w.wet) + evapBelowWet + evapBelowWetOut*(o.w.out-zeroF-85*degF) + evapBelowWetWet*(o.w.wet-zeroF-64*degF)
	default:
		l.dt = boxBelowDry
	}
	prior, sd := l.dt, evapBelowWetSD
	if !comfort {
		sd = boxBelowDrySD
	}
	l.cond = condOverAir + condOverAirWet*(o.w.wet-zeroF-64*degF) + condOverAirOut*(o.w.out-zeroF-85*degF)
	if !comfort {
		l.cond = condOverAir
	}
	l.split = splitAt13 + splitPerDryness*(o.w.dry-o.w.wet-13*degF)
	if !comfort {
		l.split = splitBox
	}
	l.disch = h.dischargeLevel

	// Faults, as shifts of these numbers (signatures: trade tables of symptoms, and the balances behind them).
	shift := 0.0 // of the charge an orifice needs
	openShift := 0.0
	switch h.cause {
	case causeAirflow:
		prior += (5 + 9*sev) * degF
		shift = -0.03 - 0.13*sev2
		l.split *= 1.12 + 0.45*sev
		l.cond -= 4 * sev * degF
		l.evWet = 0.6
	case causeCondenser:
		l.cond += (9 + 36*sev) * degF
		prior -= 5 * sev * degF
		shift = -0.02 - 0.11*sev2
		if h.device == ExpansionValve {
			l.xk -= 0.08 * sev
		}
	case causeGas:
		l.cond += (8 + 16*sev) * degF
		l.scAdd = (7 + 17*sev) * degF
		if h.device == FixedOrifice { // the liquid that stood in the condenser goes through
			l.scAdd = (3.5 + 9*sev) * degF
			prior -= 3 * sev * degF
		}
		shift = -0.04 - 0.14*sev2 // the pressure of the gas pushes liquid through an orifice as well
	case causeRestriction:
		shift = 0.25 + 0.36*sev
		openShift = 0.28 + 0.36*sev
		l.xk -= 0.02 + 0.05*sev2
		l.es *= 0.45 * exp(0.3*z[zSlope]) // liquid always reaches the device, so its flow hardly hangs on charge
	case causeWeak:
		prior -= (5 + 6*sev) * degF
		l.cond -= (2 + 6*sev) * degF
		l.split *= 1 - 0.25*sev
		l.xk += 0.03 + 0.08*sev2
		shift = -0.08 - 0.12*sev2
	}

	m.target, m.targetShift, m.openShift = xt, shift, openShift
	m.dtPrior, m.dtSD = prior, sd
	l.dt = prior
	h.shape(m, o)
	m.x0Prior, m.xHoldPrior = l.x0, l.xHold
}

// heavy gives a standard normal heavier tails: now and then a plate is another unit's, or a coil holds a third.
func heavy(z float64) float64 { return z * (1 + 0.08*z*z) }

// anchor fits the fed evaporating temperature of m to the first reading o, which gives it far better than any prior
// does, compares it with its prior, and places the open device's curve accordingly.
func (h *hypothesis) anchor(m *member, o *observation) {
	l := &m.law
	measured := given(o.y[chEvap])
	l.dt, l.x0, l.xHold = m.dtPrior, m.x0Prior, m.xHoldPrior
	if measured {
		fallen := l.drop(l.x0-m.start, l.unsealed(m.start, l.xk)) + l.held(m.start)
		l.dt = max(-o.y[chEvap]-fallen, 3*degF)
	}
	h.shape(m, o)
	m.logl = h.fed(m)
	if measured {
		q := (l.dt - m.dtPrior) / m.dtSD
		m.logl -= log(m.dtSD/degF) + (likelihoodDof+1)/2*log(1+q*q/likelihoodDof)
	}
}

// fed is a log prior on the subcooling of m while its coil is almost all dry (superheat at nine tenths of its
// reach). A device that is fed liquid passes enough to wet the coil, so subcooling then is near nothing; only a
// restriction combines the two.
func (h *hypothesis) fed(m *member) float64 {
	if h.cause == causeRestriction {
		return 0
	}
	l := &m.law
	logp := 0.0
	atMost := func(x, most, sd float64) {
		if q := (l.subcooling(x) - most) / sd; q > 0 {
			logp -= 0.5 * q * q
		}
	}
	deep, sd := deepSubcool, deepSubcoolSD
	if h.unit.Application != Comfort {
		deep, sd = deepBox, deepBoxSD
	}
	atMost(l.charge(deepNeed), deep, sd)
	// A valve that is fed liquid has flow to spare and holds: it begins to before much subcooling has gathered.
	if h.device == ExpansionValve {
		atMost(l.xHold, kneeSubcool+kneePerHead*l.headless(), kneeSubcoolSD)
	}
	// The other side of the same balance: an orifice that wets half the coil is fed liquid.
	if h.device == FixedOrifice && (h.cause == causeNone || h.cause == causeCondenser) {
		if q := (wetSubcool - l.subcooling(l.x0-l.needs(wetNeed))) / wetSubcoolSD; q > 0 {
			logp -= 0.5 * q * q
		}
	}
	return logp
}

// shape places the open device's curve of m for its fed evaporating temperature, so that the superheat it is meant to
// have at its target charge is met there.
func (h *hypothesis) shape(m *member, o *observation) {
	l, z, u := &m.law, &m.z, h.unit
	comfort := u.Application == Comfort
	xt := m.target
	want := tableSuperheat(o.w.out, o.w.wet) + superheatDevSD*z[zSuperheat]
	if u.TargetSuperheatK > 0 {
		want = u.TargetSuperheatK + 0.4*superheatDevSD*z[zSuperheat]
	} else if !comfort {
		want = (16 + 6*z[zSuperheat]) * degF
	}
	want = max(want, 1.5*degF)
	reach := max(l.dt+l.gain, 8*degF)
	if h.device == ExpansionValve {
		l.hold = max(holdLevel+holdLevelSD*z[zHold], 2*degF)
		if !comfort {
			l.hold = max(holdBox+holdBoxSD*z[zHold], 2*degF)
		}
		want = l.hold
	}
	need := -log(1 - min(want/reach, 0.93))
	d := l.needs(need)
	if h.device == ExpansionValve {
		gap := holdGap + holdGapSD*z[zGap]
		if gap < 0 {
			gap *= 0.8
		}
		if z[zGap] < -lowHeadFrom {
			gap += lowHeadGap * l.headless() * (z[zGap] + lowHeadFrom)
		}
		l.x0 = l.xk - gap + d + m.openShift
		l.xHold, l.evHeld = l.x0-d, evapHeld
		l.drift = holdDrift * m.driftScale
		l.holdDry = 0.1
	} else {
		l.x0 = xt + m.targetShift + d
		l.hold, l.drift = 0, 0
	}
	// superheat per K of weather, turned into a shift of x0 by the slope at the target
	g := min(want/reach, 0.9)
	slope := reach * (1 - g) * l.a * (1 + 2*l.b*d)
	l.x0Out = superheatPerOut / slope * m.outScale
	l.x0Wet = (superheatPerWet - 0.3*g) / slope * m.wetScale
	if h.device == ExpansionValve {
		l.x0Out, l.x0Wet = 0.6*l.x0Out, 0.6*l.x0Wet
	}
	l.xkOut = 0.0004 * z[zSealOut] / degF
}

// weigh decodes the mass of m at charge fraction 1.
func (h *hypothesis) weigh(m *member) {
	z, u := &m.z, h.unit
	switch {
	case u.NameplateKg > 0:
		m.kg = u.NameplateKg * exp(plateSD*heavy(z[zKg]))
	case u.CapacityW > 0:
		sd := kgPerTonSD
		if u.Application != Comfort {
			sd = kgPerTonBoxSD
		}
		m.kg = u.CapacityW / ton * u.kgPerTon() * exp(sd*heavy(z[zKg]))
	default:
		t := log(smallestTon) + normalCDF(z[zKg])*(log(largestTon)-log(smallestTon))
		m.kg = exp(t) * u.kgPerTon()
	}
}
