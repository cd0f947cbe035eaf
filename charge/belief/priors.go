package belief

// Every prior, width and threshold of this package stands in this file with its source.
//
// Marks: [table] the printed target-superheat table and the one-line formula that follows it,
// (3 wet bulb - 80 - outdoor)/2 in °F; [lab] published laboratory points (NISTIR 7350 2006 appendix D; ASHRAE
// RP-1173, Shen, Braun and Groll 2006; NIST SP 1087 2008); [LB] Li and Braun 2009; [physics] follows from the
// energy or mass balance named; [cp] common practice, no source; [own] our choice, measured on simulated
// systems of one seed and reported on another; [rig] half to two thirds of the way from what we had chosen
// to the mean of fits to the curves of 240 plausible boxes with valves of package rig (the fits of
// TestMembersCanBeTheSystemsOfTheRig, repeated with their mean as the new prior, which is not in the repository).

const (
	degF  = 5.0 / 9 // one °F of difference, K
	oz    = 0.028349523125
	ton   = 3516.8528         // W
	zeroF = 255.3722222222222 // 0 °F, K
)

// Instruments. Biases are for a whole session, noise for one reading.
const (
	clampBias     = 0.70 * degF // a good clamp is within 1 °F [cp]
	clampContact  = 0.012       // share of the air's difference that a clamp feels, with some insulation over it [cp]
	clampNoise    = 0.32 * degF // [cp]
	gaugeBias     = 0.006       // of reading; digital gauges are within 0.5 to 1 % [cp]
	gaugeNoise    = 0.0032      // of reading [cp]
	airBias       = 0.70 * degF // dry and wet bulb [cp]
	airNoise      = 0.35 * degF // [cp]
	bounded       = 0.4         // how much thinner than normal the tail of a standing error is: a clamp and a gauge within their limits [own]
	likelihoodDof = 5.0         // Student t: a reading now and then is simply wrong [own]
)

// Discrepancy between any smooth law and a real system.
const (
	discSH      = 0.9 * degF // standing offset of superheat [own]
	discSC      = 0.4 * degF // of subcooling [own]
	discEvap    = 0.6 * degF // of evaporating temperature, once anchored on the first reading [own]
	discPerOut  = 0.12       // K of superheat or subcooling per K of outdoor change [own]
	discPerWet  = 0.35       // K per K of wet bulb change [own]
	pathShare   = 0.35       // share of the evidence between causes that the path of a session gives [own]
	markShare   = 0.5        // of the mark of a full reading against the members, in the evidence between causes [own]
	repeatShare = 0.35       // share of a repeated reading's evidence between hypotheses [own]
	unsettled   = 0.35       // uncertain share of what is still to settle [own]
)

// Levels of a healthy system at its full charge.
const (
	evapBelowWet      = 22.3 * degF // return wet bulb less evaporating temperature, comfort cooling: DTD 35 ± 5 at 50 % humidity [cp]
	evapBelowWetSD    = 3.4 * degF
	evapBelowWetOut   = -0.10       // per K outdoors [lab: TXV-E]
	evapBelowWetWet   = 0.12        // per K of wet bulb [lab: TXV-E]
	boxBelowDry       = 14.5 * degF // box air less evaporating temperature: reach-in 20 ± 5, walk-in 10 ± 3 [cp] [rig]
	boxBelowDrySD     = 5.0 * degF
	condOverAir       = 18.8 * degF // condensing over outdoor air 15 to 30 by age of unit [cp]
	condOverAirSD     = 3.6 * degF
	condOverBoxSD     = 6.0 * degF  // of refrigerated boxes: condensers of all sizes [cp]
	condOverAirWet    = 0.30        // per K of wet bulb: more load [physics]
	condOverAirOut    = -0.05       // per K outdoors [lab: TXV-E]
	splitAt13         = 20.9 * degF // split when the return wet bulb depression is 13 °F, code table [cp]
	splitSD           = 2.1 * degF
	splitPerDryness   = 0.83       // per K of depression [physics]
	splitBox          = 6.8 * degF // [rig]
	splitBoxSD        = 1.7 * degF
	splitPerDrop      = 0.0215 / degF // capacity lost per K of evaporating drop: mass flow follows suction density [physics]
	dischPerSuperheat = 1.08          // [physics: near-constant work]
	dischPerDrop      = 0.55          // higher compression ratio [physics]
	dischSD           = 7.0 * degF
)

