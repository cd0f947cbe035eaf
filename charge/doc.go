// Package charge is the live-session model of chargehand: the words of the
// trade and the fold that turns what a technician enters into advice.
//
// # Use
//
// A session is a log of events. Its state is a fold over that log:
//
//	s := charge.NewSession(charge.Options{})
//	advice, err := s.Apply(event)   // one event in, one piece of advice out
//
// The live screen, the replay, the feed and the audit all run this same fold,
// so a replay shows exactly what the technician was told. An undo is a Void
// event and a fold from the start; nothing is ever mutated or forgotten. A
// later Setup amends the earlier one in the same way: everything is computed
// again from the raw readings, and Step keeps both what was told then (Told)
// and what the entry amounts to now (Now).
//
// An event that cannot stand is refused with a *Refusal that names field, value
// and remedy, and leaves the session as it was. What is only unlikely is taken
// and doubted aloud. Whoever records events calls Admit, writes, then Apply.
//
// # How an answer comes about
//
//	event.go, bodies.go, words.go   what may be entered
//	admit.go                        what cannot stand in this session
//	fold.go                         one event into the state
//	derived.go                      superheat from dew, subcooling from bubble, and the rest
//	doubt.go                        readings that cannot be, or hardly can, with a reason
//	wait.go                         whether a reading shows a settled system
//	target.go                       the band each device would have to meet, and its source
//	totals.go                       weighed in and out, data plate, line set, step sizes
//	sight.go, rules.go, gates.go,
//	discharge.go, ice.go,
//	cautionrules.go                 stopping rules, gates and cautions, with the room left
//	think.go, causes.go             package belief: device, causes, forecast, next step
//	advise.go, follow.go,
//	flooding.go, why.go, caution.go which of all these decides, and in what words
//	answer.go                       the answer as one line of JSON
//	limits.go                       every threshold with its source
//
// Rules come in three strengths. A hard rule withholds every increment,
// whatever is set aside. A gate asks once, and is answered by a check, a
// reading or an override. A caution is said beside the advice, which goes on.
//
// # Numbers
//
// Numbers in Advice are SI: kelvin, pascal absolute, kilogram, with NaN for
// "not known"; sentences are in the units of Options. Readings keep the text
// they were typed as.
//
// The package is pure: it reads no clock (time comes in Event.At), opens no
// file, knows no terminal and draws no random numbers.
package charge
