package cli

import (
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
	"unsafe"

	"github.com/stretchr/testify/require"

	"chargehand/charge/journal"
)

// pseudo is a pseudo-terminal with a program in it, seen from outside.
type pseudo struct {
	t     *testing.T
	keys  *os.File // what is written here is typed
	end   *os.File // the program's end, to look at its settings
	mu    sync.Mutex
	drawn strings.Builder
	done  chan struct{} // nothing more will be drawn
}

func newPseudo(t *testing.T) *pseudo {
	t.Helper()
	keys, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("needs pseudo-terminals: ", err)
	}
	var unlock, number int32
	ioctl(t, keys, syscall.TIOCSPTLCK, unsafe.Pointer(&unlock))
	ioctl(t, keys, syscall.TIOCGPTN, unsafe.Pointer(&number))
	size := [4]uint16{24, 80}
	ioctl(t, keys, syscall.TIOCSWINSZ, unsafe.Pointer(&size))
	end, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	x := &pseudo{t: t, keys: keys, end: end, done: make(chan struct{})}
	t.Cleanup(func() { _, _ = keys.Close(), end.Close() })
	go func() {
		defer close(x.done)
		for buf := make([]byte, 1<<16); ; {
			n, err := keys.Read(buf)
			if err != nil {
				return
			}
			x.mu.Lock()
			x.drawn.Write(buf[:n])
			x.mu.Unlock()
		}
	}()
	return x
}

func ioctl(t *testing.T, f *os.File, request uintptr, arg unsafe.Pointer) {
	t.Helper()
	c, err := f.SyscallConn()
	require.NoError(t, err)
	var e syscall.Errno
	require.NoError(t, c.Control(func(fd uintptr) { _, _, e = syscall.Syscall(syscall.SYS_IOCTL, fd, request, uintptr(arg)) }))
	require.Zero(t, e)
}

// settings are those of the line: echo, line editing, signals.
func (x *pseudo) settings() (s syscall.Termios) {
	ioctl(x.t, x.end, syscall.TCGETS, unsafe.Pointer(&s))
	return s
}

func (x *pseudo) screen() string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.drawn.String()
}

func (x *pseudo) wait(what string, ready func() bool) {
	x.t.Helper()
	for stop := time.Now().Add(20 * time.Second); !ready(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(stop) {
			x.t.Fatalf("no %s:\n%q", what, x.screen())
		}
	}
}

func (x *pseudo) typed(s string) {
	x.t.Helper()
	_, err := x.keys.WriteString(s)
	require.NoError(x.t, err)
}

// TestHangup ends the log screen by a signal while something is half typed, and
// by taking its terminal away: the terminal is given back as it was, every
// entry acknowledged is on disk and the journal can be opened again.
func TestHangup(t *testing.T) {
	for _, how := range []struct {
		name string
		end  func(*pseudo, *os.Process) error
	}{
		{"hang-up", func(_ *pseudo, p *os.Process) error { return p.Signal(syscall.SIGHUP) }},
		{"told to end", func(_ *pseudo, p *os.Process) error { return p.Signal(syscall.SIGTERM) }},
		{"terminal gone", func(x *pseudo, _ *os.Process) error {
			_ = x.end.Close()
			return x.keys.Close()
		}},
	} {
		t.Run(how.name, func(t *testing.T) {
			if how.name == "hang-up" && signal.Ignored(syscall.SIGHUP) {
				t.Skip("hang-ups are ignored here, and by what is started from here")
			}
			path := filepath.Join(t.TempDir(), "job.jsonl")
			record(t, path, feedSetup)
			x := newPseudo(t)
			before := x.settings()
			cmd := command("log", path)
			cmd.Env = append(cmd.Env, "TERM=xterm-256color", "HOME="+t.TempDir(), "XDG_CONFIG_HOME="+t.TempDir())
			cmd.Stdin, cmd.Stdout, cmd.Stderr = x.end, x.end, x.end
			cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
			require.NoError(t, cmd.Start())
			left := make(chan error, 1)
			go func() { left <- cmd.Wait() }()
			t.Cleanup(func() { _ = cmd.Process.Kill() })

			x.wait("log screen", func() bool { return strings.Contains(x.screen(), "1 on disk") })
			require.NotEqual(t, before, x.settings(), "while it runs, keys come one by one")
			x.typed("nkept\r")
			x.wait("acknowledged entry", func() bool { return strings.Contains(x.screen(), "2 on disk") })
			x.typed("nhalf a wor")
			x.wait("half typed note", func() bool { return strings.Contains(x.screen(), "half a wor") })

			require.NoError(t, how.end(x, cmd.Process))
			select {
			case err := <-left:
				if how.name != "terminal gone" { // there, nobody is left to be told
					require.NoError(t, err, x.screen())
				}
			case <-time.After(20 * time.Second):
				t.Fatal("it goes on without a terminal")
			}
			if how.name != "terminal gone" {
				require.Equal(t, before, x.settings(), "line editing and echo as they were")
				x.wait("way back to the first screen", func() bool {
					s := x.screen()
					return strings.LastIndex(s, "\x1b[?1049l") > strings.LastIndex(s, "\x1b[?1049h") &&
						strings.LastIndex(s, "\x1b[?25h") > strings.LastIndex(s, "\x1b[?25l")
				})
			}
			j, report, err := journal.Open(path)
			require.NoError(t, err, "the lock is gone with it")
			require.True(t, report.Intact(), report.String())
			require.Len(t, j.Lines(), 2)
			require.Contains(t, string(j.Lines()[1].Raw), "kept")
			require.NoError(t, j.Close())
		})
	}
}
