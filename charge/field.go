package charge

import (
	"encoding"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// value is anything that stands in an event as a JSON string: a quantity with
// its unit, a word from a list, a label. IsZero means "not given".
type value interface {
	encoding.TextUnmarshaler
	encoding.TextMarshaler
	IsZero() bool
}

// field binds a JSON name to its place in an event body. The list a body
// returns is the one description of that body: decoding, encoding, required
// fields, amendment and the schema test all read it.
type field struct {
	name     string
	at       value
	required bool
}

// Refusal says why an event was not taken: which field, the value as it was
// entered, and what would be right. Nothing already entered is affected.
type Refusal struct {
	Field string // name in the event, "" when the whole line is at fault
	Value string // as entered, cut when long
	Why   string // what is wrong and what to do, without the field's name
}

func (r *Refusal) Error() string {
	switch {
	case r.Field == "":
		return r.Why
	case r.Value == "":
		return fmt.Sprintf("%s: %s", r.Field, r.Why)
	default:
		return fmt.Sprintf("%s %q: %s", r.Field, r.Value, r.Why)
	}
}

func refuse(field, value, format string, args ...any) *Refusal {
	return &Refusal{Field: field, Value: clip(value, 60), Why: fmt.Sprintf(format, args...)}
}

// clip shortens s to at most n runes for a message.
func clip(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return string([]rune(s)[:n-1]) + "…"
}

// maxText is the longest label, note or reason, in bytes.
const maxText = 4000

// Text is a free label or sentence. Control characters and terminal escape
// sequences are refused, so that no screen and no report can be steered by
// what somebody typed.
type Text string

func (t Text) IsZero() bool                 { return t == "" }
func (t Text) String() string               { return string(t) }
func (t Text) MarshalText() ([]byte, error) { return []byte(t), nil }

func (t *Text) UnmarshalText(b []byte) error {
	if len(b) > maxText {
		return fmt.Errorf("longer than %d characters: shorten it", maxText)
	}
	if !utf8.Valid(b) {
		return fmt.Errorf("not UTF-8 text: type it again")
	}
	s := string(b)
	for _, r := range s {
		if unprintable(r) {
			return fmt.Errorf("holds the control character %U: leave it out", r)
		}
	}
	*t = Text(strings.TrimSpace(s))
	return nil
}

// unprintable reports runes that act on a terminal, reorder text or cannot be
// seen: controls (C0, DEL, C1), line and paragraph separators, format characters
// such as bidirectional overrides, zero-width spaces and tags, and the replacement
// character that stands for broken bytes. The two joiners that some scripts and
// pictures are written with are let through.
func unprintable(r rune) bool {
	switch {
	case r == '\n', r == '\t', r == 0x200c, r == 0x200d, ' ' <= r && r <= '~':
		return false
	}
	return r == utf8.RuneError || unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}

// parseWord finds b in the list of allowed words and says which they are.
func parseWord[W ~string](b []byte, words []W) (W, error) {
	for _, w := range words {
		if string(w) == string(b) {
			return w, nil
		}
	}
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = string(w)
	}
	return "", fmt.Errorf("use one of %s", strings.Join(list, ", "))
}
