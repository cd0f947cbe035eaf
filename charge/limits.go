package charge

import "time"

// Every threshold of the root package stands here with its source.
//
// Marks: [CA] California appendix RA3.2 (2008 edition unless said), [chart] the
// published target-superheat chart reprinted in makers' manuals, [press] trade
// press on discharge temperature and compression ratio, [lines] an R-410A
// installation guide, [cp] common practice, no source, [own] our default, [rig]
// counted on random plausible systems of package rig.

const (
	perF    = 5.0 / 9 // one Fahrenheit degree of difference, K
	zeroF   = 459.67 * perF
	kgPerOz = 0.028349523125
	ton     = 3516.8528 // W
	psi     = 6894.757  // Pa
)

func fahrenheit(f float64) float64 { return zeroF + f*perF }

// Target bands.
const (
	superheatBand      = 5 * perF  // [CA] installer tolerance
	subcoolingBand     = 3 * perF  // [CA] installer tolerance
	defaultSubcooling  = 10 * perF // [cp] where the data plate says nothing; 6 to 14 are met
	inletSuperheatLow  = 15 * perF // [cp] refrigeration, at the compressor
	inletSuperheatHigh = 25 * perF // [cp]
	chartFloor         = 5 * perF  // [chart] a dash: the target would be under this
	chartOutLow        = 40.0      // °F [chart]
	chartOutHigh       = 115.0
	chartWetLow        = 50.0
	chartWetHigh       = 76.0
	edgeOutdoor        = 2 * perF  // [own] air is the same within this and edgeWetBulb, by two thermometers
	edgeWetBulb        = 1 * perF  // [own]
	edgeHighest        = 10 * perF // [own] a chart number this low next to a dash is the chart's hot, dry edge
	ruleOutLow         = 55.0      // °F: the common rule is not used outside these [own]
)

// Superheat.
const (
	floorComfort     = 5 * perF   // [chart] never less at the suction port, says one manual
	floorCoil        = 3 * perF   // [own] refrigeration, valve systems, near the coil
	floorInlet       = 10 * perF  // [own] refrigeration, capillary tube, at the compressor
	warnComfort      = 8 * perF   // [own]
	warnCoil         = 4 * perF   // [own]
	warnInlet        = 15 * perF  // [own]
	floorMargin      = 2 * perF   // [own] a clamp and a gauge may be off this much together
	starvedSuperheat = 15 * perF  // [own] with little subcooling: the coil is clearly starved
	likelySubcool    = 2.5 * perF // [own] less says nothing of an orifice: a starved valve is wide open
	starvedSubcool   = 4 * perF   // [cp] liquid has not reached the device
)

