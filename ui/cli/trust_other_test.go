//go:build !unix

package cli

import (
	"errors"
	"testing"
)

var devices []string

func pipe(string) error { return errors.ErrUnsupported }

func special(*testing.T, string) {}
