package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"github.com/gofrs/flock"
)

// file is what the journal asks of an open file.
type file interface {
	io.ReaderAt
	io.WriterAt
	io.Closer
	Stat() (fs.FileInfo, error)
	Truncate(size int64) error
	Sync() error
}

// filesystem is the seam through which all of the package reaches the disk, so
// that tests can fill it, break it, and cut its power.
type filesystem interface {
	Lstat(name string) (fs.FileInfo, error)
	SameFile(a, b fs.FileInfo) bool
	OpenFile(name string, flag int, perm fs.FileMode) (file, error)
	MkdirAll(path string, perm fs.FileMode) error
	SyncDir(path string) error
	// Lock takes the lock without waiting; ErrLocked if it is held.
	Lock(name string) (unlock func() error, err error)
}

type disk struct{}

func (disk) Lstat(name string) (fs.FileInfo, error)       { return os.Lstat(name) }
func (disk) SameFile(a, b fs.FileInfo) bool               { return os.SameFile(a, b) }
func (disk) MkdirAll(path string, perm fs.FileMode) error { return os.MkdirAll(path, perm) }

func (disk) OpenFile(name string, flag int, perm fs.FileMode) (file, error) {
	f, err := os.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err // not a nil *os.File inside an interface
	}
	return f, nil
}

// SyncDir makes a new name in a folder survive a power cut.
func (disk) SyncDir(path string) error {
	if runtime.GOOS == "windows" {
		return nil // folders cannot be synced there; NTFS journals names itself
	}
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	err = d.Sync()
	return errors.Join(err, d.Close())
}

func (disk) Lock(name string) (func() error, error) {
	// Through a link, the lock would be taken on, or create, a file elsewhere.
	if fi, err := os.Lstat(name); err == nil && !fi.Mode().IsRegular() {
		return nil, fmt.Errorf("lock %q is %s, not a plain file: remove it", name, modeWord(fi.Mode()))
	}
	l := flock.New(name, flock.SetPermissions(0o600))
	got, err := l.TryLock()
	if err != nil {
		return nil, err
	}
	if !got {
		_ = l.Close()
		return nil, ErrLocked
	}
	return l.Unlock, nil
}

// maxFile bounds what is read into memory; a session has some ten kilobytes.
const maxFile = 64 << 20

// look refuses everything but a plain file of sane size. A nil info and nil
// error mean that there is nothing there.
func look(fsys filesystem, path string) (fs.FileInfo, error) {
	fi, err := fsys.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !fi.Mode().IsRegular():
		return nil, fmt.Errorf("journal %q is %s, not a plain file: name the file itself", path, modeWord(fi.Mode()))
	case fi.Size() > maxFile:
		return nil, fmt.Errorf("journal %q has %d MiB, more than %d: this is no session", path, fi.Size()>>20, maxFile>>20)
	}
	return fi, nil
}

func modeWord(m fs.FileMode) string {
	switch {
	case m&fs.ModeSymlink != 0:
		return "a symbolic link"
	case m.IsDir():
		return "a folder"
	case m&fs.ModeNamedPipe != 0:
		return "a pipe"
	case m&fs.ModeSocket != 0:
		return "a socket"
	case m&fs.ModeDevice != 0:
		return "a device"
	}
	return "special"
}

// openPlain opens what look saw, and makes sure it is that and nothing that was
// put in its place since.
func openPlain(fsys filesystem, path string, flag int, seen fs.FileInfo) (file, error) {
	f, err := fsys.OpenFile(path, flag, 0)
	if err != nil {
		return nil, err
	}
	fi, err := f.Stat()
	if err == nil && !fsys.SameFile(seen, fi) {
		err = fmt.Errorf("journal %q was replaced while it was opened: try again", path)
	}
	if err != nil {
		_ = f.Close()
		return nil, err
	}
	return f, nil
}

func readAll(f file) ([]byte, error) {
	b, err := io.ReadAll(io.NewSectionReader(f, 0, maxFile+1))
	if err == nil && len(b) > maxFile {
		err = fmt.Errorf("more than %d MiB: this is no session", maxFile>>20)
	}
	return b, err
}

// saveBeside writes b to path+suffix, or path+suffix+2 and so on where that is
// taken by something else, and makes it durable. A name that holds the same
// bytes already (a crash came between saving and cutting) is used again.
func saveBeside(fsys filesystem, path, suffix string, b []byte) (string, error) {
	for i := 1; i <= 100; i++ {
		name := path + suffix
		if i > 1 {
			name += fmt.Sprint(i)
		}
		f, err := fsys.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
		if errors.Is(err, fs.ErrExist) {
			if same, err := holds(fsys, name, b); err == nil && same {
				return name, nil
			}
			continue
		}
		if err != nil {
			return "", err
		}
		_, err = f.WriteAt(b, 0)
		if err == nil {
			err = f.Sync()
		}
		if err = errors.Join(err, f.Close()); err == nil {
			err = fsys.SyncDir(filepath.Dir(path))
		}
		return name, err
	}
	return "", fmt.Errorf("%s%s to %s%s100 are all taken: move them away", path, suffix, path, suffix)
}

func holds(fsys filesystem, name string, b []byte) (bool, error) {
	fi, err := look(fsys, name)
	if err != nil || fi == nil || fi.Size() != int64(len(b)) {
		return false, err
	}
	f, err := openPlain(fsys, name, os.O_RDWR, fi)
	if err != nil {
		return false, err
	}
	have, err := readAll(f)
	if err == nil {
		err = f.Sync() // it may be there without being durable
	}
	return string(have) == string(b), errors.Join(err, f.Close())
}
