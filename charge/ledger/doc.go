// Package ledger is what a shop put into which unit: refrigerant in and out
// over many journals, per unit, refrigerant, cylinder and month, leak rates by
// the published regulatory formula, and totals in CO2 equivalent.
//
//	book := ledger.NewBook(ledger.Options{})
//	for each journal {
//		book.Add(ledger.JobOf(name, events))   // one journal becomes a few numbers
//	}
//	report := book.Report()
//
// A journal is reduced to a Job of fixed size as soon as it is read, so a book
// over thousands of journals stays small; the order in which they are added
// does not matter.
//
// # What counts
//
// In is what crossed the scale into the system, out what was recovered from
// it; entries taken back (void) do not count. A job's addition is in minus out
// where that is positive, since what was recovered and weighed back in did not
// leak. Two jobs on one unit on the same day are one addition.
//
// # Leak rate
//
// 40 CFR 82.152 gives two methods, and an owner picks one for all appliances
// of a facility:
//
//	annualizing:  100 % x (added / full charge) x 365 / min(days since the last addition, 365)
//	rolling:      100 % x (added in the last 365 days / full charge)
//
// Both are shown. The full charge is the data plate of the setup with the
// allowance for its line set, as charge.LineAllowance reckons it. The first addition on record has no
// earlier one to count from and takes 365 days.
//
// The thresholds are in rules.go, each with the section that sets it. They
// are guidance: rules change, exemptions exist, and the current text of the
// rule decides, not this program.
package ledger
