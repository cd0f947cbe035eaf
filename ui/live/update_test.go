package live

// go test ./ui/... -update is understood in every package.
import _ "github.com/charmbracelet/x/exp/golden"
