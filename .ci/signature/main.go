// Command signature trains the network of package charge/belief/signature anew and writes its weights. The same flags give
// the same weights on the same kind of machine.
//
//	go generate ./charge/belief/signature
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"log"
	"os"

	"chargehand/charge/belief/signature/train"
)

func main() {
	out := flag.String("out", "", "file to write the weights to; none when empty")
	systems := flag.Int("systems", 40000, "systems to draw; one in ten is kept apart to judge by")
	seed := flag.Int64("seed", 20261129, "of the systems and of the training")
	epochs := flag.Int("epochs", 40, "times that each system is seen")
	flag.Parse()
	rows := train.Gather(*systems, *seed)
	apart := len(rows) / 10
	net := train.Fit(rows[apart:], *epochs, *seed, func(share, loss float64) { fmt.Printf("%3.0f %% loss %.4f\n", 100*share, loss) })
	for f, s := range train.Judge(net, rows[:apart]) {
		fmt.Printf("fault %d: %d of %d called a fault\n", f, s.Called, s.Of)
	}
	if *out == "" {
		return
	}
	text, err := json.Marshal(net)
	if err == nil {
		err = os.WriteFile(*out, append(text, '\n'), 0o644)
	}
	if err != nil {
		log.Fatal(err)
	}
}
