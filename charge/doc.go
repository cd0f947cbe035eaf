// Package charge is the live-session model of chargehand: the words of the
// trade and the fold that turns what a technician enters into advice.
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
// again from the raw readings.
//
// The package is pure: it reads no clock (time comes in Event.At), opens no
// file, knows no terminal and draws no random numbers.
package charge
