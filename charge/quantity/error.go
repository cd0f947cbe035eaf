package quantity

import (
	"fmt"
	"strconv"
	"unicode/utf8"
)

// ParseError says why a text was not accepted as a quantity and what would be.
type ParseError struct {
	Quantity string // what was expected: "pressure", "mass", ...
	Value    string // the text as given, shortened if very long
	Why      string // what is wrong with it, and the fix where there is one
	Accepted string // the accepted units, comma separated
}

func (e *ParseError) Error() string {
	return fmt.Sprintf("%s %s: %s (accepted units: %s)", e.Quantity, strconv.Quote(e.Value), e.Why, e.Accepted)
}

// shorten keeps an error readable whatever was pasted into a field.
func shorten(s string) string {
	const most = 40
	if len(s) <= most {
		return s
	}
	cut := most
	for cut > most-utf8.UTFMax && !utf8.RuneStart(s[cut]) {
		cut--
	}
	return s[:cut] + "…"
}
