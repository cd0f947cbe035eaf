// Package audit says what a supervisor should look at in a finished journal.
//
// # For the supervisor
//
// To judge a job, run
//
//	chargehand replay job.jsonl --audit
//
// Exit status 1 means that something serious was found, 0 that nothing was.
// Every line of the answer is one finding: how much it weighs, the event it is
// about, what was seen, the rule and where the rule comes from.
//
//	SERIOUS: added against the advice (event 12, 14:21)
//	    10 oz went in where the advice was to stop (superheat floor). After it
//	    superheat went from 6.1 °F to 1.2 °F, subcooling from 9.0 °F to 11.4 °F;
//	    fired: superheat floor.
//	    rule added-against-advice; default of this tool, no source
//
// What to do with one:
//
//   - serious: the work or the record is not sound as it stands. Somebody goes
//     back, or the record is set right by an event that says so.
//   - look: ask the technician. There is often a good answer; it belongs in a
//     note of the journal.
//   - note: worth knowing for the next visit.
//
// To hand the customer a page, run chargehand report job.jsonl --html; to see
// what the whole shop put into which unit, chargehand ledger DIR. Neither
// proves that a system is safe or tight. Maker, code and employer rank above
// every rule here.
//
// A journal can be trusted as far as its chain holds: each line carries the
// SHA-256 of the line before, so an edit anywhere breaks it from there on. The
// chain shows that a file was changed, not by whom; and a file written anew
// from its first line has a whole chain. Keep copies.
//
// What the technician was told is worked out anew from the entries, by the
// version that does the audit. A journal does not keep advice, only what was
// entered, so after the advice has been improved an old job can be measured
// against words that were not on the screen that day. The rules therefore
// leave room: an amount is questioned from half as much again.
//
// # How it works
//
// Find puts every rule to a Record: the events, the answers given to them, and
// what the reading of the file said about its chain. A rule is one small
// function over a view of the record; its name, weight and source stand beside
// it in the list in rules.go. Adding a rule is a line there and a function,
// and a pair of journals in the test: one that trips it, one that does not.
//
// Most rules need the raw events alone. Those marked Told need what the
// technician was told, which takes the whole fold; without Record.Told they
// are skipped. Thousands of journals are read in seconds the first way.
package audit
