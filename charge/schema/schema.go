// Package schema holds the JSON Schemas (2020-12) of what chargehand reads and
// writes: an event, a line of a journal, an answer of the feed.
package schema

import "embed"

// Files holds event.json, journal-line.json and answer.json.
//
//go:embed *.json
var Files embed.FS
