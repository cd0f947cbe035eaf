package audit

import "time"

// Every figure a rule compares with, in one place.
const (
	// Shortest wait any maker's manual gives between a weighing and the next
	// reading; the code procedure for fixed orifices asks 15 minutes.
	shortestWait = 5 * time.Minute

	// A told wait cut by less than this share is not worth a question.
	waitShare = 0.8

	// Largest single step: a tenth of the data plate; without a plate a tenth of
	// 3 lb a ton, the upper end of usual comfort cooling charges.
	stepOfPlate     = 0.10
	stepPerTonKg    = 0.136
	stepTinyKg      = 0.030  // below this no step is worth a question
	moreThanAdvised = 1.5    // of the amount advised, and at least advisedSlackKg over
	advisedSlackKg  = 0.0425 // an ounce and a half

	// Shares of the data plate.
	plateAskLeak  = 0.10
	plateWeighIn  = 0.20
	plateCeiling  = 1.05
	cylinderSlack = 0.02 // of what went over the scale, at least cylinderLeast
	cylinderLeast = 0.0284

	coldestOutdoorK = 285.92 // 55 °F
	hottestOutdoorK = 319.27 // 115 °F

	clockSlack    = 2 * time.Second
	sameReadings  = 3   // as many identical sets in a row are asked about
	wetBulbSlackK = 0.3 // rounding of two thermometers
)
