package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"chargehand/charge"
)

// Journal is a journal open for writing. It is safe for concurrent use.
type Journal struct {
	mu      sync.Mutex
	fsys    filesystem
	path    string
	f       file
	unlock  func() error
	lines   []Line
	length  int64     // acknowledged bytes
	touched time.Time // when the file was changed by us last
	head    string    // hash of the last line
	broken  error     // why nothing can be written any more
	unsaved error     // why a rescue is due that has failed so far
	notices []string
}

// Open opens the journal at path for writing, creating it where there is none.
// The report tells what was found and mended; it is nil only if the file could not be
// read. A damaged journal gives a *DamageError, one open elsewhere ErrLocked.
func Open(path string) (*Journal, *Report, error) { return open(disk{}, path) }

func open(fsys filesystem, path string) (j *Journal, r *Report, err error) {
	// Looked at before the lock as well: no lock file beside a device.
	if _, err = look(fsys, path); err != nil {
		return nil, nil, err
	}
	dir := filepath.Dir(path)
	if err = makeDir(fsys, dir); err != nil {
		return nil, nil, fmt.Errorf("the folder of journal %q cannot be made: %w: choose another place", path, err)
	}
	unlock, err := fsys.Lock(path + ".lock")
	if errors.Is(err, ErrLocked) {
		return nil, nil, fmt.Errorf("journal %q: %w", path, ErrLocked)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("journal %q cannot be locked for writing: %w: choose a folder you may write to", path, err)
	}
	j = &Journal{fsys: fsys, path: path, unlock: unlock}
	defer func() {
		if err != nil {
			if j.f != nil {
				_ = j.f.Close()
			}
			_ = unlock()
			j = nil
		}
	}()

	fi, err := look(fsys, path)
	if err != nil {
		return j, nil, err
	}
	if fi == nil {
		if j.f, _, err = create(fsys, path, nil); err != nil {
			return j, nil, fmt.Errorf("journal %q cannot be created: %w", path, err)
		}
		j.head = zeros
		j.mark()
		return j, &Report{Path: path, Head: zeros}, nil
	}
	if j.f, err = openPlain(fsys, path, os.O_RDWR, fi); err != nil {
		return j, nil, fmt.Errorf("journal %q cannot be opened for writing: %w", path, err)
	}
	data, err := readAll(j.f)
	if err != nil {
		return j, nil, fmt.Errorf("journal %q: %w", path, err)
	}
	j.lines, r = Verify(data)
	r.setPath(path)
	if r.Damage != nil {
		return j, r, r.Damage
	}
	if err = j.mend(r, data); err != nil {
		return j, r, err
	}
	j.length, j.head = r.Bytes, r.Head
	j.mark()
	return j, r, nil
}

// mend brings the file to what the report calls verified.
func (j *Journal) mend(r *Report, data []byte) (err error) {
	switch {
	case r.Completed:
		if _, err = j.f.WriteAt([]byte{'\n'}, r.Bytes); err != nil {
			return fmt.Errorf("journal %q: adding the last line feed: %w", j.path, err)
		}
		r.Bytes++
	case r.Torn > 0:
		saved, err := saveBeside(j.fsys, j.path, ".torn", data[r.Bytes:])
		if err != nil {
			return fmt.Errorf("journal %q: copying the unfinished last write aside: %w", j.path, err)
		}
		if err = j.f.Truncate(r.Bytes); err != nil {
			return fmt.Errorf("journal %q: cutting off the unfinished last write: %w", j.path, err)
		}
		r.SavedAs = saved
	}
	// Also where nothing was mended: a program that died between write and sync
	// leaves a line that is in memory only, and it is about to be built upon.
	if err = j.f.Sync(); err != nil {
		return fmt.Errorf("journal %q: sync: %w", j.path, err)
	}
	if err = j.fsys.SyncDir(filepath.Dir(j.path)); err != nil {
		return fmt.Errorf("journal %q: sync of its folder: %w", j.path, err)
	}
	return nil
}