// Response to charge.
const (
	superheatDevSD  = 5.0 * degF // superheat at full charge about the table: stated tolerance 5 °F; lab points lie up to 6 °F under it [table] [lab]
	targetShareSD   = 0.045      // charge at which the table is met, share of the data plate [own]
	targetShare     = 0.985
	subcoolFullOri  = 9.5 * degF  // of an orifice system at full charge, 4 to 16 [lab] [cp]
	subcoolFullSD   = 0.38        // log
	subcoolLeastOri = 3 * degF    // least at full charge: an orifice passes its flow only as liquid [physics]
	subcoolFullVal  = 10.0 * degF // of a valve system without a plate figure [cp]
	subcoolValSD    = 2.6 * degF
	steepOri        = 76 * degF  // K of subcooling per unit of charge at the seal, orifice: 0.4 to 0.9 °F per 1 % [LB]
	steepOriSD      = 0.32       // log
	flatBelow       = -0.85      // standard normal of the steepness under which an orifice system buffers liquid [own]; one in seven
	steepVal        = 122 * degF // valve: 0.055 of rated subcooling per 1 % and more near the seal [LB]
	steepValSD      = 0.30       // log
	rateOpen        = 4.8        // a of law: superheat falls 1 to 3.5 °F per 1 % near full charge
	rateOpenSD      = 0.42       // log
	bendOpen        = 2.0        // b of law
	bendOpenSD      = 1.6
	deepNeed        = 2.7        // -ln(1 - g) at which a coil counts as almost all dry
	deepSubcool     = 3.5 * degF // subcooling a system may have there without a restriction; NIST used under 0.9 °F as the mark of a starved device [lab]
	deepSubcoolSD   = 2.5 * degF // real units keep more subcooling at a given superheat than simulations do [lab]
	deepBox         = 1.5 * degF // the same of boxes, whose coils are small against their lines [own]
	deepBoxSD       = 1.5 * degF
	sealLoss        = 0.2 // log of how much faster an orifice starves, per unit of charge, once vapour enters it: 0.4 to 2.5 times in simulated ones [rig]
	sealLossSD      = 0.55
	sealLossLeast   = -1.2
	sealLossMost    = 1.5
	evapSlopeOri    = 0.76       // of that, for an orifice that is sealed: its flow hangs on the head as well [physics]
	kneeSubcool     = 1.5 * degF // subcooling at which a valve holds at the latest: under 0.9 °F NIST counts it as starved [lab]; simulated ones in warm weather hold before any comes up [rig]; at the clamp, superheat goes flat as it passes 3 to 6 [cp]
	kneeSubcoolSD   = 1.0 * degF
	wetNeed         = 0.7        // -ln(1 - g) at which half the coil is wet
	wetSubcool      = 2.5 * degF // least subcooling of an orifice there: with vapour at its inlet the flow falls two to four times [physics]
	wetSubcoolSD    = 0.8 * degF
	evapHeld        = 6 * degF   // fall of evaporating temperature per unit of charge past the valve's hold: less vapour enters, the valve closes [physics]
	evapSlope       = 92 * degF  // fall of evaporating temperature per unit of charge when starved [physics: suction density follows flow]
	evapSlopeSD     = 0.27       // log
	evapSlopeBox    = 120 * degF // the same of boxes [rig]: against the air the coil is small, and what it loses goes into the fall
	evapSlopeBoxSD  = 0.40       // log
	rateBox         = 1.3        // times rateOpen [rig]
	gainBox         = 7 * degF   // what the suction line adds to the superheat a dry coil could reach; 3 in comfort cooling [rig]
	gainBoxSD       = 4 * degF
	steepBox        = 0.85 // times steepVal [rig]
	holdGap         = 0.09 // charge between the valve holding and liquid at the clamp; RP-1173 found valves wide open under about 80 % [lab]
	holdGapSD       = 0.085
	lowHead         = 76.0 * degF  // outdoors, over 0 °F: under it a valve may lack the head to hold at all, and is wide open with liquid at it [physics: flow follows the root of the pressure difference]
	lowHeadGap      = 0.016 / degF // charge by which it then holds later, per K and standard normal [own]: one in eight at 65 °F
	lowHeadFrom     = 0.9
	kneePerHead     = 1.3         // K of subcooling per K, by which it may hold later
	holdLevel       = 12.0 * degF // held superheat at the outdoor unit 2 to 20, usually 8 to 14 [cp]
	holdLevelSD     = 4.2 * degF
	holdBox         = 12.5 * degF // of a box, at the compressor: coil 3 to 12, the line adds [cp]
	holdBoxSD       = 4.4 * degF
	holdDrift       = 5.0 * degF // fall per unit of charge; a bleed port more [cp]
	superheatPerOut = -0.5       // K per K outdoors, orifice [table]
	superheatPerWet = 1.5        // K per K of wet bulb, orifice; the rest comes with the air itself [table]
)

