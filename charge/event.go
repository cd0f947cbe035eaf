package charge

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// Event is one line of a session: when, what kind, and what it carries.
type Event struct {
	N     int       // place in the journal, from 1; 0 before it has one
	At    time.Time // from the line, never from a clock of ours
	Body  Body
	Extra []ExtraField // fields we do not know, kept on re-save and reported
}

// ExtraField is a field of an event that this version does not know.
type ExtraField struct {
	Name string
	Raw  json.RawMessage
}

// Kind is the kind of the event's body, "" without one.
func (e Event) Kind() Kind {
	if e.Body == nil {
		return ""
	}
	return e.Body.Kind()
}

const (
	maxLine   = 64 << 10 // bytes of one event line
	maxFields = 64
)

// ParseEvent reads one event from a line of JSON. The error is a *Refusal
// that names the field, the value and what would be right. A unit is required
// in every quantity. The journal's own fields (n, prev, format) are accepted;
// n is kept.
func ParseEvent(line []byte) (Event, error) {
	raw, order, err := objectFields(line)
	if err != nil {
		return Event{}, err
	}
	var e Event
	kind, err := stringField(raw, "kind")
	if err != nil {
		return Event{}, err
	}
	if kind == "" {
		return Event{}, refuse("kind", "", "is missing: use one of %s", kindList())
	}
	if e.Body = newBody(Kind(kind)); e.Body == nil {
		return Event{}, refuse("kind", kind, "is not known: use one of %s", kindList())
	}
	at, err := stringField(raw, "at")
	if err != nil {
		return Event{}, err
	}
	if at == "" {
		return Event{}, refuse("at", "", `is missing: give the time, like "2026-06-01T13:41:00Z"`)
	}
	if e.At, err = time.Parse(time.RFC3339, at); err != nil {
		return Event{}, refuse("at", at, `is not a time: write it like "2026-06-01T13:41:00Z"`)
	}
	if n, ok := raw["n"]; ok {
		if json.Unmarshal(n, &e.N) != nil || e.N < 0 {
			return Event{}, refuse("n", string(n), "is not a line number: leave it out or count from 1")
		}
	}
	known := map[string]bool{"kind": true, "at": true, "n": true, "prev": true, "format": true}
	for _, f := range e.Body.fields() {
		known[f.name] = true
		msg, ok := raw[f.name]
		if !ok || string(msg) == "null" {
			if f.required && !(e.Body.Kind() == KindSetup) {
				return Event{}, refuse(f.name, "", "is missing: %s needs it", article(e.Kind()))
			}
			continue
		}
		text, err := fieldText(f, msg)
		if err != nil {
			return Event{}, err
		}
		if text == "" {
			if f.required {
				return Event{}, refuse(f.name, "", "is empty: %s needs it", article(e.Kind()))
			}
			continue
		}
		if err := f.at.UnmarshalText([]byte(text)); err != nil {
			return Event{}, refuse(f.name, text, "%s", err)
		}
	}
	for _, name := range order {
		if !known[name] {
			e.Extra = append(e.Extra, ExtraField{name, raw[name]})
		}
	}
	return e, nil
}

func article(k Kind) string {
	if k == KindOverride {
		return "an " + string(k)
	}
	return "a " + string(k)
}

func kindList() string {
	var names []string
	for _, k := range Kinds() {
		names = append(names, string(k))
	}
	return strings.Join(names, ", ")
}

// fieldText returns the text of a field. Numbers are refused: they have no
// unit; only a reference to another event may be one.
func fieldText(f field, msg json.RawMessage) (string, error) {
	if _, ok := f.at.(*EventNumber); ok && len(msg) > 0 && msg[0] != '"' {
		return string(msg), nil
	}
	var s string
	if err := json.Unmarshal(msg, &s); err != nil {
		if c := msg[0]; c == '-' || c >= '0' && c <= '9' {
			return "", refuse(f.name, string(msg), `is a bare number: write it as text with its unit, like "118.2 psig", "58 °F" or "8 oz"`)
		}
		return "", refuse(f.name, string(msg), "is not text: write it between quotation marks")
	}
	return s, nil
}