// makeDir makes missing folders and syncs the ones above, in which their names are.
func makeDir(fsys filesystem, dir string) error {
	var missing []string
	for d := dir; ; d = filepath.Dir(d) {
		if _, err := fsys.Lstat(d); err == nil || filepath.Dir(d) == d {
			break
		} else if !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		missing = append(missing, filepath.Dir(d))
	}
	if len(missing) == 0 {
		return nil
	}
	if err := fsys.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	for _, d := range missing {
		if err := fsys.SyncDir(d); err != nil {
			return err
		}
	}
	return nil
}

// create makes the file with its name durable in the folder. doubt says that
// a sync failed, so that what the disk holds is unknown.
func create(fsys filesystem, path string, content []byte) (f file, doubt bool, err error) {
	f, err = fsys.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, false, err
	}
	if len(content) > 0 {
		_, err = f.WriteAt(content, 0)
	}
	if err == nil {
		if err = f.Sync(); err == nil {
			err = fsys.SyncDir(filepath.Dir(path))
		}
		doubt = err != nil
	}
	if err != nil {
		_ = f.Close()
		return nil, doubt, err
	}
	return f, false, nil
}

// Append writes the event as the next line, syncs, and gives its number. The
// number in e is ignored. After an error the event is not in the journal, and the
// events before it are as they were; a *WriteError tells whether to try again.
func (j *Journal) Append(e charge.Event) (int, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.unsaved != nil {
		return 0, j.rescue(j.unsaved)
	}
	if j.broken != nil {
		return 0, j.broken
	}
	line, err := encode(e, len(j.lines)+1, j.head)
	if err != nil {
		return 0, err
	}
	if err := j.check(false); err != nil {
		return 0, err
	}
	buf := append(bytes.Clone(line.Raw), '\n')
	if j.length+int64(len(buf)) > maxFile {
		return 0, j.failed("write", fmt.Errorf("the journal is full at %d MiB", maxFile>>20), true)
	}
	n, err := j.f.WriteAt(buf, j.length)
	if err == nil && n < len(buf) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return 0, j.failed("write", err, j.restore() == nil)
	}
	if err := j.f.Sync(); err != nil {
		// The system may have dropped what it could not write and call it clean, so a
		// second sync proves nothing: cut the line off and end here.
		_ = j.restore()
		return 0, j.failed("sync", err, false)
	}
	j.lines = append(j.lines, line)
	j.length += int64(len(buf))
	j.head = hash(line.Raw)
	j.mark()
	return line.N, nil
}

// restore cuts the file back to what was acknowledged: the user is told that
// the event was not saved and will enter it again, so it must not turn up.
func (j *Journal) restore() error {
	if err := j.f.Truncate(j.length); err != nil {
		return err
	}
	err := j.f.Sync()
	j.mark()
	return err
}

// failed makes the error and, unless writable, closes the journal for writing.
func (j *Journal) failed(op string, err error, writable bool) error {
	e := &WriteError{Path: j.path, Op: op, Err: err, Writable: writable}
	if !writable {
		j.broken = e
	}
	return e
}

// Lines gives the lines written and read so far. Do not change their bytes.
func (j *Journal) Lines() []Line {
	j.mu.Lock()
	defer j.mu.Unlock()
	return append([]Line(nil), j.lines...)
}

// Head gives the SHA-256 of the last line, hex; 64 zeros in an empty journal.
func (j *Journal) Head() string {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.head
}

// Path is the name the journal was opened by.
func (j *Journal) Path() string { return j.path }

// Notices gives what had to be mended since the last call, in sentences.
func (j *Journal) Notices() []string {
	j.mu.Lock()
	defer j.mu.Unlock()
	n := j.notices
	j.notices = nil
	return n
}

// Close ends writing and unlocks. Everything acknowledged is on disk already;
// should another program have removed or cut the file since, Close puts it
// back as Append does.
func (j *Journal) Close() error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.f == nil {
		return nil
	}
	var err error
	switch {
	case j.unsaved != nil:
		err = j.rescue(j.unsaved) // an error in any case: it names the rescue file
	case j.broken == nil && len(j.lines) > 0:
		err = j.check(true)
	}
	err = errors.Join(err, j.f.Close(), j.unlock())
	j.f, j.unsaved = nil, nil
	if j.broken == nil {
		j.broken = ErrClosed
	}
	return err
}