// Charge.
const (
	plateSD = 0.05 // log; line set and factory tolerance [cp]
	// UsualKgPerTon is the charge usual for a ton of capacity, kg, of the common refrigerants.
	UsualKgPerTon = 38 * oz // splits 2 to 4 lb per ton, package units 1.5 to 2.5, a fifth to two fifths less with micro-channel coils [cp]
	kgPerTonSD    = 0.42    // log
	kgPerTonBoxSD = 0.45    // of boxes: lines of all lengths [cp]
	smallSystem   = 0.907   // kg, 2 lb [cp]
	smallBox      = 0.75    // ton [cp]
	smallestTon   = 0.3
	largestTon    = 10.0
	settleMin     = 3.6 // minutes, time constant 2 to 6 [physics: metal and air]
	settleSD      = 0.35
)

// startQuantiles is the prior of the charge found on arrival, as share of full: mostly short. About a third of units
// surveyed were under, a quarter over, the rest right; those a technician is called to charge are shorter.
var startQuantiles = [][2]float64{{0, 0.45}, {0.05, 0.58}, {0.5, 0.85}, {0.85, 1.03}, {0.94, 1.15}, {1, 1.40}}

// faultQuantiles is the same for a system whose trouble is something else.
var faultQuantiles = [][2]float64{{0, 0.72}, {0.1, 0.88}, {0.5, 0.99}, {0.9, 1.07}, {1, 1.22}}

// Prior odds of what is wrong, after the air side and the condenser were looked at and found in order [own].
const (
	priorOrifice    = 0.5
	priorOrificeBox = 0.12  // boxes: capillary tubes are in small ones, which are weighed in [cp]
	priorOrificeBig = 0.04  // of a box with the charge or the capacity of more; valves there [cp]
	priorFault      = 0.045 // each of the causes other than charge
	priorUnlooked   = 2.0   // times more likely while nobody has looked
	statedTrust     = 0.995 // a device seen or stated by the technician
	overchargeAt    = 1.10  // charge fraction above which a system counts as overcharged
	rightFrom       = 0.96
)

