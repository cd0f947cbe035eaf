package audit

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"chargehand/charge/plain"
)

func itoa(n int) string { return strconv.Itoa(n) }

// words turns "condenser-coil" into "condenser coil".
func words(s string) string { return strings.ReplaceAll(s, "-", " ") }

// span prints a duration the way people say it: "4 min", "1 h 10 min", "20 s".
func span(d time.Duration) string {
	switch {
	case d < time.Minute:
		return fmt.Sprintf("%d s", int(d.Seconds()))
	case d < time.Hour:
		return fmt.Sprintf("%d min", int(d.Minutes()))
	case d < 48*time.Hour:
		h := int(d.Hours())
		return fmt.Sprintf("%d h %d min", h, int(d.Minutes())-60*h)
	default:
		return fmt.Sprintf("%d days", int(d.Hours()/24))
	}
}

// clean is a text of the journal as a finding may quote it.
func clean(s string) string { return plain.Clip(s, 200) }

// under turns "suction_line" into "suction-line", for words.
func under(s string) string { return strings.ReplaceAll(s, "_", "-") }

func hasWord(s, word string) bool { return strings.Contains(strings.ToLower(s), word) }