// Subcooling, condensing, discharge, ratio.
const (
	subcoolingOver    = 5 * perF  // [own] over a data plate figure
	subcoolingMost    = 20 * perF // [own] without one
	restrictSubcool   = 15 * perF // [own] with
	restrictSuperheat = 25 * perF // [press] a field guide uses 15 and 25; 20 cried wolf in dry, mild weather
	overSubcool       = 2 * perF  // [own] so far over its band, as at subcoolingOver, subcooling is not that of a charge nearly right
	warmApproach      = 10 * perF // [own] liquid line over outdoor air; over it are one in six of overfull condensers, three in five of those with air in them [rig]
	askFirst          = 0.10      // [own] air in the system this likely is told from too much charge before any is taken out
	restrictLeast     = 0.15      // [own] a restriction this likely stands by the rule above
	overOutdoorMost   = 35 * perF // [own] condensing over outdoor air
	overOutdoorWarn   = 30 * perF // [own] 30 is the oldest equipment's normal
	condensingMost    = 140.0     // °F [own] 90 % of a 600 psig cut-out on R-410A
	dischargeMost     = 225.0     // °F [press] 225 to 250 called the maximum
	dischargeMostHot  = 250.0     // °F [press] the upper end of what is called the maximum: R-32 runs hot by nature
	// A line that is hot only because a starved coil sends hot gas back is cooled
	// by charge. Over the first it is weighed in with the unit off only: at 300 °F
	// at the line the valves stand near 350, where oil chars [press]. Over the second
	// nothing excuses it. A degree at the suction is more at the discharge, by the
	// power (n-1)/n of the pressure ratio: 1.2 to 1.35 at those of starved units
	// [physics].
	dischargeRunMost      = 290.0 // °F [own]
	dischargeStarvedMost  = 335.0 // °F [own]
	dischargePerSuperheat = 1.3
	dischargePerDrop      = 0.55      // by a degree of suction, through the pressure ratio [physics]
	coilBelowReturn       = 40 * perF // evaporating under return air of a coil that is fed: 35, give or take 5 [cp]
	coilBelowBox          = 20 * perF // the same of a box: 10 to 20 [cp]

	dischargeWarn       = 200.0       // °F [own]
	dischargeWarnHot    = 225.0       // °F [own]
	ratioComfortWarn    = 4.0         // [press] 2.3 to 3.5 usual
	ratioComfortMost    = 6.0         // [own]
	ratioMediumMost     = 8.0         // [own]; 3 to 5.5 usual [press]
	ratioLowMost        = 12.0        // [press] 12:1 rule
	suctionFreezes      = 32.0        // °F [press] comfort cooling: the coil will freeze
	suctionFar          = 28.0        // °F [own] a starved coil this cold must rise with what goes in
	warmingLeast        = 1 * perF    // [own] by this much
	wantingOther        = 0.35        // [own] other causes together, at most, for a coil under freezing to be given charge
	iceForms            = 32.0        // °F [physics] evaporating under this with room air over the coil
	splitMost           = 27.5 * perF // [own] return to supply: 16 to 24 is usual, dry air gives up to 26
	splitOver           = 7 * perF    // [own] over the expected one where that is more: the driest air gives 29
	headControlActs     = 70.0        // °F outdoors [press] a head-pressure control is expected to act below
	dropLegFlooded      = 12 * perF   // [own] a condenser outlet this cold holds liquid
	receiverShortageSat = 5 * perF    // [own] subcooling at the receiver at least this: bubbles are not hot gas
)

// Weather and rooms, comfort cooling.
const (
	outdoorLeast = 55.0  // °F [CA] the running test holds from here
	outdoorMost  = 115.0 // °F [chart] end of the chart
	outdoorCool  = 65.0  // °F [own] some makers' limit
	returnLeast  = 70.0  // °F [CA] from memory
	returnMost   = 80.0  // °F [own] makers' manuals: 70 to 80
)

// Amounts.
const (
	plateAsk          = 0.10   // of the data plate without a leak answer [own]
	plateWeighIn      = 0.20   // recover and weigh in is the cleaner repair [own]
	plateOver         = 0.05   // never more than plate and line set and this [own]
	stepPlate         = 0.10   // never more in one step [cp]
	stepPlateSml      = 0.05   // systems under two pounds [cp]
	smallSystem       = 0.907  // kg, 2 lb
	firstOzTon        = 2.0    // most in the first step, oz per ton [cp]: 3 to 4 oz at 1.5 to 2 ton, 4 to 6 at 3, 6 to 8 at 5
	mostFirstOz       = 16.0   // [cp]
	condenserAt       = 313.15 // K, for
	usualDensity      = 960.0  // kg/m3 of liquid, of refrigerants that the ounces per ton were gathered with: R-410A, R-22, R-404A have 960 to 1130 [physics]
	ratioStarved      = 0.9    // [own] so surely short, a starved coil explains the ratio
	noCapacityOz      = 4.0    // most in a step when neither capacity nor plate is known [own]
	noCapacityLaterOz = 8.0    // [own] after two increments have been answered
	noCapacityMostOz  = 16.0   // [own] after four, of a named orifice: its superheat has shown its size; a valve's shows nothing
	noCapacityEnough  = 16.0   // [own] so much without an answer tells, whatever the size
	stepsMany         = 8      // [own] more than this: rethink
)

// Response.
const (
	responseSuperheat  = 1.5 * perF // [own] two steps that move less than this …
	responseSubcooling = 0.7 * perF // … and this: not a charge problem
	responseOzTon      = 2.0        // [own] at least this much weighed in for it to count
	responsePlate      = 0.05       // [own] or this share of the plate
	responseDry        = 5          // [own] times as much where no liquid reaches the clamp: a valve that holds shows nothing before the seal, for up to a quarter of the charge; valves hold from 68 to 89 % of it [rig]
	responseDryBelow   = 3 * perF   // [own] subcooling under this: no liquid
	responseCondensing = 1.0 * perF // [own] condensing over outdoor air that rises by more shows refrigerant staying in
	wrongWay           = 3 * perF   // [own] superheat rising with an addition; 2 °F and one for noise
)

