package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// maxText bounds what is looked at: no reading is longer, and a pasted novel
// must cost nothing.
const maxText = 64

var plain = strings.NewReplacer(
	"\u00a0", " ", // no-break space
	"\u202f", " ", // narrow no-break space
	"\u2009", " ", // thin space
	"\u2212", "-", // minus sign
	"º", "°", // masculine ordinal, often typed for a degree sign
	"℉", "°F",
	"℃", "°C",
	"\u212a", "K", // kelvin sign
)

// term is one number with its unit as written.
type term struct {
	number string // with a decimal point, without sign
	value  float64
	gap    string // spaces between number and unit
	unit   string
}

// parse reads a text. In screens (screen true) a bare number takes def and a
// decimal comma is understood; elsewhere def is ignored.
func (k *kind) parse(s string, def Unit, screen bool) (amount, error) {
	if len(s) > maxText {
		return amount{}, k.fail(s, fmt.Sprintf("longer than %d bytes", maxText))
	}
	t := strings.Trim(plain.Replace(s), " ")
	if t == "" {
		return amount{}, k.fail(s, "nothing entered; write it like "+k.example)
	}
	defID := uint8(0)
	if screen {
		if defID = k.id(def); defID == 0 {
			return amount{}, k.fail(s, fmt.Sprintf("%q is no unit of %s to fall back on", string(def), k.name))
		}
	}
	negative, rest := sign(t)
	var terms []term
	for rest != "" {
		if len(terms) == 2 {
			return amount{}, k.fail(s, fmt.Sprintf("%s is left over", strconv.Quote(rest)))
		}
		var (
			tm  term
			why string
		)
		if tm, rest, why = k.scanTerm(rest, screen); why != "" {
			return amount{}, k.fail(s, why)
		}
		terms = append(terms, tm)
	}
	if len(terms) == 0 {
		return amount{}, k.fail(s, "a sign without a number; write it like "+k.example)
	}

	ids := [2]uint8{}
	for i := range terms {
		id, why := k.unitOf(&terms[i], defID)
		if why != "" {
			return amount{}, k.fail(s, why)
		}
		ids[i] = id
	}
	value, id := terms[0].value, ids[0]
	if len(terms) == 2 {
		var why string
		if value, id, why = k.join(terms, ids); why != "" {
			return amount{}, k.fail(s, why)
		}
	}
	if negative && value != 0 {
		value = -value
	}
	if math.IsInf(value, 0) || math.IsNaN(value) {
		return amount{}, k.fail(s, "too large a number")
	}
	d := &k.units[id-1]
	if why := k.check(d, d.si(value)); why != "" {
		return amount{}, k.fail(s, why)
	}
	a := amount{number: value, unit: id, text: s}
	if screen {
		if a.text = rebuild(t, terms); len(a.text) > maxText {
			return amount{}, k.fail(s, "too many digits")
		}
	}
	if a.text == k.canonical(value, id) {
		a.text = ""
	}
	return a, nil
}

func sign(t string) (negative bool, rest string) {
	switch t[0] {
	case '-':
		return true, strings.TrimLeft(t[1:], " ")
	case '+':
		return false, strings.TrimLeft(t[1:], " ")
	}
	return false, t
}

// rebuild writes screen input as strict text: decimal point, unit named.
func rebuild(t string, terms []term) string {
	var b strings.Builder
	if t[0] == '-' {
		b.WriteByte('-')
	}
	for i, tm := range terms {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(tm.number)
		b.WriteString(tm.gap)
		b.WriteString(tm.unit)
	}
	return b.String()
}

// scanTerm reads number, gap and unit name; the unit name ends before the next digit.
func (k *kind) scanTerm(t string, screen bool) (tm term, rest, why string) {
	n := strings.IndexFunc(t, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != ',' })
	if n < 0 {
		n = len(t)
	}
	if !strings.ContainsAny(t[:n], "0123456789") {
		return tm, "", fmt.Sprintf("%s is not a number; write it like %s", strconv.Quote(t), k.example)
	}
	if tm.number, why = decimal(t[:n], screen); why != "" {
		return tm, "", why
	}
	rest = t[n:]
	if e := exponent(rest); e > 0 {
		tm.number += rest[:e]
		rest = rest[e:]
	}
	var err error
	if tm.value, err = strconv.ParseFloat(tm.number, 64); err != nil {
		return tm, "", "too large a number"
	}
	if k.fractions {
		if rest, why = fraction(&tm, rest); why != "" {
			return tm, "", why
		}
	}
	unit := strings.TrimLeft(rest, " ")
	tm.gap = rest[:len(rest)-len(unit)]
	end := strings.IndexAny(unit, "0123456789")
	if end < 0 {
		end = len(unit)
	} else if end > 0 && (unit[end-1] == '.' || unit[end-1] == ',') {
		end--
	}
	rest = unit[end:]
	tm.unit = strings.TrimRight(unit[:end], " ")
	return tm, rest, ""
}

