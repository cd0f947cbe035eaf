// Package save writes the files that are made from records: pages, debriefs. The
// records themselves are the business of package journal.
package save

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// File writes a file for its user alone, whole or not at all: beside its place
// first, so that a full disk leaves what was there before. Neither a journal nor
// anything but a plain file is ever replaced.
func File(path string, write func(io.Writer) error) (err error) {
	if strings.EqualFold(filepath.Ext(path), ".jsonl") {
		return fmt.Errorf("%q is named like a journal, which is never overwritten: choose another name", path)
	}
	switch fi, err := os.Lstat(path); {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case !fi.Mode().IsRegular():
		return fmt.Errorf("%q is no plain file: choose another name, or write to standard output", path)
	default:
		if is, err := holdsJournal(path); err != nil || is {
			return errors.Join(err, fmt.Errorf("%q holds a journal, which is never overwritten: choose another name", path))
		}
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*") // mode 0600
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = os.Remove(f.Name())
		}
	}()
	if err = write(f); err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// holdsJournal looks at how a file begins, not whether it verifies: a damaged
// record is a record.
func holdsJournal(path string) (bool, error) {
	f, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer func() { _ = f.Close() }()
	head := make([]byte, 4<<10)
	n, err := io.ReadFull(f, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return false, err
	}
	head, _, _ = bytes.Cut(head[:n], []byte("\n"))
	return bytes.HasPrefix(bytes.TrimLeft(head, "\ufeff \t"), []byte("{")) && bytes.Contains(head, []byte("chargehand/")), nil
}