// Steadiness at one charge.
const (
	huntingSuperheat = 3 * perF   // [own] over three settled readings
	huntingSubcool   = 1.5 * perF // [own] while subcooling holds this well
	swingReadings    = 3          // [own] settled readings at one charge, before the mean of a named valve counts
	heldReadings     = 5          // [own] newest readings of a named valve that hunts, for its mean
	swingSpan        = 9 * perF   // [own] they lie within: twice 4, and instruments
	swingLowest      = 2 * perF   // [press] superheat under 2 °F with a valve: problem; 2 to 20: probably working
	unsteadySubcool  = 2.5 * perF // [own] over unstableAfter
)

// Device.
const (
	verdictSubcool = 5 * perF // [cp] an orifice is not named with less: a starved valve is wide open and answers just like one
)

// Blends.
const glideTells = 1.0 // K [own]: less than this and a leak hardly changes the blend

// What running systems show, to tell a slip from a sick system [own, wide on
// purpose: a starved or overfull system shows strange but true numbers].
const (
	outdoorLowest    = -40.0      // °F: under this, a slip
	outdoorHighest   = 140.0      // °F
	returnLowest     = 40.0       // °F, comfort cooling
	returnHighest    = 120.0      // °F
	wetEqualsDry     = 0.2 * perF // nearer than any two thermometers agree in usual air
	highestGauge     = 700.0      // a liquid pressure ten times as large must not pass this, whatever the unit
	condensingLowest = 60.0       // °F, where the outdoor temperature is not known
	condensingMostly = 150.0      // °F
	overOutdoorOdd   = 40 * perF
	overOutdoorNever = 60 * perF
	underOutdoorNot  = -3 * perF
	superheatNever   = -8 * perF
	subcoolingNever  = -12 * perF
	superheatOdd     = 35 * perF // with
	subcoolingOdd    = 30 * perF // both together: clamps the wrong way round?
	superheatUsual   = 40 * perF // 0 to this
	subcoolingUsual  = 25 * perF // subcoolingSlack to this
	subcoolingSlack  = -2 * perF
)

// fitting is what a healthy or starved system shows, °F: superheat, subcooling,
// condensing over outdoor air, return air over evaporating, evaporating. It
// judges which refrigerant would fit the numbers [own].
var fitting = struct{ superheat, subcooling, overOutdoor, returnOver, evaporating [2]float64 }{
	[2]float64{3, 45}, [2]float64{-1, 22}, [2]float64{8, 35}, [2]float64{18, 60}, [2]float64{15, 58},
}

// Sides of a question.
const (
	deviceLikely   = 0.80       // a device this likely picks limits [own]
	valveTarget    = 0.75       // a valve this likely picks the target shown [own]
	orificeMay     = 0.50       // an orifice this likely still counts [own]
	floodingCause  = 0.40       // a cause this likely is named beside the superheat floor [own]
	floodingDoubt  = 0.25       // causes other than charge this likely together: nothing comes out of a system as found for its floor [own]
	suspectAt      = 0.20       // a cause other than charge this likely is said when the job ends in band [own]
	causeShown     = 0.005      // causes less likely are not listed [own]
	sawnAt         = 2          // times some is taken back from a charge before nobody goes there again [own]
	sawnShare      = 0.75       // of the way back that counts as going there [own]
	lookFrom       = 0.10       // a device this likely is named beside the other when a job ends without a name [own]
	silentShare    = 0.05       // a cell the chart does not give counts from this weight [own]
	splitUsual     = 3 * perF   // [CA] a split this near the expected one answers for the air side
	condenserFree  = 20 * perF  // [own] condensing less over outdoor air answers for the condenser
	sameOutdoor    = 3 * perF   // [own] weather the same between two readings
	floodWetBulb   = 2 * perF   // [own] 3 °F of superheat by the chart
	sameWetBulb    = 1.5 * perF // [own]
	rangeRounding  = 0.5 * perF // a whole degree is as good as the limit itself
	readRounding   = 0.1 * perF // as a thermometer shows it
	fork           = 2 * perF   // [own] two forecasts nearer than this are told as one
	dropLegFilling = 0.5 * perF // [own]
	starvedSlack   = 2 * perF   // [own] on starvedSubcool, for clamp and gauge
	tubeMatch      = 0.02       // inches: a size is the table's within this
)

