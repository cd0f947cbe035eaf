package journal

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// few is what is read in microseconds, as against the milliseconds of a sync. Clocks of
// file systems tick coarsely: a change right after our write may carry its time.
const few = 64 << 10

// check looks whether the file is still the one that was acknowledged, and puts
// it right where another program removed it, cut it short or set it back. Its
// bytes are read again if they are few; of a long journal only if the size or the
// time of change is not what our last write left, or if thorough.
func (j *Journal) check(thorough bool) error {
	fi, err := look(j.fsys, j.path)
	if err != nil {
		return j.rescue(err)
	}
	if fi == nil {
		return j.recreate()
	}
	own, err := j.f.Stat()
	if err != nil {
		return j.rescue(err)
	}
	same := j.fsys.SameFile(fi, own)
	if same && fi.Size() == j.length && fi.ModTime().Equal(j.touched) && j.length > few && !thorough {
		return nil
	}
	f, err := openPlain(j.fsys, j.path, os.O_RDWR, fi)
	if err != nil {
		return j.rescue(err)
	}
	have, err := readAll(f)
	if err != nil {
		return errors.Join(j.rescue(err), f.Close())
	}
	want := j.bytes()
	if !bytes.HasPrefix(want, have) {
		_ = f.Close()
		return j.rescue(errors.New("another program wrote to the file"))
	}
	missing := want[len(have):]
	if same && len(missing) == 0 {
		_ = f.Close()
		j.touched = fi.ModTime()
		return nil
	}
	if _, err = f.WriteAt(missing, int64(len(have))); err != nil {
		cut := f.Truncate(int64(len(have))) // or the next look might take it for whole
		_ = f.Close()
		if cut != nil {
			return j.rescue(errors.Join(err, cut))
		}
		return j.failed("restore", err, true)
	}
	if err = f.Sync(); err == nil {
		err = j.fsys.SyncDir(filepath.Dir(j.path))
	}
	if err != nil {
		_ = f.Close()
		return j.rescue(err)
	}
	notice := "the journal had been replaced by another program with a copy that is the same; it is written on"
	if len(missing) > 0 {
		notice = fmt.Sprintf("the journal had been cut to %d bytes by another program; the missing %d were put back", len(have), len(missing))
	}
	j.swap(f, notice)
	return nil
}

func (j *Journal) recreate() error {
	if err := makeDir(j.fsys, filepath.Dir(j.path)); err != nil {
		return j.failed("restore", err, true)
	}
	f, doubt, err := create(j.fsys, j.path, j.bytes())
	if doubt {
		return j.rescue(err)
	}
	if err != nil {
		return j.failed("restore", err, true) // a part that was written is completed next time
	}
	j.swap(f, fmt.Sprintf("the journal had been removed by another program; its %d events were written again", len(j.lines)))
	return nil
}

func (j *Journal) swap(f file, notice string) {
	_ = j.f.Close()
	j.f = f
	j.mark()
	j.notices = append(j.notices, notice)
}

// mark keeps the time of our last write. Where it cannot be had, the next check
// reads the file.
func (j *Journal) mark() {
	j.touched = time.Time{}
	if fi, err := j.f.Stat(); err == nil {
		j.touched = fi.ModTime()
	}
}

// rescue saves the acknowledged lines beside the journal and ends writing. If
// that fails too (a full disk), it is tried again by the next Append and by Close.
func (j *Journal) rescue(why error) error {
	name, err := saveBeside(j.fsys, j.path, ".rescue", j.bytes())
	e := &WriteError{Path: j.path, Op: "check", Err: why, Rescue: name}
	j.unsaved = nil
	if err != nil {
		e.Rescue = ""
		e.Err = errors.Join(why, err)
		j.unsaved = why
	}
	j.broken = e
	return e
}

// bytes is the file as acknowledged.
func (j *Journal) bytes() []byte {
	b := make([]byte, 0, j.length)
	for _, l := range j.lines {
		b = append(append(b, l.Raw...), '\n')
	}
	return b
}
