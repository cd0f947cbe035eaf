package background_test

import (
	_ "github.com/charmbracelet/bubbletea"

	_ "chargehand/ui/background"
)