// Cylinder.
const (
	cylinderOff   = 0.0284 // kg, 1 oz [own]: hoses and scales
	cylinderShare = 0.02   // of what was weighed [own]
)

// Times.
const (
	settleAfter    = 10 * time.Minute // [cp] 5 to 20 in makers' manuals; 15 for orifices [CA]
	settleLeast    = 5 * time.Minute  // [own] steady readings count from here
	settleSlack    = 30 * time.Second // [own]
	thawFor        = 30 * time.Minute // [own] blower alone, a coil clears in 15 to 60
	rereadAfter    = 5 * time.Minute  // [own] second reading of a pair
	readApart      = time.Minute      // [cp] at least, between readings that count as two
	steadyApart    = 2 * time.Minute  // [own] between readings that show a steady state
	steadyEvap     = 0.5 * perF       // [own]
	steadySuper    = 1.0 * perF       // [own]
	steadySub      = 0.5 * perF       // [own]
	steadyTemp     = 1.0 * perF       // [own] outdoor air
	ambientFresh   = 60 * time.Minute // [own] an outdoor or return reading stands this long
	jobLong        = 2 * time.Hour    // [own] rethink
	unstableAfter  = 30 * time.Minute // [own] no steady set: find the cause
	weatherMoved   = 5 * perF         // [own] the target is worth another look
	adviseStarved  = 12 * time.Minute // [cp]
	adviseOrifice  = 15 * time.Minute // [CA]
	adviseValve    = 10 * time.Minute // [cp]
	adviseReceiver = 15 * time.Minute // [cp] 10 to 20
)

// Readings.
const (
	airSlack       = 2 * perF   // [cp] two thermometers
	belowSat       = -1 * perF  // a pipe this far below saturation is worth a word [own]
	belowSatFar    = -5 * perF  // and this far cannot be [own]
	negSubcool     = -3 * perF  // [own]
	negSubcoolFar  = -8 * perF  // [own]
	liquidColder   = -3 * perF  // liquid line under outdoor air: 1 °F [press] and two clamps
	liquidFar      = -10 * perF // [own]
	restRatio      = 1.15       // pressures this close: the compressor stands [own]
	suctionGain    = 15 * perF  // a suction line warmer than the air by more than this [own]
	sameTwice      = 3          // identical sets that are asked about [cp]
	outdoorJump    = 12 * perF  // between two readings [own]
	confirmTemp    = 1.5 * perF // a doubted value read again this close is confirmed [own]
	confirmPress   = 0.015      // share
	highestComfort = 65.0       // °F evaporating: not seen in comfort cooling [own]
	lowestComfort  = -10.0      // °F evaporating [own]
)

// Sources as the screens and the JSON name them.
const (
	srcCA    = "California appendix RA3.2 (2008)"
	srcChart = "published target-superheat chart"
	srcPress = "trade press"
	srcCP    = "common practice, no source"
	srcOwn   = "default of this tool, no source"
	srcSafe  = "manufacturers' and safety practice, no single source"
)

// Belief.
const (
	otherCauseAt   = 0.55 // [own] together, before a cause other than charge stops the work
	otherCauseSure = 0.75 // [own] the same where the target is met as found, or what would tell more was not read
	otherCauseLate = 0.88 // [own] the same after charge that was answered
	doneAt         = 0.90 // [own] chance of being in the band at which two readings in it end the job
	verdictAt      = 0.95 // probability of a device before it is named
	likelyAt       = 0.80 // [own] an orifice this likely, in the lower half of its band, is left alone
	conflictAt     = 0.95 // [own] the readings' own verdict against a stated device

	nearMiddle       = 0.50 // [own] share of the tolerance about the middle within which the last degree is not chased
	takenOut         = 0.75 // [own] the same within which superheat is left once some came out: putting back may flood it again
	centreSubcooling = 0.25 // [own] the same of subcooling, whose tolerance is hardly wider than clamp and gauge may be off
)
