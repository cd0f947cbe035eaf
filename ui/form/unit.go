package form

import "regexp"

// A unit or ounces that were typed behind a space. Space goes on to the next field, yet "9 lb 2 oz" is how masses are
// written: left where they fell, the 2 would be taken for the next field's value.
var (
	openNumber  = regexp.MustCompile(`[0-9]$`)
	openPounds  = regexp.MustCompile(`(?i)[0-9] ?(l|lb|lbs|pound|pounds)$`)
	unitAlone   = regexp.MustCompile(`(?i)^(lb|oz|kg)$`)
	ouncesAlone = regexp.MustCompile(`(?i)^[0-9.,]+ ?oz?$`)
)

// before is the number in front of the field with the cursor, nil where none was typed.
func (f *Form) before() *Field {
	if f.At == 0 {
		return nil
	}
	if fd := &f.Fields[f.At-1]; fd.Type == Number && fd.used {
		return fd
	}
	return nil
}

// back returns what was typed in the field with the cursor to the number before it, when it is that number's unit or
// the ounces behind its pounds.
func (f *Form) back() {
	for {
		fd, before := &f.Fields[f.At], f.before()
		if before == nil || !fd.spaced || fd.Type == Choice {
			return
		}
		text, number := fd.Value(), before.Value()
		switch {
		case openPounds.MatchString(number) && ouncesAlone.MatchString(text):
			text = " " + text
		case openNumber.MatchString(number) && (unitAlone.MatchString(text) || fd.Type == Number && startsUnit(text)):
		default:
			return
		}
		fd.Reset()
		before.Set(number + text)
		f.At--
	}
}

// backWith gives what was typed to the number before, where the field with the cursor has no use for it: no choice that
// begins with it, or a value already.
func (f *Form) backWith(text string) bool {
	fd, before := &f.Fields[f.At], f.before()
	if before == nil {
		return false
	}
	number := before.Value()
	switch {
	case openPounds.MatchString(number) && openNumber.MatchString(text):
		text = " " + text
	case openNumber.MatchString(number) && (unitAlone.MatchString(text) || startsUnit(text)):
	default:
		return false
	}
	if fd.Type == Choice { // the l of lb is no liquid
		fd.Reset()
	}
	before.Set(number + text)
	f.At--
	return true
}

// startsUnit reports a text of one letter.
func startsUnit(text string) bool {
	return len(text) == 1 && unitLetter(rune(text[0]))
}