func stringField(raw map[string]json.RawMessage, name string) (string, error) {
	msg, ok := raw[name]
	if !ok {
		return "", nil
	}
	var s string
	if err := json.Unmarshal(msg, &s); err != nil {
		return "", refuse(name, string(msg), "is not text: write it between quotation marks")
	}
	return s, nil
}

// objectFields splits one JSON object into its raw fields, in order. It
// refuses what encoding/json would quietly accept: fields given twice, text
// that is not UTF-8, anything after the object.
func objectFields(line []byte) (map[string]json.RawMessage, []string, error) {
	line = bytes.TrimSpace(line)
	switch {
	case len(line) == 0:
		return nil, nil, refuse("", "", "the line is empty: write one event, a JSON object, on each line")
	case len(line) > maxLine:
		return nil, nil, refuse("", "", "the line is longer than %d kB: shorten its texts", maxLine>>10)
	case !utf8.Valid(line):
		return nil, nil, refuse("", "", "the line is not UTF-8 text: save it as UTF-8")
	}
	dec := json.NewDecoder(bytes.NewReader(line))
	if t, err := dec.Token(); err != nil || t != json.Delim('{') {
		return nil, nil, refuse("", "", `the line is not a JSON object: write it like {"kind":"note","at":"…","text":"…"}`)
	}
	raw := make(map[string]json.RawMessage)
	var order []string
	for dec.More() {
		t, err := dec.Token()
		name, ok := t.(string)
		if err != nil || !ok {
			return nil, nil, badJSON(err)
		}
		if i := strings.IndexFunc(name, unprintable); i >= 0 {
			r, _ := utf8.DecodeRuneInString(name[i:])
			return nil, nil, refuse("", name, "the name of a field holds the control character %U: leave it out", r)
		}
		if _, twice := raw[name]; twice {
			return nil, nil, refuse(clip(name, 60), "", "is given twice: keep one")
		}
		if len(order) >= maxFields {
			return nil, nil, refuse("", "", "the line has more than %d fields", maxFields)
		}
		var msg json.RawMessage
		if err := dec.Decode(&msg); err != nil {
			return nil, nil, badJSON(err)
		}
		raw[name] = msg
		order = append(order, name)
	}
	if _, err := dec.Token(); err != nil {
		return nil, nil, badJSON(err)
	}
	if _, err := dec.Token(); err != io.EOF {
		return nil, nil, refuse("", "", "there is something after the JSON object: write one event on each line")
	}
	return raw, order, nil
}

func badJSON(err error) error {
	if err == nil || err == io.EOF || err == io.ErrUnexpectedEOF {
		return refuse("", "", "the JSON object breaks off: send the whole line")
	}
	return refuse("", "", "the line is not valid JSON (%s): mend it and send it again", err)
}

// MarshalJSON writes the event as one line with its fields in the order of
// the format, quantities exactly as they were typed, unknown fields last.
// The journal adds n, prev and format.
func (e Event) MarshalJSON() ([]byte, error) {
	if e.Body == nil {
		return nil, fmt.Errorf("charge: an event without a body cannot be written")
	}
	var b bytes.Buffer
	b.WriteString(`{"kind":`)
	writeText(&b, string(e.Kind()))
	b.WriteString(`,"at":`)
	writeText(&b, e.At.Format(time.RFC3339Nano))
	for _, f := range e.Body.fields() {
		if f.at.IsZero() {
			continue
		}
		text, err := f.at.MarshalText()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.name, err)
		}
		fmt.Fprintf(&b, ",%q:", f.name)
		if _, ok := f.at.(*EventNumber); ok {
			b.Write(text)
		} else {
			writeText(&b, string(text))
		}
	}
	for _, x := range e.Extra {
		b.WriteByte(',')
		writeText(&b, x.Name)
		b.WriteByte(':')
		b.Write(x.Raw)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// writeText writes s as a JSON string without escaping < > &, so that a
// journal reads like what was typed.
func writeText(b *bytes.Buffer, s string) {
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(s) // a string always encodes
	b.Truncate(b.Len() - 1)
}