// Decisions.
const (
	verdictAt      = 0.95       // probability of a device before it is named
	restrainAt     = 0.95       // most the evidence may weigh for one device until then [own]
	untoldAt       = 0.94       // most the device may be believed while nothing has told it
	untoldShare    = 0.3        // share of the evidence between devices that a reading gives while it cannot tell them apart [own]
	toldSubcooling = 3.5 * degF // no verdict while subcooling is under 4 to 5 and superheat falls [cp]; less a clamp's error
	toldStill      = 2.0 * degF // superheat that held: within 2 °F [cp]
	sameOutdoor    = 2.0 * degF // the same air outdoors between two readings [own]
	sameWetBulb    = 1.0 * degF // and over the coil
	toldObeys      = 1.5 * degF // superheat that went against the charge by so much obeys it [own]: over the noise of clamp and gauge
	toldFall       = 4.0 * degF // superheat that fell by more with an addition has not held [own]: twice what holds
	swingLeast     = 3.0 * degF // superheat that moves so far by nothing else swings [own]: over clamp and gauge; valves swing 2 to 4 and more either way [cp]
	swingSubcool   = 1.5 * degF // while subcooling holds this well [own]
	swingSteepest  = 350 * degF // K of superheat per unit of charge: 3.5 °F per 1 % is the steepest orifice [cp]
	swingMost      = 20 * degF  // superheat over which a valve is wide open: 2 to 20 °F is one that works [cp]
	smallFull      = 0.1        // quantile of the full charge that it is reckoned by: a small system answers the more to what goes in
	settleSlow     = 7.0        // minutes: the slowest time constant allowed for
	toldShare      = 0.03       // of the full charge, against which it held; 5 % of the plate over two steps [cp]
	correctAt      = 0.40       // probability of causes other than charge at which nothing is weighed in
	correctLate    = 0.88       // the same once charge has gone in and the system has answered
	wetReading     = 1 * degF   // superheat read under which nothing is added: a valve under 2 is in trouble, an orifice floods [cp], less a gauge's error
	maxUnderFloor  = 0.02       // chance of superheat under its floor
	valveFloor     = 2 * degF   // superheat under 2 °F with a valve: problem; 2 to 20: probably working [cp]
	ceilingMore    = 0.2        // chance of passing a ceiling that a step may add [own]
	ceilingMost    = 0.5        // and lead to: a forecast over it is not offered [own]
	maxOvershoot   = 0.03       // chance of passing the far edge of the band
	maxShort       = 0.10       // chance that a recovery leaves it short [own]
	firstShare     = 0.055      // of the full charge in the first step [cp: first step small]
	laterShare     = 0.10       // never more in one step [cp]
	orificeLiquid  = 1.2 * degF // subcooling without which an orifice system is not full, whatever its superheat: bubbles enter it [physics]
	clearOfFloor   = 2 * degF   // superheat so far over its floor may fall by a step [own]
	asFound        = 0.70       // the same for a system nothing went into: what is in band is left alone [own]
	asFoundGain    = 0.12       // chance gained by a step for which even that is touched [own]
	couldLand      = 0.9        // chance of landing once the device is known [own]
	probeSteps     = 2.0        // steps it takes to learn the device and go on [own]
	probeMost      = 10         // changes after which no more are made to learn it [own]
	probeLoss      = 0.15       // chance of the band that a step to learn it may cost [own]
	probeGain      = 0.1        // steps it must save the other device [own]
	holdAt         = 0.90       // chance of being in the band at which the job may end
	ignoreUnder    = 0.055      // probability under which a device no longer binds a step
	longJob        = 6          // changes after which the job goes by what is likelier: about 8 steps are the most [cp]
	leadAt         = 0.6        // probability from which a device leads
	takeBackAt     = 0.10       // chance that the device which does not lead is past its band, from which some is taken out to tell [own]
	takeBackFault  = 0.25       // chance of another cause from which what is in band is left alone [own]
	tellingShare   = 0.015      // of the full charge, least that tells when taken out: 2 to 4 °F of an orifice's superheat [own]
	looseUnder     = 0.85       // chance of being in the band under which, after three readings, the limits are widened
	looseLimits    = 5.0        // by how much
	askFault       = 0.15       // chance of another fault from which readings that tell it are asked for
	nearBand       = 0.60       // from here on a reading more is worth more than a step in haste
	steepestValve  = 140 * degF // K of subcooling per unit of charge: 1.4 °F per 1 % is the steepest valve system met [own]
	valveSlack     = 0.5 * degF
	leastShare     = 0.012      // of the full charge: smaller steps tell nothing and move nothing [cp: about an eighth of an ounce per pound]
	tellsWorth     = 0.6        // steps that knowing the device saves
	missCost       = 80.0       // steps a job ended outside the band is worth
	overshootCost  = 6.0        // steps an overshoot is worth
	pastCost       = 2.0        // the same of an orifice past its band and clear of its floor: one to take out, and one for the doubt [own]
	recoverAt      = 0.25       // chance of being past the band from which some may come out [own]
	recoverCost    = 1.0        // steps a recovery is worth beyond its own
	settledShare   = 0.12       // of a step's effect still to come when a reading counts as settled
	shockUnder     = -4.5       // log density of a reading under the best hypothesis at which it is taken again [own]
	growth         = 2.0        // times the step before that a step may be while the size of the charge is not known [own]
	wariness       = 2          // charges looked at twice after that
	surpriseSH     = 2.0 * degF // mean residual of the newest reading at which it is taken again [own]
	surpriseSC     = 1.3 * degF
	shortestWait   = 6.0 // minutes
	rereadApart    = 1.0 // minutes at least between readings that count as two [cp]
	longestWait    = 20.0
	reread         = 5.0
)

