package desk

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode"

	"chargehand/charge"
	"chargehand/charge/journal"
)

// Lazy is a record whose journal is made with the first event, so that a job
// that was only looked at leaves no file behind.
func Lazy(folder string) Record { return &lazy{folder: folder} }

// lazyAt is a record in the journal at path, made with the first event.
func lazyAt(path string) Record { return &lazy{path: path} }

type lazy struct {
	folder string // where a name is found, or
	path   string // the name itself
	j      *journal.Journal
}

func (l *lazy) Append(e charge.Event) (int, error) {
	if l.j == nil {
		if err := l.open(e); err != nil {
			return 0, err
		}
	}
	return l.j.Append(e)
}

// open makes the journal. What another program began under the name meanwhile
// is its job, not ours.
func (l *lazy) open(e charge.Event) error {
	if l.path != "" {
		j, _, err := journal.Open(l.path)
		if err == nil && len(j.Lines()) > 0 {
			err = errors.Join(fmt.Errorf("%q was begun by another program meanwhile: leave, and open it again", l.path), j.Close())
		}
		if err != nil {
			return err
		}
		l.j = j
		return nil
	}
	base := filepath.Join(l.folder, fileName(e.At, label(e)))
	for i := 1; i < 1000; i++ {
		path := base + ".jsonl"
		if i > 1 {
			path = fmt.Sprintf("%s-%d.jsonl", base, i)
		}
		if _, err := os.Lstat(path); err == nil {
			continue
		}
		j, _, err := journal.Open(path)
		switch {
		case errors.Is(err, journal.ErrLocked):
		case err != nil:
			return err
		case len(j.Lines()) > 0:
			if err := j.Close(); err != nil {
				return err
			}
		default:
			l.j = j
			return nil
		}
	}
	return fmt.Errorf("no free file name in %q: move old journals elsewhere", l.folder)
}

func (l *lazy) Path() string {
	if l.j == nil {
		return ""
	}
	return l.j.Path()
}

func (l *lazy) Close() error {
	if l.j == nil {
		return nil
	}
	return l.j.Close()
}

func label(e charge.Event) string {
	if s, ok := e.Body.(*charge.Setup); ok {
		if s.Unit != "" {
			return string(s.Unit)
		}
		return string(s.Refrigerant)
	}
	return ""
}

// fileName is the name of a journal without its ending: "2026-06-01-1341-back-of-house".
func fileName(at time.Time, label string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(label) {
		switch {
		case r < 0x80 && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 32 {
			break
		}
	}
	name := at.Format("2006-01-02-1504")
	if s := strings.Trim(b.String(), "-"); s != "" {
		name += "-" + s
	}
	return name
}
