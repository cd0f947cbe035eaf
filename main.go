// Command chargehand is a terminal assistant for adjusting refrigerant charge.
package main

import (
	"os"

	"chargehand/ui/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], &cli.Env{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}))
}