// exponent gives the length of "e-7" at the start of t, 0 if there is none.
func exponent(t string) int {
	if len(t) < 2 || (t[0] != 'e' && t[0] != 'E') {
		return 0
	}
	i := 1
	if t[i] == '+' || t[i] == '-' {
		i++
	}
	first := i
	for i < len(t) && t[i] >= '0' && t[i] <= '9' {
		i++
	}
	if i == first {
		return 0
	}
	return i
}

// decimal settles the decimal sign of a run of digits, points and commas.
func decimal(run string, screen bool) (number, why string) {
	commas, points := strings.Count(run, ","), strings.Count(run, ".")
	switch {
	case commas == 0 && points <= 1:
		return run, ""
	case !screen && commas > 0:
		return "", fmt.Sprintf("%q has a comma; write the decimal sign as a point and leave out separators", run)
	case commas+points > 1:
		return "", fmt.Sprintf("%q has more than one decimal sign; leave out thousands separators", run)
	}
	before, after, _ := strings.Cut(run, ",")
	if after == "" {
		return "", fmt.Sprintf("%q ends in a comma", run)
	}
	if len(after) == 3 && len(before) >= 1 && len(before) <= 3 && before != "0" {
		return "", fmt.Sprintf("%q may mean %s.%s or %s%s; write one of these", run, before, after, before, after)
	}
	return before + "." + after, ""
}

// fraction completes "3/8", "1 1/8" and "1-1/8"; tm holds the leading number.
func fraction(tm *term, rest string) (string, string) {
	whole, numerator := 0.0, tm.number
	text := tm.number
	tail := rest
	if tail != "" && (tail[0] == ' ' || tail[0] == '-') {
		sep := tail[:1]
		n := digits(tail[1:])
		if n == 0 || 1+n >= len(tail) || tail[1+n] != '/' {
			return rest, ""
		}
		whole, numerator = tm.value, tail[1:1+n]
		text += sep + numerator
		tail = tail[1+n:]
	}
	if tail == "" || tail[0] != '/' {
		return rest, ""
	}
	n := digits(tail[1:])
	if n == 0 {
		return rest, "" // the slash belongs to a unit
	}
	denominator := tail[1 : 1+n]
	bad := fmt.Sprintf("%q is not a fraction; write it like 3/8 or 1-1/8", text+"/"+denominator)
	if digits(tm.number) != len(tm.number) || len(numerator) > 4 || len(denominator) > 4 {
		return "", bad
	}
	num, _ := strconv.ParseFloat(numerator, 64)
	den, _ := strconv.ParseFloat(denominator, 64)
	if den == 0 {
		return "", bad
	}
	tm.value = whole + num/den
	tm.number = text + "/" + denominator
	return tail[1+n:], ""
}

func digits(t string) int {
	n := 0
	for n < len(t) && t[n] >= '0' && t[n] <= '9' {
		n++
	}
	return n
}

// unitOf finds the unit of a term, filling in the default where it is missing.
func (k *kind) unitOf(tm *term, defID uint8) (uint8, string) {
	if tm.unit == "" {
		if defID == 0 {
			return 0, "no unit; write it like " + k.example
		}
		tm.gap, tm.unit = " ", string(k.units[defID-1].unit)
		return defID, ""
	}
	name := oneSpace(tm.unit)
	if strings.HasPrefix(name, "mPa") {
		return 0, "mPa is a millipascal; megapascals are MPa or MPag"
	}
	name = strings.ToLower(name)
	if why, ok := k.refused[name]; ok {
		return 0, why
	}
	if id := k.byName[name]; id != 0 {
		return id, ""
	}
	return 0, fmt.Sprintf("%s is no unit of %s", strconv.Quote(tm.unit), k.name)
}

// oneSpace shrinks runs of spaces; other white space is not a space to us, as
// it would tear a table or a log line.
func oneSpace(s string) string {
	for strings.Contains(s, "  ") {
		s = strings.ReplaceAll(s, "  ", " ")
	}
	return s
}

// join adds up "1 lb 4 oz" in the minor unit.
func (k *kind) join(terms []term, ids [2]uint8) (float64, uint8, string) {
	for _, c := range k.compounds {
		if ids[0] != k.id(c.major) || ids[1] != k.id(c.minor) {
			continue
		}
		if terms[0].value != math.Trunc(terms[0].value) {
			return 0, 0, fmt.Sprintf("%s %s with %s after it; give whole %s or one unit alone",
				terms[0].number, c.major, c.minor, c.major)
		}
		if terms[1].value >= c.count {
			return 0, 0, fmt.Sprintf("%s %s after %s; %g %s are one %s",
				terms[1].number, c.minor, c.major, c.count, c.minor, c.major)
		}
		return terms[0].value*c.count + terms[1].value, ids[1], ""
	}
	return 0, 0, fmt.Sprintf("%s %s and %s %s do not go together", terms[0].number, terms[0].unit, terms[1].number, terms[1].unit)
}
