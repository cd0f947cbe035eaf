package refrigerants

import (
	"embed"
	"encoding/json"
	"fmt"
	"strings"
	"sync"

	"chargehand/refrigerants/helmholtz"
)

// One file a refrigerant, and pairs.json with the binary parameters of blends.
//
//go:embed data/*.json
var files embed.FS

// record is the content of a refrigerant's data file. A pure fluid has an
// equation, a blend a composition.
type record struct {
	Name        string   `json:"name"`
	Also        []string `json:"also"`
	SafetyGroup struct {
		Value  string `json:"value"`
		Source string `json:"source"`
	} `json:"safety_group"`
	GWP *struct {
		AR4    float64 `json:"ar4"`
		AR5    float64 `json:"ar5"`
		Source string  `json:"source"`
	} `json:"gwp"`
	LFL *struct {
		Value  float64 `json:"kg_m3"`
		Source string  `json:"source"`
	} `json:"lower_flammability_limit"`
	Liquid struct {
		Value  bool   `json:"value"`
		Source string `json:"source"`
	} `json:"charge_as_liquid"`
	Critical struct {
		T      float64 `json:"T_K"`
		P      float64 `json:"p_Pa"`
		Rho    float64 `json:"rho_kg_m3"`
		Source string  `json:"source"`
	} `json:"critical"`

	Equation *helmholtz.FluidData `json:"equation"`

	CompositionSource string `json:"composition_source"`
	Composition       []struct {
		Component   string  `json:"component"`
		MassPercent float64 `json:"mass_percent"`
	} `json:"composition"`
}

// key reduces a name to what tells refrigerants apart: "R-410A", "r410a",
// "R 410 A" and "410A" all give "410A".
func key(name string) string {
	var b strings.Builder
	for _, c := range strings.ToUpper(name) {
		if c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' {
			b.WriteRune(c)
		}
	}
	k := b.String()
	if len(k) > 1 && k[0] == 'R' && k[1] >= '0' && k[1] <= '9' {
		k = k[1:]
	}
	return k
}

// index maps keys to file names without opening a file.
var index = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	entries, err := files.ReadDir("data")
	if err != nil {
		panic("refrigerants: embedded data unreadable: " + err.Error())
	}
	for _, e := range entries {
		if n := e.Name(); n != "pairs.json" {
			m[key(strings.TrimSuffix(n, ".json"))] = "data/" + n
		}
	}
	return m
})

func read(file string, v any) error {
	b, err := files.ReadFile(file)
	if err == nil {
		err = json.Unmarshal(b, v)
	}
	if err != nil {
		return fmt.Errorf("refrigerants: %s: %w", file, err)
	}
	return nil
}

var pairs = sync.OnceValues(func() (*helmholtz.PairsData, error) {
	p := &helmholtz.PairsData{}
	return p, read("data/pairs.json", p)
})
