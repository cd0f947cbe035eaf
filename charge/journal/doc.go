// Package journal keeps the events of a session on disk: append-only, chained
// by hashes, one sync for every acknowledged event.
//
// # Life cycle
//
//	Open    locks the file against other writers, creates it where it is new
//	        (mode 0600, a new folder 0700), reads and verifies all of it, and
//	        mends what may be mended. Only then is a *Journal handed out.
//	Append  writes one event as one line, syncs, and then answers with its
//	        number. An event is acknowledged when Append returns without error:
//	        from then on neither a kill nor a power cut loses it.
//	Close   unlocks. A program that dies without it loses nothing.
//	Read    verifies without writing or locking, also while a writer is at work.
//
// # Byte format
//
// A journal is a text file of JSON Lines in UTF-8. Each line is one JSON object
// closed by a single line feed, and holds the fields of one event (package charge) and
//
//	n       the number of the line, counted from 1
//	format  "chargehand/1", on the first line only, which is a setup
//	prev    64 hex digits: the SHA-256 of the bytes of the line before,
//	        without its line feed; 64 zeros on the first line
//
// The bytes on disk are the truth: hashes are taken over them as they stand, and
// nothing is ever written again from parsed values. Order of fields and white space
// inside a line do not matter to a reader. Line numbers and hashes let a reader say
// where a journal was changed, with one limit: the last line has no
// successor, so a change to it, or the loss of whole lines at the end, shows only
// against a note of Report.Head kept elsewhere. The chain proves order and
// integrity to whoever keeps that note; it is no signature, since anyone may
// compute a new chain over a changed journal.
//
// # What is mended, and what refused
//
// A write that was cut short can only have been the last one, which was not
// acknowledged. So these are mended by Open, and the Report says so:
//
//   - Bytes after the last line feed that are not a whole JSON object: copied to
//     FILE.torn (FILE.torn2 … if taken), synced, then cut off. On the first line
//     only if they begin as ours do: a file that is something else is not touched.
//   - A last line, closed or not, with NUL bytes in it, which a file system leaves
//     where a block was not written before power went: the same.
//   - A last line that is whole and fits the chain but lacks the line feed: the
//     line feed is added.
//
// Everything else is damage: a line that is no event, a number out of order, a
// hash that does not fit. Open refuses with a *DamageError that names the line and
// its byte offset, and changes nothing. Read still gives the lines before it.
// Refused as well: symbolic links, folders, devices, pipes, files over 64 MiB, and
// a file that another program has open for writing (ErrLocked).
//
// # While it is open
//
// If a write fails (a full disk), the file is cut back to the acknowledged length
// and stays open: free some space and append again. If that or a sync fails, what
// the disk holds is unknown, and the journal is closed for writing until
// it is opened, and so verified, again. Before each write and on Close the file is looked at: if it
// was removed, cut short, or set back to an older copy by another program,
// the acknowledged lines are put back from memory and Notices says so. If
// somebody else's bytes are in it, also in place of ours, nothing is overwritten: the acknowledged lines go
// to FILE.rescue and the journal is closed for writing.
//
// # The lock
//
// The lock is on a file of its own, FILE.lock, not on the journal. A lock must
// be held before the journal is created or looked at, must outlive a journal removed or
// replaced underneath, and on Windows a locked file cannot be read by others,
// while a supervisor may well read a journal that is being written. The lock file is
// empty, mode 0600, and is left in place: removing it would let two writers hold
// locks on two files of the same name. A process that dies is unlocked by the system.
package journal
