package journal

import (
	"errors"
	"fmt"
)

var (
	// ErrLocked says that another program has the journal open for writing.
	ErrLocked = errors.New("another chargehand is writing to this journal: close it first, or replay the journal, which only reads")
	// ErrClosed says that the journal was closed.
	ErrClosed = errors.New("the journal is closed")
	// ErrNotSetup says that the first event of a journal was not a setup.
	ErrNotSetup = errors.New("a journal begins with a setup: enter the refrigerant first")
)

// DamageError says where a journal stops making sense. Nothing was changed.
type DamageError struct {
	Path   string
	Line   int   // number of the line, from 1
	Offset int64 // of its first byte
	Why    string
}

func (e *DamageError) Error() string {
	return fmt.Sprintf("journal %q is damaged at line %d (byte %d): %s; it is left as it is: replay shows the lines before, a new session needs a new file",
		e.Path, e.Line, e.Offset, e.Why)
}

// WriteError says that an event was not acknowledged because the disk failed.
type WriteError struct {
	Path     string
	Op       string // "write", "sync", "restore", "check"
	Err      error
	Writable bool   // whether Append may be tried again
	Rescue   string // file to which the acknowledged lines were saved, if they were
}

func (e *WriteError) Error() string {
	s := fmt.Sprintf("journal %q: the event was not saved: %s: %v", e.Path, e.Op, e.Err)
	switch {
	case e.Rescue != "":
		s += fmt.Sprintf("; all events saved before it are in %q", e.Rescue)
	case e.Writable:
		s += "; the events before it are safe; mend the cause (space on the disk?) and enter it again"
	default:
		s += "; what the disk holds is unknown now: close the session and open the journal again"
	}
	return s
}

func (e *WriteError) Unwrap() error { return e.Err }
