package audit

const (
	srcChain    = "format of the journal: each line carries the SHA-256 of the line before"
	srcPractice = "common practice, no source"
	srcOwn      = "default of this tool, no source"
	srcWait     = "makers' manuals ask 5 to 20 minutes after a change; the California appendix RA3.2 asks 15 before a final reading"
	srcRange    = "California appendix RA3.2: the method holds from 55 °F outdoors"
	srcChart    = "published target-superheat chart: its blank cells say not to charge by this method"
	srcBlend    = "ASHRAE 34 zeotropes change composition when charged as vapor; trade press on liquid charging of 400-series blends"
	srcFloor    = "published target-superheat chart: never under 5 °F at the suction port"
)

// rules in the order of a job: the file, the start, the readings, the
// weighings, the advice, the end.
var rules = []rule{
	{"chain-broken", "chain broken or lines missing", Serious, srcChain, false, chainBroken},
	{"torn-line", "unfinished last line", Look, srcChain, false, tornLine},
	{"clock-back", "clock going back", Look, srcPractice, false, clockBack},
	{"not-closed", "not closed", Note, srcPractice, false, notClosed},
	{"refused-event", "an event that cannot stand", Serious, srcOwn, true, refusedEvent},
	{"unknown-fields", "fields not known", Note, srcOwn, false, unknownFields},

	{"no-reading-before", "weighed in before any reading", Serious, srcPractice, false, noReadingBefore},
	{"checks-skipped", "checks skipped", Look, srcPractice, false, checksSkipped},
	{"fault-left", "charged with a fault found", Serious, srcPractice, false, faultLeft},
	{"air-side-missing", "air side not read", Look, srcRange, false, airSideMissing},
	{"wrong-cylinder", "cylinder of another refrigerant", Serious, srcPractice, false, wrongCylinder},
	{"refrigerant-amended", "refrigerant changed after weighing", Look, srcPractice, false, refrigerantAmended},

	{"impossible-reading", "impossible reading", Serious, srcPractice, false, impossibleReading},
	{"doubtful-reading", "doubtful reading used", Look, srcOwn, true, doubtfulReading},
	{"same-readings", "the same readings again", Look, srcPractice, false, sameAgain},
	{"target-undefined", "no target in this weather", Serious, srcRange, false, targetUndefined},
	{"chart-silent", "chart gives no target here", Serious, srcChart, false, chartSilent},

	{"too-soon", "read too soon after weighing", Look, srcWait, false, tooSoon},
	{"no-reading-between", "weighed again without a reading", Serious, srcPractice, false, noReadingBetween},
	{"step-too-large", "step too large", Look, srcPractice, false, stepTooLarge},
	{"vapor-zeotrope", "zeotrope charged as vapor", Serious, srcBlend, false, vaporZeotrope},
	{"leak-unanswered", "much added, leak not answered", Serious, srcOwn, false, leakUnanswered},
	{"weigh-in-instead", "weighing in was the cleaner repair", Note, srcOwn, false, weighInInstead},
	{"over-plate", "over the data plate", Serious, srcOwn, false, overPlate},
	{"weighing-voided", "weighing taken back", Look, srcPractice, false, weighingVoided},

	{"rule-overridden", "rule set aside", Look, srcOwn, false, ruleOverridden},
	{"added-against-advice", "added against the advice", Serious, srcOwn, true, addedAgainstAdvice},
	{"other-than-advised", "other than advised", Look, srcOwn, true, otherThanAdvised},

	{"no-final-reading", "no reading after the last weighing", Serious, srcPractice, false, noFinalReading},
	{"left-under-floor", "left under the superheat floor", Serious, srcFloor, true, leftUnderFloor},
	{"left-out-of-band", "left outside the target band", Look, srcPractice, true, leftOutOfBand},
	{"cylinder-mismatch", "total does not match the cylinder", Serious, srcOwn, false, cylinderMismatch},
}
