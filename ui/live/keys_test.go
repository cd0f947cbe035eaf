package live

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// No two keys of the log screen are the same while both work.
func TestKeysAreDistinct(t *testing.T) {
	seen := map[string]bool{}
	for _, b := range bindings {
		for _, k := range b.Keys() {
			assert.False(t, seen[k], k)
			seen[k] = true
		}
	}
}
