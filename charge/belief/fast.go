package belief

import "math"

// The members' curves and likelihoods take most of an event's time, and a fifth of that went into the library's exp and
// log. Those here are good to 1e-12, which is far more than a likelihood needs, and take less than half of the time: a
// table for the leading bits and a short series for the rest (Tang 1989, Tang 1990).

const (
	expBits  = 6
	expCells = 1 << expBits
	expHigh  = math.Ln2 / expCells // width of a cell
	logBits  = 7
	logCells = 1 << logBits
)

var (
	expTable [expCells]uint64  // bits of 2^(j/64)
	logInv   [logCells]float64 // 1 over the middle of a cell of the mantissa
	logTable [logCells]float64 // log of that middle
)

func init() {
	for j := range expTable {
		expTable[j] = math.Float64bits(math.Exp2(float64(j) / expCells))
	}
	for j := range logTable {
		mid := 1 + (float64(j)+0.5)/logCells
		logInv[j] = 1 / mid
		logTable[j] = -math.Log(logInv[j])
	}
}

// exp is e to the x.
func exp(x float64) float64 {
	if !(x > -700 && x < 700) {
		return math.Exp(x)
	}
	k := math.Floor(x*(1/expHigh) + 0.5)
	r := x - k*expHigh
	n := int64(k)
	p := 1 + r*(1+r*(0.5+r*(1.0/6+r*(1.0/24))))
	return math.Float64frombits(expTable[n&(expCells-1)]+uint64(n>>expBits)<<52) * p
}

// log is the natural logarithm of x.
func log(x float64) float64 {
	bits := math.Float64bits(x)
	e := int64(bits >> 52)
	if e == 0 || e >= 0x7ff { // zero, tiny, negative, infinite, not a number
		return math.Log(x)
	}
	j := bits >> (52 - logBits) & (logCells - 1)
	r := math.Float64frombits(bits&(1<<52-1)|0x3ff<<52)*logInv[j] - 1
	s := r * (1 - r*(0.5-r*(1.0/3-r*(0.25-r*0.2))))
	return float64(e-1023)*math.Ln2 + (logTable[j] + s)
}
