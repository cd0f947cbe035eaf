package ledger

import (
	_ "embed"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"sync"
)

// Warming is the 100-year global warming potential of a refrigerant by the
// IPCC's fourth and fifth assessment reports. AR4 values are the ones that 40
// CFR 84 and the European regulation count with.
type Warming struct {
	AR4, AR5 float64
	Source   string
}

// By is the potential by one report, "AR4" or "AR5".
func (w Warming) By(report string) float64 {
	if report == AR5 {
		return w.AR5
	}
	return w.AR4
}

// The two reports.
const (
	AR4 = "AR4"
	AR5 = "AR5"
)

//go:embed gwp.csv
var gwpTable string

var gwpAll = sync.OnceValue(func() map[string]Warming {
	rows, err := csv.NewReader(strings.NewReader(gwpTable)).ReadAll()
	if err != nil {
		panic(err) // embedded, and read by a test
	}
	m := make(map[string]Warming, len(rows))
	for _, r := range rows[1:] {
		ar4, err4 := strconv.ParseFloat(r[1], 64)
		ar5, err5 := strconv.ParseFloat(r[2], 64)
		if err4 != nil || err5 != nil {
			panic("ledger: gwp.csv: " + r[0])
		}
		m[r[0]] = Warming{ar4, ar5, r[3]}
	}
	return m
})

func gwpOf(name string) (Warming, bool) {
	w, ok := gwpAll()[Name(name)]
	return w, ok
}

// CO2e is kilograms of refrigerant in tonnes of CO2 equivalent, NaN for a
// refrigerant whose potential is not known.
func CO2e(refrigerant string, kg float64, report string) float64 {
	w, ok := gwpOf(refrigerant)
	if !ok {
		return math.NaN()
	}
	return kg * w.By(report) / 1000
}
