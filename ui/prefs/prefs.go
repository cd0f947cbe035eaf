// Package prefs keeps what a technician prefers in one small file in the
// user's configuration folder, and knows where journals go. Everything has a
// default: nothing needs configuring before first use, and a file that cannot
// be read is left alone and reported, never a reason not to start.
package prefs

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/adrg/xdg"

	q "chargehand/charge/quantity"
)

// Preferences are kept between sessions.
type Preferences struct {
	Units      string `json:"units,omitempty"`      // "us" or "si"
	Pressure   string `json:"pressure,omitempty"`   // gauge unit: psig, barg, kPag, MPag
	Elevation  string `json:"elevation,omitempty"`  // with its unit
	Theme      string `json:"theme,omitempty"`      // dark, light, contrast, none
	Plain      bool   `json:"plain,omitempty"`      // draw with plain characters
	Bell       bool   `json:"bell,omitempty"`       // ring when a wait is over
	Folder     string `json:"folder,omitempty"`     // of the journals
	Technician string `json:"technician,omitempty"` // stands in new jobs
}

// Path is the file the preferences are kept in.
func Path() string { return filepath.Join(xdg.ConfigHome, "chargehand", "preferences.json") }

// DefaultFolder is where journals go by the XDG convention.
func DefaultFolder() string { return filepath.Join(xdg.DataHome, "chargehand", "journals") }

// Load reads the preferences; a missing file gives the defaults.
func Load() (Preferences, error) {
	var p Preferences
	data, err := read(Path())
	if errors.Is(err, fs.ErrNotExist) {
		return p, nil
	}
	if err == nil {
		err = json.Unmarshal(data, &p)
	}
	if err != nil {
		return Preferences{}, fmt.Errorf("preferences %q: %w; the defaults are used, the file is left as it is", Path(), err)
	}
	return p, nil
}

// read takes a plain file of sane size alone: a pipe or a device in its place
// would have no end.
func read(path string) ([]byte, error) {
	fi, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !fi.Mode().IsRegular() || fi.Size() > 1<<20 {
		return nil, errors.New("no plain file of preferences")
	}
	return os.ReadFile(path)
}

// Save writes the preferences: beside the file first, so that a full disk
// loses nothing.
func Save(p Preferences) error {
	data, err := json.MarshalIndent(p, "", "  ")
	if err != nil {
		return err
	}
	path := Path()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("preferences: %w", err)
	}
	tmp := path + ".new"
	if err := os.WriteFile(tmp, append(data, '\n'), 0o600); err != nil {
		return fmt.Errorf("preferences: %w", err)
	}
	return os.Rename(tmp, path)
}

// System is the units preferred, else those of the locale's country.
func (p Preferences) System() q.System {
	if s, ok := q.ParseSystem(p.Units); ok {
		return s
	}
	return localeSystem()
}

// localeSystem takes the country from the locale. Without one it is US, whose
// units the trade's charts are printed in.
func localeSystem() q.System {
	for _, name := range []string{"LC_ALL", "LC_MEASUREMENT", "LANG"} {
		v := os.Getenv(name)
		if v == "" {
			continue
		}
		v, _, _ = strings.Cut(v, ".")
		_, country, ok := strings.Cut(v, "_")
		switch {
		case !ok || country == "US" || country == "LR" || country == "MM":
			return q.US
		default:
			return q.SI
		}
	}
	return q.US
}

// PressureUnit is the gauge unit preferred, else that of the system.
func (p Preferences) PressureUnit() q.Unit {
	for _, u := range GaugeUnits() {
		if strings.EqualFold(string(u), p.Pressure) {
			return u
		}
	}
	return p.System().PressureUnit()
}

// GaugeUnits are the units a gauge may show.
func GaugeUnits() []q.Unit { return []q.Unit{q.PSIGUnit, q.BarG, q.KPaG, q.MPaG} }

// JournalFolder is where journals go.
func (p Preferences) JournalFolder() string {
	if p.Folder == "" {
		return DefaultFolder()
	}
	if rest, ok := strings.CutPrefix(p.Folder, "~/"); ok {
		return filepath.Join(xdg.Home, rest)
	}
	return p.Folder
}
