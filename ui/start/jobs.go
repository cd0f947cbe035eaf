package start

import (
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/charge/journal"
	"chargehand/ui/say"
)

// Job is one journal in the folder, as far as its events tell without folding.
type Job struct {
	Path    string
	Label   string
	Last    time.Time // of the newest entry
	Entries int
	Closed  bool
	Trouble string // why it cannot be gone on with, "" when it can
}

// maxJobs is how many of the newest journals are looked at.
const maxJobs = 60

// Jobs lists the journals of a folder, the newest first. A folder that is not
// there has none.
func Jobs(folder string) ([]Job, error) {
	entries, err := os.ReadDir(folder)
	if os.IsNotExist(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	type file struct {
		path string
		at   time.Time
	}
	var files []file
	for _, e := range entries {
		if !e.Type().IsRegular() || !strings.HasSuffix(e.Name(), ".jsonl") {
			continue
		}
		if fi, err := e.Info(); err == nil {
			files = append(files, file{filepath.Join(folder, e.Name()), fi.ModTime()})
		}
	}
	sort.Slice(files, func(i, j int) bool { return files[i].at.After(files[j].at) })
	var jobs []Job
	for _, f := range files[:min(len(files), maxJobs)] {
		jobs = append(jobs, job(f.path))
	}
	sort.SliceStable(jobs, func(i, j int) bool { return jobs[i].Last.After(jobs[j].Last) })
	return jobs, nil
}

func job(path string) Job {
	j := Job{Path: path, Label: strings.TrimSuffix(filepath.Base(path), ".jsonl")}
	lines, report, err := journal.Read(path)
	switch {
	case err != nil:
		j.Trouble = err.Error()
		return j
	case report.Damage != nil:
		j.Trouble = report.Damage.Why
	}
	var setup charge.Setup
	var closed charge.EventNumber
	for _, l := range lines {
		j.Last = l.Event.At
		switch b := l.Event.Body.(type) {
		case *charge.Setup:
			setup = setup.Amended(b)
		case *charge.Close:
			j.Closed, closed = true, charge.EventNumber(l.N)
		case *charge.Void:
			if j.Closed && b.Voids == closed {
				j.Closed = false
			}
		}
	}
	j.Entries = len(lines)
	if u := say.Unit(setup); u != "" {
		j.Label = u
	}
	return j
}
