//go:build linux

// Command measure prints the bars that only a built binary can tell: its size,
// the time from its start to the first frame in a terminal, and its memory.
//
//	measure DIST JOURNAL
package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"
	"unsafe"
)

func main() {
	if len(os.Args) != 3 {
		fail(fmt.Errorf("measure: give the folder of binaries and a journal"))
	}
	dist, journal := os.Args[1], os.Args[2]
	largest, name := int64(0), ""
	all, err := filepath.Glob(filepath.Join(dist, "chargehand-*"))
	fail(err)
	for _, path := range all {
		fi, err := os.Stat(path)
		fail(err)
		if fi.Size() > largest {
			largest, name = fi.Size(), fi.Name()
		}
	}
	fmt.Printf("bar: size of the largest of %d binaries, %s | 20 MB | %.1f MB | .ci/release\n", len(all), name, float64(largest)/1e6)

	binary := filepath.Join(dist, "chargehand-linux-"+runtime.GOARCH)
	home, err := os.MkdirTemp("", "measure")
	fail(err)
	defer os.RemoveAll(home)
	record, err := os.ReadFile(journal)
	fail(err)
	job := filepath.Join(home, "job.jsonl")
	for _, screen := range []struct {
		what string
		args []string
		done string // what the screen says once everything is worked out
	}{
		{"the start screen", nil, ""},
		{"a new job", []string{"log"}, ""},
		{fmt.Sprintf("a job of %d entries", bytes.Count(record, []byte("\n"))), []string{"log", job}, "on disk"},
		{"the replay of it", []string{"replay", job}, "step 1 of"},
	} {
		var took, done []time.Duration
		most := 0
		for range 11 {
			fail(os.WriteFile(job, record, 0o600))
			f := start(home, binary, screen.args, screen.done)
			took, done, most = append(took, f.first), append(done, f.done), max(most, f.kB)
		}
		slices.Sort(took)
		slices.Sort(done)
		fmt.Printf("bar: start to first frame in a terminal, %s, median of %d | 50 ms | %d ms | .ci/release\n", screen.what, len(took), took[len(took)/2].Milliseconds())
		if screen.done != "" {
			fmt.Printf("bar: start to the entries worked out, %s, median of %d | - | %d ms | .ci/release\n", screen.what, len(done), done[len(done)/2].Milliseconds())
		}
		fmt.Printf("bar: memory of %s | 40 MB | %.0f MB | .ci/release\n", screen.what, float64(most)/1024)
	}
	cmd := exec.Command(binary, "replay", "--plain", job)
	fail(cmd.Run())
	fmt.Printf("bar: memory of replay --plain | 40 MB | %.0f MB | .ci/release\n", float64(cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss)/1024)
}

// frames is when a program had drawn its first screen and the one that says what
// was waited for, and its peak memory a little later.
type frames struct {
	first, done time.Duration
	kB          int
}

// start runs the binary in a terminal of its own until it has drawn both.
func start(home, binary string, args []string, done string) (f frames) {
	terminal, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	fail(err)
	defer terminal.Close()
	var unlock, number int32
	control(terminal, syscall.TIOCSPTLCK, unsafe.Pointer(&unlock))
	control(terminal, syscall.TIOCGPTN, unsafe.Pointer(&number))
	size := [4]uint16{24, 80}
	control(terminal, syscall.TIOCSWINSZ, unsafe.Pointer(&size))
	end, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	fail(err)
	cmd := exec.Command(binary, args...)
	cmd.Env = []string{"TERM=xterm-256color", "HOME=" + home, "XDG_CONFIG_HOME=" + home, "XDG_DATA_HOME=" + home, "LANG=en_US.UTF-8"}
	cmd.Stdin, cmd.Stdout, cmd.Stderr = end, end, end
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	began := time.Now()
	fail(cmd.Start())
	end.Close()
	var seen []byte
	buf := make([]byte, 64<<10)
	for len(seen) < 500 || !bytes.Contains(seen, []byte(done)) { // a frame has more, what prepares the terminal less
		n, err := terminal.Read(buf)
		fail(err)
		if seen = append(seen, buf[:n]...); len(seen) >= 500 && f.first == 0 {
			f.first = time.Since(began)
		}
	}
	f.done = time.Since(began)
	time.Sleep(200 * time.Millisecond)
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", cmd.Process.Pid))
	fail(err)
	_, after, _ := strings.Cut(string(status), "VmHWM:")
	_, err = fmt.Sscan(after, &f.kB)
	fail(err)
	fail(cmd.Process.Kill())
	_ = cmd.Wait()
	return f
}

func control(f *os.File, request uintptr, arg unsafe.Pointer) {
	if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, f.Fd(), request, uintptr(arg)); e != 0 {
		fail(e)
	}
}

func fail(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "measure:", err)
		os.Exit(1)
	}
}
