package charge_test

import (
	"flag"
	"os"
	"testing"
)

// TestMain keeps the property tests to a few seconds: each draw folds whole
// sessions. go test ./charge -rapid.checks 1000 digs deeper.
func TestMain(m *testing.M) {
	flag.Parse()
	set := false
	flag.Visit(func(f *flag.Flag) { set = set || f.Name == "rapid.checks" })
	if !set {
		_ = flag.Set("rapid.checks", "25")
	}
	os.Exit(m.Run())
}