// Inference.
const (
	seed          = 20260601
	particlesMain = 520 // of each device without another fault
	particlesSide = 104 // of each device and other fault
	startCells    = 6
	startFine     = 3
	sizePlaces    = 6    // in which the size of a member is looked up when charge first moves
	moreDraws     = 2    // times as many members again that are drawn, at most, given the first reading
	surelyDrawn   = 40.0 // effective members by which the evidence of a hypothesis is well known, to a sixth
	inTheRunning  = 4.0  // log of the odds from which that matters
	resampleUnder = 0.35 // share of effective particles
	hopeless      = 9.0  // log of the odds below which a hypothesis is no longer moved
	movesMain     = 20.0 // moves of each member after a resampling, times readings
	movesLeast    = 4
	movesMost     = 6
	fitFrom       = 3     // moves from which fitting a normal distribution to the members pays
	fitLeast      = 0.003 // variance it has at least in each of its coordinates
	movesSide     = 2
	keepShare     = 0.3 // share of members to keep effective when a likelihood is let in by powers
	mostStages    = 6
	historyMost   = 14
	sampleSize    = 384 // particles a forecast is read from, each device
)

// dischargeOver is the discharge line less condensing temperature at 60 °F between condensing and evaporating, without
// superheat: a property of the refrigerant (isentropic work over vapour heat capacity, 65 to 70 % efficiency), K.
var dischargeOver = map[string]float64{
	"R-410A": 41 * degF, "R-22": 46 * degF, "R-32": 71 * degF, "R-454B": 54 * degF, "R-407C": 45 * degF,
	"R-134a": 20 * degF, "R-404A": 17 * degF, "R-290": 20 * degF,
}

const dischargeOverOther = 35 * degF
const dischargeOtherSD = 18 * degF

// moveSteps are the sizes of a Crank-Nicolson step, of which one is drawn for each move.
var moveSteps = [...]float64{0.3, 0.6, 0.9, 1}

// whiteOf is the scatter of a settled reading of each channel about its curve, K [own].
var whiteOf = [channels]float64{chSH: 0.35 * degF, chSC: 0.35 * degF, chEvap: 0.6 * degF, chCond: 0.6 * degF, chSplit: 0.7 * degF, chDisch: 2 * degF}

// shareOf is the uncertain share of each predicted change: curves bend where the law does not. The channels beside
// superheat and subcooling speak by their level, hardly by their course [own].
var shareOf = [channels]float64{chSH: 0.16, chSC: 0.12, chEvap: 0.25, chCond: 0.3, chSplit: 0.35, chDisch: 0.3}

// forecastSpread is the share of its spread that a forecast is given: the members are more scattered than what they stand
// for. With it the 90 % bands hold 90 to 96 % of readings on the rig and on another simulation [rig].
var forecastSpread = [channels]float64{chSH: 0.90, chSC: 0.84}
