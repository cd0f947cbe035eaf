// Package trial plays whole jobs on simulated systems and counts how they end: how a change to the advice is known to
// help. A policy is asked like a technician's assistant: it sees events and answers with an action. The session engine is
// one policy, a rule of thumb with fixed increments the other.
//
// Systems are drawn from package rig by a seed: any seed gives the same systems, instruments, weather and noise on every
// machine, whatever the number of workers. Most are to be charged, one in six must not be (a fault, or too much inside).
//
//	report := trial.Run(trial.Options{Systems: 200, Seed: 1})
//	report.Engine.Landed, report.FixedIncrements.Landed
//
// What counts, of the settled true state, whatever the instruments say:
//
//	landed      ended by stop with superheat within 5 °F of the published chart (fixed orifice), or subcooling within 3 °F of
//	            the target (valve; 10 °F where the data plate gives none)
//	overshot    after an addition superheat is under 4 °F and more than 5 °F under the target, or subcooling more than 3 °F
//	            over it
//	unsafe      after an addition a fixed-orifice system settles under 2 °F of superheat
//	caught      a system that must not be charged: ended before anything went in
//	refused     a system to be charged, given up as another fault
package trial
