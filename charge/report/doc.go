// Package report makes the page that goes into the customer's file: the unit,
// the story of the job, the fork as a figure, the ledger, the totals, what the
// audit found and the cautions.
//
//	page := report.Of(name, lines, chainReport, units)
//	err := report.HTML(w, []report.Page{page})     // or Markdown, CSV, JSON
//
// Of folds the journal once. A Page holds finished text and numbers, so the
// four writers only lay it out. The HTML is one file without scripts, fonts or
// anything else from elsewhere; a policy in its head forbids the browser to
// fetch. It reads at 360 pixels and prints on one or two sheets. Whatever was
// typed into the journal is text to every writer, never markup.
package report
