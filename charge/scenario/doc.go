// Package scenario holds the training lessons: what an apprentice is told, what
// is hidden, what can be looked at, and the debrief afterwards.
//
// # For the trainer
//
// To teach one thing in a quarter of an hour, give the apprentice one lesson:
//
//	chargehand train --list            what there is, and what each teaches
//	chargehand train restriction       the roof, on the log screen
//	chargehand train restriction --auto      the tool's own advice plays it
//	chargehand train restriction --misstep   the mistake it teaches to avoid
//
// The same --seed gives the same instruments and gusts, so a class can compare
// runs. With --journal FILE the run is kept as a journal like any other, to be
// replayed and audited, with the debrief beside it as text and JSON.
//
// To write a lesson of your own, begin from one that is near:
//
//	chargehand train dirty-condenser --source > my-lesson.json
//	chargehand train my-lesson.json
//
// A mistake in the file is named with its line and field, all of them at once.
// The format has a JSON Schema, chargehand train --schema, which editors use
// to help while typing. Quantities are text with their unit. The parts:
//
//	story        what the apprentice reads on arrival
//	setup        what is known: the fields of a setup event
//	plate        readable or unreadable; the charge on it is the rig's own
//	hidden       device, capacity, charge_percent of the plate, design figures,
//	             faults from 0 to 1, leak_per_hour
//	weather      outdoor air and return air over the minutes
//	instruments  gauges that are off, clamps on the wrong pipe
//	inspect      items to look at, what is seen, and what putting them right does
//	goal         charge (land in the band of superheat or subcooling) or leave
//	             (do not charge, for one of these causes); must_fix comes first
//	misstep      the mistake it teaches to avoid, its sign, and moves that make it
//
// Try a lesson with --auto before the class: the sound path must end sound.
//
// # The grade
//
// A grade is three words with reasons, and its rule is this:
//
//	not sound            the job ended wrong (outside the band by more than 1 °F of
//	                     the true value, for the wrong cause, charged what was to be
//	                     left or left what was to be charged), something that had
//	                     to be put right was not, or a grave misstep was made:
//	                     refrigerant weighed into a fault or against a running
//	                     leak, true superheat under 2 °F after an addition, or a
//	                     serious finding of the audit
//	sound, with remarks  it ended right, with a lesser misstep, or in more than twice
//	                     the increments of the shortest sound path and two more at
//	                     least, or in more than twice its time and half an hour
//	                     more at least
//	sound                neither
//
// The shortest sound path is searched on the hidden system, with what only the
// rig knows: what must be put right first, a quarter of an hour running, steps
// of a tenth of the plate at most, twelve minutes and a reading after each,
// the middle of the band in the weather of that moment. Nobody on the roof can
// be expected to find it; it is the measure, not the bar.
//
// A misstep is told with the moment it could have been seen and by what: the
// advice that stood, the cause that was already likely, or the lesson's own
// sign.
//
// # Use
//
//	s, err := scenario.Find("humid")             // or Parse of a file
//	r, err := scenario.Start(s, scenario.Options{Seed: 1})
//	r.Inspect("condenser-coil"); r.Fix("condenser-coil")
//	r.Read(); r.Weigh(0.17, ""); r.Wait(12); r.Read()
//	r.Hint()                                     // the tool's own advice
//	r.Finish(scenario.Verdict{Kind: scenario.ChargeIt})
//	d, err := r.Debrief()
//
// Every action takes its time on the roof and becomes an event of r.Session().
// A run is pure: no clock, no file, and the seed decides what is random.
package scenario
