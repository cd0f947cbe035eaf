package cli

import (
	"fmt"

	"github.com/alecthomas/kong"
	mangokong "github.com/alecthomas/mango-kong"
	"github.com/muesli/roff"
)

// ManCmd prints the manual page, generated from the command tree.
type ManCmd struct{}

// Run writes the page in roff to standard output: chargehand man | man -l -
func (*ManCmd) Run(env *Env, app *kong.Kong) error {
	page := mangokong.NewManPage(1, app.Model)
	_, err := fmt.Fprint(env.Out, page.Build(roff.NewDocument()))
	return err
}
