package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"

	"chargehand/charge"
)

// Format is what the first line names.
const Format = "chargehand/1"

// opening is how the first line begins as we write it.
const opening = `{"n":1,"format":"` + Format + `",`

// zeros is prev of the first line.
const zeros = "0000000000000000000000000000000000000000000000000000000000000000"

// Line is one verified line. Raw is the truth; do not change it.
type Line struct {
	N     int
	Raw   []byte // without the line feed
	Event charge.Event
}

// hash is what the next line carries as prev.
func hash(raw []byte) string {
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// encode makes the line of an event, without line feed. What cannot be read
// back is refused here, before it reaches the disk.
func encode(e charge.Event, n int, prev string) (Line, error) {
	if n == 1 && e.Kind() != charge.KindSetup {
		return Line{}, ErrNotSetup
	}
	body, err := e.MarshalJSON()
	if err != nil {
		return Line{}, err
	}
	var b bytes.Buffer
	if n == 1 {
		b.WriteString(opening)
	} else {
		b.WriteString(`{"n":` + strconv.Itoa(n) + `,`)
	}
	// Unknown fields are kept as raw JSON, which may hold line feeds.
	start := b.Len()
	if err := json.Compact(&b, body); err != nil {
		return Line{}, err
	}
	raw := b.Bytes()
	copy(raw[start:], raw[start+1:]) // its opening brace
	raw = append(raw[:len(raw)-2], `,"prev":"`+prev+`"}`...)
	back, why := decode(raw, n, prev)
	if why != nil {
		return Line{}, why
	}
	return back, nil
}

// decode reads and verifies a line that must have the number n and follow prev.
func decode(raw []byte, n int, prev string) (Line, error) {
	e, err := charge.ParseEvent(raw)
	if err != nil {
		return Line{}, err
	}
	// A map, since struct tags would match other cases of the names as well.
	var own map[string]json.RawMessage
	if err := json.Unmarshal(raw, &own); err != nil {
		return Line{}, err
	}
	follows, chained := text(own, "prev")
	format, formatted := text(own, "format")
	switch {
	case e.N == 0:
		return Line{}, errors.New("n is missing: not a journal, or a feed without numbers")
	case e.N != n:
		return Line{}, fmt.Errorf("n is %d where %d is due: a line was lost, added or moved", e.N, n)
	case !chained:
		return Line{}, errors.New("prev is missing: the line is not chained to the one before")
	case follows != prev && n == 1:
		return Line{}, errors.New("prev of the first line is not 64 zeros: lines before it were taken away")
	case follows != prev:
		return Line{}, fmt.Errorf("prev does not fit line %d: one of the two was changed after it was written", n-1)
	case n == 1 && !formatted:
		return Line{}, errors.New("format is missing on the first line: not a journal of chargehand")
	case n == 1 && format != Format:
		return Line{}, fmt.Errorf("format is %.40q, this version reads %q", format, Format)
	case n > 1 && formatted:
		return Line{}, errors.New("format appears again: two journals in one file")
	case n == 1 && e.Kind() != charge.KindSetup:
		return Line{}, fmt.Errorf("the first line is %q, not a setup", e.Kind())
	}
	return Line{N: n, Raw: raw, Event: e}, nil
}

// text gives a field that is a string; false if it is absent.
func text(fields map[string]json.RawMessage, name string) (string, bool) {
	msg, ok := fields[name]
	if !ok {
		return "", false
	}
	var s string
	if json.Unmarshal(msg, &s) != nil {
		return string(msg), true // fits nothing, and is shown
	}
	return s, true
}
