// Package quantity holds the measured things of the trade as types: Pressure,
// Temperature, TemperatureDifference, Mass, Length, Power, Humidity, Current.
//
// # What a value is
//
// A value is small, comparable and immutable. Its zero value means "not given":
// IsZero is true, IsValid false, String empty, every conversion NaN.
// A value remembers the unit it was given in and, when that differs from the
// canonical spelling, the text as typed, so that String gives the typed text
// back byte for byte: ParsePressure("118psig").String() is "118psig". A value
// made by a constructor prints canonically ("118 psig") and equals, under ==,
// the same value parsed from that canonical text. To compare two values that
// may be spelt differently, compare their numbers in one unit.
//
// Constructors take any finite number inside the range of the quantity. NaN,
// infinities and numbers out of range (below absolute zero, for instance) give
// the zero value, never a value that could not be parsed back.
//
// # Text
//
// ParseX, UnmarshalText and so the journal and the feed are strict: a unit is
// required, the decimal sign is a point. "118" is refused because it has no
// unit, "118 psi" because it does not say gauge or absolute.
//
// ParseXIn is for screens. A bare number takes the default unit and the text of
// the result names it: ParsePressureIn("118", PSIGUnit) prints "118 psig". The
// decimal sign may be a point or a comma. A comma between one to three digits
// (not a lone zero) and exactly three digits, "1,234", might be either a decimal
// or a thousands separator and is refused; so is any mixture of commas and
// points, or more than one of either. "14,4", "0,375" and "1234,567" are clear and
// accepted; the text of the result has a point, so it can go to the journal.
//
// In both, unit names are recognised in any letter case (except "mPa", which is
// a millipascal and refused), the degree sign may be left out or written º, ℉
// and ℃ stand for °F and °C, no-break spaces count as spaces, and U+2212 as a
// minus sign. Masses and lengths may be compound ("1 lb 4 oz", "25 ft 6 in")
// and use fractions ("3/8 in", "1-1/8 in"). Text longer than 64 bytes is refused.
//
// # Pressure
//
// Gauge and absolute pressure are different things and are never converted
// silently: only Absolute and In, which ask for the barometric pressure of the
// site, cross over. psig, kPag, barg, MPag, Pag and "inHg vac" are gauge; psia,
// kPa, bar, MPa, Pa, hPa, mbar and "inHg abs" are absolute. Bare "psi" and "inHg" are
// refused with the fix.
//
// # Temperatures and differences
//
// A TemperatureDifference has no 32 °F offset: ParseTemperatureDifference("9 °F")
// is 5 K. Superheat, subcooling, split and glide are differences.
//
// # Display
//
// System (US or SI) chooses default units for screens, and the Format functions
// round the way the trade does. Rounding is for display only: nothing is ever
// computed from a formatted value.
package quantity
